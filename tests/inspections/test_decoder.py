"""The phone's decoder comes with npm, is held to one hash, and cannot write where it likes."""

from __future__ import annotations

import base64
import hashlib
import io
import tarfile
from pathlib import Path

import pytest

from inspections import decoder

CONTENTS = {name: f"of {name}".encode() for name in decoder.MEMBERS}


def packed(contents: dict[str, bytes], links: dict[str, str] | None = None) -> bytes:
    """A package as npm packs one."""
    kept = io.BytesIO()
    with tarfile.open(fileobj=kept, mode="w:gz") as package:
        for name, content in contents.items():
            member = tarfile.TarInfo(name)
            member.size = len(content)
            package.addfile(member, io.BytesIO(content))
        for name, target in (links or {}).items():
            member = tarfile.TarInfo(name)
            member.type, member.linkname = tarfile.SYMTYPE, target
            package.addfile(member)
    return kept.getvalue()


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "static" / "decoder"


def fetched(
    content: bytes, folder: Path, patch: pytest.MonkeyPatch, *, pinned: bytes | None = None
) -> bool:
    """Fetch this package, pinned to its own hash or to that of another."""
    digest = hashlib.sha512(content if pinned is None else pinned).digest()
    patch.setattr(decoder, "INTEGRITY", "sha512-" + base64.b64encode(digest).decode())
    return decoder.fetch(folder, lambda _scratch: content)


def files_under(folder: Path) -> dict[str, bytes]:
    return {
        str(file.relative_to(folder)): file.read_bytes()
        for file in folder.rglob("*")
        if file.is_file()
    }


def test_only_the_named_files_are_taken_under_our_own_names(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    others = {"package/index.js": b"x", "../../out.js": b"x", f"{tmp_path}/absolute.js": b"x"}
    assert fetched(packed(CONTENTS | others), folder, monkeypatch)
    wanted = {name: CONTENTS[member] for member, name in decoder.MEMBERS.items()}
    found = files_under(tmp_path)
    origin = found.pop(f"static/decoder/{decoder.ORIGIN}").decode()
    assert found == {f"static/decoder/{name}": content for name, content in wanted.items()}
    assert origin.split() == [decoder.PACKAGE, decoder.INTEGRITY]


def test_the_second_run_asks_for_nothing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fetched(packed(CONTENTS), folder, monkeypatch)

    def asked(_scratch: Path) -> bytes:
        raise AssertionError("it was fetched already")

    assert decoder.fetch(folder, asked) is False


def test_a_file_that_went_missing_is_fetched_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    fetched(packed(CONTENTS), folder, monkeypatch)
    (folder / "reader.js").unlink()
    assert not decoder.is_fetched(folder)
    assert fetched(packed(CONTENTS), folder, monkeypatch)
    assert decoder.is_fetched(folder)


def test_another_version_is_fetched_anew(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fetched(packed(CONTENTS), folder, monkeypatch)
    newer = dict.fromkeys(CONTENTS, b"newer")
    assert fetched(packed(newer), folder, monkeypatch)
    assert (folder / "reader.js").read_bytes() == b"newer"


def test_a_wrong_hash_writes_nothing(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    changed = CONTENTS | {"package/dist/iife/reader/index.js": b"changed"}
    with pytest.raises(decoder.NotFetched, match="its hash differs"):
        fetched(packed(changed), folder, monkeypatch, pinned=packed(CONTENTS))
    assert files_under(tmp_path) == {}


@pytest.mark.parametrize("member", decoder.MEMBERS)
def test_a_link_in_place_of_a_file_writes_nothing(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, member: str
) -> None:
    rest = {name: content for name, content in CONTENTS.items() if name != member}
    with pytest.raises(decoder.NotFetched, match="plain file"):
        fetched(packed(rest, {member: "/etc/hostname"}), folder, monkeypatch)
    assert files_under(tmp_path) == {}


@pytest.mark.parametrize("content", [b"no package", packed({"package/LICENSE": b"x"})])
def test_what_is_no_whole_package_writes_nothing(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    with pytest.raises(decoder.NotFetched, match="could not be unpacked"):
        fetched(content, folder, monkeypatch)
    assert files_under(tmp_path) == {}


def test_without_npm_it_says_what_to_do_and_what_works(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(decoder, "is_fetched", lambda _folder: False)
    monkeypatch.setattr(decoder.shutil, "which", lambda _name: None)
    said: list[str] = []
    decoder.fetch_if_possible(said.append)
    [sentence] = said
    assert "apt-get install npm" in sentence
    assert "typed or photographed" in sentence


def test_a_client_that_fails_is_quoted(
    tmp_path: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    client = tmp_path / "npm"
    client.write_text("#!/bin/sh\necho no such host >&2\nexit 1\n")
    client.chmod(0o755)
    monkeypatch.setattr(decoder.shutil, "which", lambda _name: str(client))
    with pytest.raises(decoder.NotFetched, match="npm said: no such host"):
        decoder.fetch(folder)
    assert not folder.exists()
