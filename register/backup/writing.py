"""Making a back-up: one tar file with the database, the files and what proves them."""

from __future__ import annotations

import hashlib
import io
import os
import tarfile
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection

from register.backup.databases import copy_database, migrations
from register.rules.backup import DATABASES, FILES, MANIFEST, Manifest, Member, NotWhole

LEFT_OUT = {"static", "demo"}  # made anew by the program; another register
BLOCK = 1 << 20  # bytes read at a time


@dataclass(frozen=True, slots=True)
class Written:
    """A back-up that lies whole on the disk."""

    path: Path
    bytes: int
    sha256: str
    manifest: Manifest
    encrypted: bool


def write_backup(target: Path, at: datetime, recipients: Sequence[str] = ()) -> Written:
    """Write it beside the target and give it its name when it is whole and on the disk.

    ``recipients`` are public keys of age (age-encryption.org): only their owners can read it then.
    """
    if target.exists():
        raise NotWhole(f"{target} is there already. Give the back-up another name.")
    if not target.parent.is_dir():
        raise NotWhole(f"There is no folder {target.parent}. Make it first.")
    with tempfile.TemporaryDirectory(prefix=".back-up-", dir=target.parent) as folder:
        plain = Path(folder) / "plain.tar"
        manifest = _write_tar(plain, at, Path(folder))
        whole = _encrypted(plain, recipients) if recipients else plain
        _flush(whole)
        digest, size = hash_of(whole)
        whole.rename(target)
    _flush(target.parent)
    return Written(target, size, digest, manifest, bool(recipients))


def _write_tar(plain: Path, at: datetime, folder: Path) -> Manifest:
    plain.touch(mode=0o600)
    copy = folder / "database"
    proof = copy_database(copy, at)
    members = []
    with tarfile.open(plain, "w") as tar:
        for name, path in [(DATABASES[connection.vendor], copy), *_files()]:
            if member := _add(tar, name, path):
                members.append(member)
        manifest = Manifest(
            made_at=at.isoformat(),
            database=connection.vendor,
            migrations=migrations(),
            key_check=key_check(),
            members=tuple(members),
            proof=proof,
        )
        entry = tarfile.TarInfo(MANIFEST)
        entry.size, entry.mode = len(manifest.written()), 0o600
        tar.addfile(entry, io.BytesIO(manifest.written()))
    return manifest


def _files() -> Iterator[tuple[str, Path]]:
    """Everything kept beside the database: photographs, papers, keys."""
    database = str(connection.settings_dict["NAME"])
    for path in sorted(settings.DATA_DIR.rglob("*")):
        within = path.relative_to(settings.DATA_DIR)
        ours = within.parts[0] in LEFT_OUT or within.parts[0].startswith(".back-up-")
        if (
            path.is_file()
            and not path.is_symlink()
            and not ours
            and not str(path).startswith(database)
        ):
            yield f"{FILES}/{within.as_posix()}", path


def _add(tar: tarfile.TarFile, name: str, path: Path) -> Member | None:
    """Add the file; None where it was taken off meanwhile, as results of errands are."""
    try:
        file = path.open("rb")
    except FileNotFoundError:
        return None
    with file:
        entry = tarfile.TarInfo(name)
        entry.size, entry.mode = os.fstat(file.fileno()).st_size, 0o600
        heard = _Heard(file)
        tar.addfile(entry, heard)  # type: ignore[arg-type]
    return Member(name, entry.size, heard.digest.hexdigest())


class _Heard:
    """A file that is hashed while it is read."""

    def __init__(self, file: io.BufferedReader) -> None:
        self.file, self.digest = file, hashlib.sha256()

    def read(self, size: int) -> bytes:
        block = self.file.read(size)
        self.digest.update(block)
        return block


def _encrypted(plain: Path, recipients: Sequence[str]) -> Path:
    from pyrage import RecipientError, encrypt_file, x25519

    try:
        keys = [x25519.Recipient.from_str(one) for one in recipients]
    except RecipientError as error:
        raise NotWhole(
            "A public key to encrypt to begins with age1; one of these is none."
        ) from error
    sealed = plain.with_suffix(".age")
    sealed.touch(mode=0o600)
    encrypt_file(str(plain), str(sealed), keys)
    return sealed


def hash_of(path: Path) -> tuple[str, int]:
    """The SHA-256 of a file and its bytes."""
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(BLOCK):
            digest.update(block)
    return digest.hexdigest(), path.stat().st_size


def key_check() -> str:
    """Tells the same secret key from another one, and nothing else of it."""
    key = settings.SECRET_KEY.encode()
    return hashlib.scrypt(key, salt=b"back-up", n=2**12, r=8, p=1, dklen=16).hex()


def _flush(path: Path) -> None:
    """So that a power cut after the message cannot take the back-up along."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
