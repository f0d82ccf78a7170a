"""The phone's decoder of QR codes: fetched with npm, held to one hash, no part of this repository.

Standard library alone: `manage.py test` asks for it before anything else is imported.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import shutil
import subprocess
import tarfile
import tempfile
from collections.abc import Callable
from io import BytesIO
from pathlib import Path

PACKAGE = "zxing-wasm@3.1.6"
# what the registry states as the package's `dist.integrity`, and what its file really has
INTEGRITY = "sha512-mU7UNuvl+hOT+nlSOQTMHZ2tM8lRMsbjDIp5IO/+HmBl/FOq77q0OSZPJ3cm42A9c1MKU6Uve67FiGdkhsrT9g=="
# the only files that are taken out, and what each is called here
MEMBERS = {
    "package/dist/iife/reader/index.js": "reader.js",
    "package/dist/reader/zxing_reader.wasm": "zxing_reader.wasm",
    "package/LICENSE": "LICENSE",
}
ORIGIN = "fetched.txt"  # written last: which package and hash the files beside it are from
FOLDER = Path(__file__).parent / "static" / "phone" / "decoder"
MOST_BYTES = 4_000_000  # of one file
ENDS_WITHIN = 120  # seconds
LINES_SHOWN = 6  # of npm's own words, where it fails

WITHOUT = (
    "The rest works: on the phone's pages tags are typed or photographed,"
    " and a phone's own camera opens a tag's page."
)

Pack = Callable[[Path], bytes]


class NotFetched(Exception):
    """Why the decoder is not here, as a sentence with what to do."""


def is_fetched(folder: Path = FOLDER) -> bool:
    """All of it is here, and from the package that is wanted."""
    origin = folder / ORIGIN
    whole = all((folder / name).is_file() for name in MEMBERS.values())
    return whole and origin.is_file() and origin.read_text(encoding="ascii") == _origin()


def fetch(folder: Path = FOLDER, pack: Pack | None = None) -> bool:
    """Put the decoder in the folder; False where it is there already (NotFetched where it cannot)."""
    if is_fetched(folder):
        return False
    with tempfile.TemporaryDirectory() as scratch:
        packed = (pack or _npm_pack)(Path(scratch))
    _unpack(packed, folder)
    return True


def fetch_if_possible(say: Callable[[str], object]) -> None:
    """As `fetch`, and where it cannot be fetched only say so."""
    try:
        fetch()
    except NotFetched as reason:
        say(f"{reason} {WITHOUT}")


def _npm_pack(scratch: Path) -> bytes:
    """The package's file as the ordinary client brings it; nothing of it is run."""
    npm = shutil.which("npm")
    if npm is None:
        raise NotFetched(
            "The camera's decoder is not here, because there is no npm to fetch it with."
            " On Debian and Ubuntu: apt-get install npm. Then: python3 manage.py fetch_decoder."
        )
    command = [npm, "pack", PACKAGE, "--ignore-scripts", "--fetch-retries=0", "--silent"]
    try:
        done = subprocess.run(  # noqa: S603 - fixed words
            command, cwd=scratch, capture_output=True, text=True, timeout=ENDS_WITHIN, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        raise NotFetched(_npm_failed(str(error))) from error
    files = list(scratch.glob("*.tgz"))
    if done.returncode or len(files) != 1:
        raise NotFetched(_npm_failed(done.stderr))
    return files[0].read_bytes()


def _npm_failed(told: str) -> str:
    words = " ".join(line.strip() for line in told.splitlines()[:LINES_SHOWN])
    return (
        f"npm could not fetch the camera's decoder ({PACKAGE}). Look whether the network reaches"
        f" its registry, then: python3 manage.py fetch_decoder. npm said: {words or 'nothing'}."
    )


def _unpack(packed: bytes, folder: Path) -> None:
    """Write the named files, under names of our own, once the hash has been found right."""
    found = "sha512-" + base64.b64encode(hashlib.sha512(packed).digest()).decode("ascii")
    if not hmac.compare_digest(found, INTEGRITY):
        raise NotFetched(
            f"What npm brought is not the {PACKAGE} that was looked at: its hash differs, so"
            " nothing was unpacked. Do not use it; find out who changed it."
        )
    contents = _members(packed)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / ORIGIN).unlink(missing_ok=True)
        for name, content in contents.items():
            (folder / name).write_bytes(content)
        (folder / ORIGIN).write_text(_origin(), encoding="ascii")
    except OSError as error:
        raise NotFetched(f"The camera's decoder cannot be kept in {folder}: {error}.") from error


def _members(packed: bytes) -> dict[str, bytes]:
    """The wanted files by our names for them; whatever else the package holds is not read."""
    contents = {}
    try:
        with tarfile.open(fileobj=BytesIO(packed), mode="r:gz") as package:
            for member, name in MEMBERS.items():
                held = package.getmember(member)
                content = package.extractfile(held) if held.isreg() else None
                if content is None or held.size > MOST_BYTES:
                    raise NotFetched(f"{member} of {PACKAGE} is not the plain file it should be.")
                contents[name] = content.read()
    except (KeyError, OSError, EOFError, tarfile.TarError) as error:
        raise NotFetched(f"{PACKAGE} could not be unpacked: {error}") from error
    return contents


def _origin() -> str:
    return f"{PACKAGE} {INTEGRITY}\n"
