"""Putting a back-up into an empty place, and proving that it answers as the original did."""

from __future__ import annotations

import hashlib
import os
import tarfile
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from register.backup.databases import is_empty, migrations, put_back
from register.backup.proof import prove
from register.backup.writing import BLOCK, key_check
from register.rules.backup import (
    DATABASES,
    FILES,
    MANIFEST,
    Manifest,
    NotWhole,
    check_names,
    differences,
    read_manifest,
)

SECRET = f"{FILES}/secret_key"
_AGE = b"age-encryption.org/"


@contextmanager
def opened(backup: Path, identity: Path | None = None) -> Iterator[tarfile.TarFile]:
    """The tar file within, decrypted with the age identity where it is encrypted."""
    if not backup.is_file():
        raise NotWhole(f"There is no file {backup}.")
    with tempfile.TemporaryDirectory(prefix="restore-") as folder:
        plain = _decrypted(backup, identity, Path(folder)) if _is_encrypted(backup) else backup
        try:
            with tarfile.open(plain, "r:") as tar:
                yield tar
        except tarfile.TarError as error:
            raise NotWhole(f"{backup} is cut off or no back-up of ours ({error}).") from error


def check_backup(tar: tarfile.TarFile) -> Manifest:
    """Read every byte: all that is listed is there and unaltered, and nothing else."""
    entries = tar.getmembers()
    if not entries or entries[-1].name != MANIFEST or not all(one.isreg() for one in entries):
        raise NotWhole(
            "The list of contents at its end is missing: the file was cut off or changed."
        )
    manifest = read_manifest(_read(tar, entries[-1]))
    check_names((one.name for one in entries[:-1]), manifest)
    for member in manifest.members:
        if _hash_in(tar, member.name) != member.sha256:
            raise NotWhole(f"{member.name} is not what it was when the back-up was made.")
    return manifest


def restore(backup: Path, identity: Path | None = None) -> tuple[Manifest, list[str]]:
    """Into an empty database and data folder; what it holds, and each answer that differs."""
    if not is_empty():
        raise NotWhole(
            "The database here is not empty. Name an empty one, so that nothing is lost."
        )
    if lying := _lying_about():
        raise NotWhole(
            f"{lying} is there already. Name an empty DATA_DIR, so that nothing is lost."
        )
    with opened(backup, identity) as tar:
        manifest = check_backup(tar)
        if manifest.database != connection.vendor:
            raise NotWhole(
                f"The back-up is of {manifest.database}; DATABASE_URL names {connection.vendor}."
                " Put it back into the same kind, then move it over as an open archive."
            )
        if os.environ.get("SECRET_KEY") and manifest.key_check != key_check():
            raise NotWhole(
                "SECRET_KEY is another one than when the back-up was made. Set that one."
            )
        with tempfile.TemporaryDirectory(prefix=".back-up-", dir=settings.DATA_DIR) as folder:
            copy = Path(folder) / "database"
            _write(tar, DATABASES[connection.vendor], copy)
            put_back(copy)
        for member in manifest.members:
            if member.name.startswith(f"{FILES}/"):
                _write(tar, member.name, settings.DATA_DIR / member.name.removeprefix(f"{FILES}/"))
    return manifest, _what_differs(manifest)


def _what_differs(manifest: Manifest) -> list[str]:
    if migrations() != manifest.migrations:
        return ["tables: their migrations are not those that were listed"]
    return list(differences(manifest.proof, prove(datetime.fromisoformat(manifest.made_at))))


def _lying_about() -> str:
    """A file that would be written over; the fresh secret key and the empty database are not."""
    database = str(connection.settings_dict["NAME"])
    for path in sorted(settings.DATA_DIR.rglob("*")):
        fresh = path.name == "secret_key" or str(path).startswith(database)
        if path.is_file() and not fresh:
            return str(path)
    return ""


def _write(tar: tarfile.TarFile, name: str, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    target.unlink(missing_ok=True)
    target.touch(mode=0o600)
    with target.open("wb") as out:
        for block in _blocks(tar, name):
            out.write(block)


def _blocks(tar: tarfile.TarFile, name: str) -> Iterator[bytes]:
    file = tar.extractfile(name)
    while file and (block := file.read(BLOCK)):
        yield block


def _hash_in(tar: tarfile.TarFile, name: str) -> str:
    digest = hashlib.sha256()
    for block in _blocks(tar, name):
        digest.update(block)
    return digest.hexdigest()


def _read(tar: tarfile.TarFile, entry: tarfile.TarInfo) -> bytes:
    file = tar.extractfile(entry)
    return file.read() if file else b""


def _is_encrypted(backup: Path) -> bool:
    with backup.open("rb") as file:
        return file.read(len(_AGE)) == _AGE


def _decrypted(backup: Path, identity: Path | None, folder: Path) -> Path:
    from pyrage import DecryptError, IdentityError, decrypt_io, x25519

    if identity is None:
        raise NotWhole(
            "The back-up is encrypted. Name the file of the age identity with --identity."
        )
    lines = identity.read_text().split()
    try:
        keys = [x25519.Identity.from_str(one) for one in lines if one.startswith("AGE-SECRET-KEY-")]
        plain = folder / "plain.tar"
        plain.touch(mode=0o600)
        with backup.open("rb") as sealed, plain.open("wb") as out:
            decrypt_io(sealed, out, keys)
    except (IdentityError, DecryptError) as error:
        raise NotWhole("This identity does not open the back-up, or it was altered.") from error
    return plain
