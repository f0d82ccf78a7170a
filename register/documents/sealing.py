"""The seal of a paper: a digital signature (PDF 1.7, ISO 32000-1, 12.8) that forbids every change.

The key is made once and kept beside the data, readable by its owner alone; or it is the employer's
own, from a PKCS#12 file. The seal says that the file is as it was issued. It is nobody's signature.
"""

from __future__ import annotations

import asyncio
import os
import secrets
from dataclasses import dataclass
from datetime import timedelta
from functools import cache
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

from register import clock

FIELD = "Seal"
KEY_BITS = 3072  # BSI TR-02102-1 and NIST SP 800-57 ask for 3000 or more beyond 2030
YEARS = 30
RESERVED = 16384  # bytes in the file for the signature and a chain of certificates
LARGEST = 20 * 1024 * 1024  # bytes of a file that is looked at


@dataclass(frozen=True, slots=True)
class Sealed:
    """A file with its seal, its hash, and the hash of the certificate that sealed it."""

    content: bytes
    file_hash: str
    sealed_by: str


@dataclass(frozen=True, slots=True)
class SealRead:
    """What a file's seal says: whether there is one, whether every byte is as it was sealed, and by
    which certificate."""

    found: bool = False
    whole: bool = False
    by: str = ""


def seal(paper: bytes) -> Sealed:
    """Sign the PDF so that any change shows."""
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import fields, signers

    signer = _signer()
    meta = signers.PdfSignatureMetadata(
        field_name=FIELD,
        md_algorithm="sha256",
        certify=True,
        docmdp_permissions=fields.MDPPerm.NO_CHANGES,
    )
    out = BytesIO()
    pen = signers.PdfSigner(meta, signer=signer)
    pen.sign_pdf(IncrementalPdfFileWriter(BytesIO(paper)), output=out, bytes_reserved=RESERVED)
    content = out.getvalue()
    return Sealed(content, sha256(content).hexdigest(), _mark(signer.signing_cert))


def seal_apart(content: bytes) -> bytes:
    """A signature over any content, to lie beside it (CMS, RFC 5652, detached, DER)."""
    signing = _signer().async_sign_general_data(content, "sha256", detached=True)
    signed: bytes = asyncio.run(signing).dump()
    return signed


def read_seal(paper: bytes) -> SealRead:
    """Look at the file's last seal; what is no PDF or has no seal says so, and nothing raises."""
    from pyhanko.pdf_utils.reader import PdfFileReader

    if len(paper) > LARGEST or not paper.startswith(b"%PDF-"):
        return SealRead()
    try:
        signatures = PdfFileReader(BytesIO(paper)).embedded_signatures
        return _read(signatures[-1]) if signatures else SealRead()
    except Exception:  # a spoilt file breaks a reader anywhere, and nothing in it can be relied on
        return SealRead()


def _read(signature: Any) -> SealRead:
    from pyhanko.sign.validation import SignatureCoverageLevel, validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    certificate = signature.signer_cert
    by = _mark(certificate)
    trusting = ValidationContext(
        trust_roots=[certificate],
        allow_fetching=False,
        moment=certificate.not_valid_before + timedelta(seconds=1),
    )
    try:
        status = validate_pdf_signature(signature, signer_validation_context=trusting)
    except ValueError:  # its own errors are such
        return SealRead(found=True, by=by)
    covers = status.coverage is SignatureCoverageLevel.ENTIRE_FILE
    whole = bool(status.intact and status.valid and covers)
    return SealRead(found=True, whole=whole, by=by)


def make_ready() -> str:
    """Make the key where there is none; the SHA-256 of the certificate in use."""
    return _mark(_signer().signing_cert)


def _mark(certificate: Any) -> str:
    return sha256(certificate.dump()).hexdigest()


def _signer() -> Any:
    """Read once for each file; a new file is a new key."""
    given: Path | None = settings.SEAL_PKCS12
    if given:
        return _signer_from(str(given), settings.SEAL_PASSPHRASE)
    own: Path = settings.SEAL_FILE
    if not own.exists():
        _make_own(own)
    return _signer_from(str(own), "")


@cache
def _signer_from(file: str, passphrase: str) -> Any:
    from register.documents.signer import KeptKey

    try:
        pfx, told = Path(file).read_bytes(), passphrase.encode() if passphrase else None
        return KeptKey.of(KeptKey.load_pkcs12_data(pfx, other_certs=[], passphrase=told))
    except OSError as error:
        raise ImproperlyConfigured(f"The seal {file} cannot be read: {error.strerror}.") from error
    except ValueError as error:
        raise ImproperlyConfigured(
            f"{file} is no PKCS#12 file with a key, or SEAL_PASSPHRASE does not open it."
        ) from error


def _make_own(file: Path) -> None:
    """Written beside and linked into place, so that of two processes only one makes the key."""
    file.parent.mkdir(parents=True, exist_ok=True)
    beside = file.with_name(f"{file.name}.{secrets.token_hex(4)}")
    with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as out:
        out.write(_own_key())
    try:
        os.link(beside, file)
    except FileExistsError:
        pass
    finally:
        beside.unlink()


def _own_key() -> bytes:
    """A key and its certificate, both in one PKCS#12 file."""
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import rsa
    from cryptography.hazmat.primitives.serialization import NoEncryption, pkcs12

    key = rsa.generate_private_key(public_exponent=65537, key_size=KEY_BITS)
    certificate = _certificate().public_key(key.public_key()).sign(key, hashes.SHA256())
    return pkcs12.serialize_key_and_certificates(b"seal", key, certificate, None, NoEncryption())


def _certificate() -> Any:
    """For signing alone, issued by itself."""
    from cryptography import x509
    from cryptography.x509.oid import NameOID

    told = f"Tallyhook papers of {settings.PUBLIC_HOST}"[:64]
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, told)])
    since = clock.now() - timedelta(days=1)
    usage = {
        "digital_signature": True,
        "content_commitment": True,
        **dict.fromkeys(_NOT_FOR, False),
    }
    return (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .serial_number(x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(since + timedelta(days=365 * YEARS))
        .add_extension(x509.KeyUsage(**usage), critical=True)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
    )


_NOT_FOR = (
    *("key_encipherment", "data_encipherment", "key_agreement", "key_cert_sign", "crl_sign"),
    *("encipher_only", "decipher_only"),
)
