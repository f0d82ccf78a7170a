"""Back-ups are consistent, are put back only whole and only into an empty place, and are proven."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tarfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from django.conf import settings as project
from django.core.files.base import ContentFile
from django.core.management import CommandError, call_command
from django.db import connection
from pyrage import x25519

from inspections.actions.using import issue
from register import clock
from register.backup import databases
from register.backup.proof import prove, spread
from register.backup.restoring import check_backup, opened
from register.backup.writing import write_backup
from register.models import BackUp, Document, Item, Stamp, User
from register.rules.backup import (
    Manifest,
    Member,
    NotWhole,
    check_names,
    differences,
    read_manifest,
)
from tests.factories import NOON, ItemFactory, PersonFactory, passed

MANIFEST = Manifest(
    "2026-11-02T12:00:00+00:00", "sqlite", ("a.1",), "k", (Member("d", 1, "f"),), {}
)


@pytest.fixture
def used(emptied_tables: None, settings: Any, tmp_path: Path, petra: User, item: Item) -> Path:
    """A register in use: an item issued, a file beside the database; its data folder."""
    settings.DATA_DIR = tmp_path / "data"
    settings.MEDIA_ROOT = settings.DATA_DIR / "files"
    settings.DATA_DIR.mkdir()
    passed(item)
    ItemFactory.create_batch(3, site=item.site)
    to = PersonFactory(home_site=item.site)
    issue(item, to=to, due_back_on=None, stamp=Stamp(by=petra, at=NOON))
    Document.objects.create(
        file=ContentFile(b"a photograph", "look.jpg"),
        name="look.jpg",
        kind="photo",
        sha256="0" * 64,
        size=12,
        kept_at=NOON,
    )
    return tmp_path


@pytest.fixture
def empty_place(tmp_path: Path) -> Iterator[dict[str, str]]:
    """The environment of a register that has nothing yet, on the same kind of database."""
    place = tmp_path / "empty"
    url = ""
    name = f"restored_{uuid4().hex[:8]}"
    if connection.vendor == "postgresql":
        said = connection.settings_dict
        user = f"{said['USER']}:{said['PASSWORD']}@" if said["USER"] else ""
        url = f"postgres://{user}{said['HOST']}:{said['PORT'] or 5432}/{name}"
        with connection.cursor() as cursor:
            cursor.execute(f"CREATE DATABASE {name}")
    yield {**os.environ, "DATA_DIR": str(place), "DATABASE_URL": url}
    if url:
        with connection.cursor() as cursor:
            cursor.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@pytest.fixture
def asked_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the answers are beside the point, no program is started to ask the copy."""
    monkeypatch.setattr(databases, "answers_of", lambda _, at: prove(at))


def manage(env: dict[str, str], *words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(project.BASE_DIR / "manage.py"), *words]
    return subprocess.run(command, env=env, capture_output=True, text=True, check=False)


def test_what_is_put_back_answers_as_the_original_did(
    used: Path, empty_place: dict[str, str]
) -> None:
    target = used / "kept.tar"
    call_command("back_up", str(target))
    noted = BackUp.objects.get()
    assert (noted.name, noted.bytes, noted.encrypted) == ("kept.tar", target.stat().st_size, False)
    assert target.stat().st_mode & 0o077 == 0

    done = manage(empty_place, "restore", str(target))
    assert "answers are the same" in done.stdout, done.stdout + done.stderr
    assert [path.read_bytes() for path in (used / "empty").rglob("look*")] == [b"a photograph"]

    again = manage(empty_place, "restore", str(target))
    assert again.returncode == 1
    assert "is not empty" in again.stderr

    at = clock.now().isoformat()
    asked = json.loads(manage(empty_place, "prove", "--at", at).stdout)
    assert asked["ledger"]["misfits"] == "none"
    assert asked["counts"]["register.BackUp"] == "0"  # it was noted after the copy
    assert len(asked["verdicts"]) == Item.objects.count()


def test_one_changed_byte_is_found_before_anything_is_put_back(
    used: Path, empty_place: dict[str, str], asked_here: None
) -> None:
    target = used / "kept.tar"
    write_backup(target, NOON)
    whole = bytearray(target.read_bytes())
    whole[whole.index(b"a photograph")] ^= 1
    target.write_bytes(whole)
    refused = manage(empty_place, "restore", str(target))
    assert "is not what it was" in refused.stderr
    found = {path.name for path in (used / "empty").rglob("*")}
    assert found <= {"secret_key", "tallyhook.sqlite3"}  # which the program makes by itself


def test_a_back_up_that_was_cut_off_is_refused(used: Path, asked_here: None) -> None:
    target = used / "kept.tar"
    write_backup(target, NOON)
    whole = target.read_bytes()
    for left in (0, 100, 5_000, 60_000, len(whole) - 20_000):
        target.write_bytes(whole[:left])
        with pytest.raises(NotWhole, match=r"cut off|no back-up"), opened(target) as tar:
            check_backup(tar)


def test_only_the_owner_of_the_key_reads_an_encrypted_back_up(used: Path, asked_here: None) -> None:
    owner, stranger = x25519.Identity.generate(), x25519.Identity.generate()
    target = used / "kept.tar.age"
    write_backup(target, NOON, [str(owner.to_public())])
    assert b"photograph" not in target.read_bytes()
    keys = used / "key"
    keys.write_text(f"# made for this test\n{owner}\n")
    with opened(target, keys) as tar:
        assert check_backup(tar).made_at == NOON.isoformat()
    keys.write_text(str(stranger))
    with pytest.raises(NotWhole, match="does not open"), opened(target, keys):
        pass
    with pytest.raises(NotWhole, match="--identity"), opened(target):
        pass


def test_a_back_up_goes_nowhere_it_cannot_be_whole(used: Path, asked_here: None) -> None:
    (used / "there.tar").write_bytes(b"an older one")
    for target, why in (("there.tar", "is there already"), ("no/folder.tar", "no folder")):
        with pytest.raises(CommandError, match=why):
            call_command("back_up", str(used / target))
    with pytest.raises(CommandError, match="begins with age1"):
        call_command("back_up", str(used / "new.tar"), "--to", "my password")
    assert sorted(path.name for path in used.iterdir()) == ["data", "there.tar"]
    assert not BackUp.objects.exists()


def test_another_answer_is_a_difference_and_is_named(used: Path, item: Item) -> None:
    before = prove(NOON)
    Item.objects.filter(pk=item.pk).update(condition="quarantined")
    found = list(differences(before, prove(NOON)))
    assert len(found) == 1
    assert found[0].startswith(f"verdicts, {item.code}: was")


def test_a_back_up_lists_all_it_holds_and_nothing_outside() -> None:
    check_names(["d"], MANIFEST)
    for names, why in (
        ([], "lacks d"),
        (["d", "x"], "does not list: x"),
        (["d", "d"], "twice d"),
        (["d", "../x"], "outside"),
        (["d", "/etc/x"], "outside"),
    ):
        with pytest.raises(NotWhole, match=why):
            check_names(names, MANIFEST)


def test_a_manifest_reads_as_it_was_written_and_another_format_is_refused() -> None:
    assert read_manifest(MANIFEST.written()) == replace(MANIFEST, proof={})
    with pytest.raises(NotWhole, match="format 7"):
        read_manifest(MANIFEST.written().replace(b'"format": 1', b'"format": 7'))
    for written in (b"", b"[]", b'{"format": 1}', b"\xff"):
        with pytest.raises(NotWhole, match="no back-up of ours"):
            read_manifest(written)


def test_a_link_in_the_file_is_no_member(tmp_path: Path) -> None:
    target = tmp_path / "made.tar"
    with tarfile.open(target, "w") as tar:
        entry = tarfile.TarInfo("manifest.json")
        entry.type, entry.linkname = tarfile.SYMTYPE, "/etc/passwd"
        tar.addfile(entry)
    with pytest.raises(NotWhole, match="contents at its end"), opened(target) as tar:
        check_backup(tar)


def test_a_sample_reaches_from_the_first_to_the_last() -> None:
    keys = list(range(1000))
    assert (spread(keys)[0], spread(keys)[-1], len(set(spread(keys)))) == (0, 999, 60)
    assert spread([3, 4]) == [3, 4]
