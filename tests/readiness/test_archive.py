"""The whole register out, in and out again: the same bytes; and what is refused on the way in."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import pytest
from django.apps import apps
from django.core.files.base import ContentFile
from django.core.management import CommandError, call_command
from django.db import connection, models, transaction
from django.test import Client, override_settings

from inspections.models import Due
from readiness.archive import contents
from readiness.archive.bringing import bring_archive
from readiness.archive.taking import take_archive
from register.actions.ledger import root_of_heads, verify_ledger
from register.models import Document, Entry, Errand, Head, Item, Role, Site, User, record
from register.models.ledger_guard import statements_to_remove
from register.refusal import Refusal
from tests.factories import NOON, PNG, SiteFactory, stamp, user_as
from tests.readiness.whole_register import whole_register

SECRETS = re.compile(r"password|secret|token|session|salt|_key$|private|otp|recovery_code")
# Named like a secret and taken all the same: printed on a thing, or needed to read the ledger.
TAKEN_ALL_THE_SAME = {
    "register.Tag.secret": "printed on the tag, which would else lead nowhere",
    "register.Paper.secret": "printed on the paper, which would else lead nowhere",
    "register.Person.ledger_salt": "without it the name could not be found in the ledger",
    "register.User.ledger_salt": "without it the name could not be found in the ledger",
    "register.ActNote.salt": "without it the text could not be compared with the ledger",
    "register.Item.serial_key": "the serial for comparing",
    "inspections.Notice.name_key": "the reference for comparing",
}


def every_model() -> dict[str, type[models.Model]]:
    return {model._meta.label: model for model in apps.get_models(include_auto_created=True)}


def out(path: Path) -> bytes:
    with path.open("wb") as file:
        take_archive(file)
    return path.read_bytes()


def empty_register() -> None:
    """Inside a test's transaction, which is rolled back and puts the guard of the ledger back."""
    with connection.cursor() as cursor:
        for statement in statements_to_remove(connection.vendor):
            cursor.execute(statement)
    for label in (*contents.TAKEN, *contents.LEFT_OUT):
        rows = apps.get_model(label)._base_manager.all()
        rows._raw_delete(using=connection.alias)


@pytest.fixture(scope="module")
def made(
    tmp_path_factory: pytest.TempPathFactory, django_db_setup: None, django_db_blocker: Any
) -> Iterator[Path]:
    """An archive of a register that has rows of every kind, made once."""
    folder = tmp_path_factory.mktemp("archive")
    with (
        django_db_blocker.unblock(),
        override_settings(MEDIA_ROOT=folder / "files"),
        transaction.atomic(),
    ):
        whole_register()
        out(folder / "whole.zip")
        transaction.set_rollback(True)
    return folder / "whole.zip"


def forged(source: Path, target: Path, name: str, change: Callable[[str], str]) -> Path:
    """The archive with one part changed and every hash told anew, as somebody who means it would."""
    with ZipFile(source) as old, ZipFile(target, "w") as new:
        manifest = json.loads(old.read("manifest.json"))
        for each in old.namelist():
            content = old.read(each)
            if each == name:
                content = change(content.decode()).encode()
                told = {"bytes": len(content), "sha256": sha256(content).hexdigest()}
                manifest["parts"][each].update(told)
                if each.startswith("tables/"):
                    lines = list(csv.reader(io.StringIO(content.decode(), newline="")))
                    manifest["parts"][each]["rows"] = len(lines) - 1
            if each != "manifest.json":
                new.writestr(each, content)
        new.writestr("manifest.json", json.dumps(manifest))
    return target


def without_hash(source: Path, target: Path, **changes: Callable[[bytes], bytes | None]) -> Path:
    """The archive with parts changed, or left away, under the old manifest."""
    with ZipFile(source) as old, ZipFile(target, "w") as new:
        for each in old.namelist():
            change = changes.get(re.sub(r"\W", "_", each), lambda content: content)
            if (content := change(old.read(each))) is not None:
                new.writestr(each, content)
    return target


def refused(path: Path) -> str:
    with pytest.raises(Refusal) as caught:
        bring_archive(path)
    assert not any(model._base_manager.exists() for model in (Site, Item, Head, Entry))
    return caught.value.sentence


def test_every_model_goes_out_or_is_left_out_for_a_reason() -> None:
    told = [*contents.TAKEN, *contents.LEFT_OUT]
    assert sorted(told) == sorted(every_model()), (
        "Enter a new model in readiness/archive/contents.py: in TAKEN, or in LEFT_OUT with why."
    )
    assert all(contents.LEFT_OUT.values())
    known = {
        f"{label}.{field.name}"
        for label, model in every_model().items()
        for field in model._meta.fields
    }
    assert set(contents.COLUMNS_LEFT_OUT) <= known


def test_every_table_and_every_column_is_described() -> None:
    missing = [name for name, said in contents.meanings().items() if not said]
    assert missing == [], f"Describe them in {contents.MEANINGS}, or in the field's own name."


def test_no_table_has_two_columns_of_one_name() -> None:
    for table in contents.tables():
        names = [column.name for column in table.columns]
        assert len(set(names)) == len(names), table.label


def test_nothing_that_is_named_like_a_secret_goes_out_unless_it_is_said_why() -> None:
    going = {
        f"{table.label}.{column.name}"
        for table in contents.tables()
        for column in table.columns
        if SECRETS.search(column.name)
    }
    assert going == set(TAKEN_ALL_THE_SAME)


@pytest.mark.django_db
def test_the_register_of_these_tests_has_rows_of_every_table(made: Path) -> None:
    with ZipFile(made) as file:
        parts = json.loads(file.read("manifest.json"))["parts"]
    empty = [name for name, part in parts.items() if part.get("rows") == 0]
    assert empty == [], "Give tests/readiness/whole_register.py a row of it."


@pytest.mark.django_db
def test_out_in_and_out_again_is_the_same_to_the_byte(made: Path, tmp_path: Path) -> None:
    bound = csv.field_size_limit()
    done = bring_archive(made)
    assert csv.field_size_limit() == bound  # it is the process's, for every stranger's file
    assert out(tmp_path / "again.zip") == made.read_bytes()
    assert verify_ledger().misfits == ()
    assert root_of_heads()[1] == done.root
    assert Document.objects.exclude(file="").first().file.read()  # type: ignore[union-attr]
    assert not User.objects.first().has_usable_password()  # type: ignore[union-attr]
    assert set(Item.objects.values_list("pk", flat=True)) == set(
        Due.objects.values_list("pk", flat=True)
    )


@pytest.mark.django_db
def test_what_is_entered_afterwards_is_numbered_after_what_came_in(made: Path) -> None:
    bring_archive(made)
    greatest = Site.objects.order_by("-pk").first()
    errands = [int(one.thing_id) for one in Head.objects.filter(thing_kind="errand")]
    site = SiteFactory(code="new")
    errand = Errand.objects.create(
        kind="x", language="en", asked_by=User.objects.first(), asked_at=NOON, moved_at=NOON
    )
    assert site.pk > greatest.pk  # type: ignore[union-attr]
    assert errand.pk > max(errands)  # its chain in the ledger is another one's otherwise
    record("add-site", {site: {}}, stamp=stamp())
    assert verify_ledger().misfits == ()


@pytest.mark.django_db
def test_what_is_left_out_is_told_in_the_archive_and_no_password_is_in_it(made: Path) -> None:
    with ZipFile(made) as file:
        told = json.loads(file.read("manifest.json"))["left_out"]
        users = file.read("tables/register.user.csv").decode()
        names = file.namelist()
    assert told["mfa.Authenticator"].startswith("secret")
    assert "md5$" not in users
    assert not [name for name in names if "session" in name or "authenticator" in name]


@pytest.mark.django_db
def test_an_archive_does_not_go_into_a_register_that_is_not_empty(made: Path) -> None:
    SiteFactory()
    with pytest.raises(Refusal, match=r"not empty: it has rows of register\.Site"):
        bring_archive(made)


@pytest.mark.django_db
def test_what_is_no_archive_is_refused(made: Path, tmp_path: Path) -> None:
    (tmp_path / "text.zip").write_text("no zip")
    assert "is no zip file" in refused(tmp_path / "text.zip")
    assert "There is no file" in refused(tmp_path / "nothing.zip")
    half = tmp_path / "half.zip"
    half.write_bytes(made.read_bytes()[: made.stat().st_size // 2])
    assert "is no zip file, or not whole" in refused(half)
    with ZipFile(tmp_path / "other.zip", "w") as file:
        file.writestr("readme", "x")
    assert "has no manifest.json" in refused(tmp_path / "other.zip")


@pytest.mark.django_db
def test_an_archive_that_lacks_a_part_or_has_one_too_many_is_refused(
    made: Path, tmp_path: Path
) -> None:
    gone = without_hash(made, tmp_path / "gone.zip", tables_register_item_csv=lambda _old: None)
    assert refused(gone) == "tables/register.item.csv is missing: the archive is not whole."
    more = tmp_path / "more.zip"
    shutil.copy(made, more)
    with ZipFile(more, "a") as file:
        file.writestr("tables/more.csv", "x")
    assert refused(more) == "tables/more.csv does not belong to the archive."
    with ZipFile(made) as file:
        photo = next(name for name in file.namelist() if name.startswith("files/"))
    lost = without_hash(
        made, tmp_path / "lost.zip", **{re.sub(r"\W", "_", photo): lambda _old: None}
    )
    assert refused(lost) == f"{photo} is missing: the archive is not whole."


@pytest.mark.django_db
def test_a_part_that_was_altered_is_refused_by_its_name(made: Path, tmp_path: Path) -> None:
    changed = {"tables_register_site_csv": lambda old: old.replace(b"here", b"HERE")}
    altered = without_hash(made, tmp_path / "altered.zip", **changed)
    assert refused(altered).startswith(
        "tables/register.site.csv: its content is not what the manifest"
    )
    with ZipFile(made) as file:
        photo = next(name for name in file.namelist() if name.startswith("files/"))
    spoilt = {re.sub(r"\W", "_", photo): lambda old: old + b"!"}
    assert refused(without_hash(made, tmp_path / "photo.zip", **spoilt)).startswith(f"{photo}: its")


@pytest.mark.django_db
def test_another_version_is_refused_and_the_column_named(made: Path, tmp_path: Path) -> None:
    manifest = without_hash(
        made,
        tmp_path / "v2.zip",
        manifest_json=lambda old: old.replace(b'"version": 1', b'"version": 2'),
    )
    assert "of version 2 of the format, and this program reads version 1" in refused(manifest)
    column = without_hash(
        made,
        tmp_path / "column.zip",
        manifest_json=lambda old: re.sub(rb'"schema": "\w+"', b'"schema": "0"', old),
        csv_metadata_json=lambda old: old.replace(b'"name": "batch"', b'"name": "lot"'),
    )
    assert "tables/register.item.csv, column batch is only in this program" in refused(column)


WRONG = {
    "a day": (
        "register.item",
        "accepted_on",
        "9.3.2026",
        "'9.3.2026': a day like 2026-03-09 is expected",
    ),
    "a number": ("register.site", "facts_version", "many", "'many': a whole number is expected"),
    "a length": ("register.zone", "code", "z" * 30, "at most 20 characters"),
    "a site": (
        "register.item",
        "site",
        "nowhere",
        "'nowhere': no row of tables/register.site.csv is called so",
    ),
    "a truth": ("register.site", "is_store", "yes", "'yes': true or false is expected"),
    "a moment": (
        "register.act",
        "at",
        "2026-03-09T12:00:00+00:00",
        "is written as '2026-03-09T12:00:00Z' here",
    ),
    "JSON": ("register.item", "quarantined_also_for", "[ ]", "is written as '[]' here"),
    "nothing": ("register.item", "site", "", "'': no row of tables/register.site.csv is called so"),
    "a file": ("register.document", "file", "files/00/0.png", "files.csv has no such file"),
}


@pytest.mark.django_db
@pytest.mark.parametrize("what", WRONG)
def test_a_wrong_value_is_told_with_file_line_and_column(
    what: str, made: Path, tmp_path: Path
) -> None:
    table, column, value, why = WRONG[what]

    def change(text: str) -> str:
        lines = list(csv.reader(io.StringIO(text, newline="")))
        lines[1][lines[0].index(column)] = value
        changed = io.StringIO(newline="")
        csv.writer(changed, lineterminator="\r\n").writerows(lines)
        return changed.getvalue()

    sentence = refused(forged(made, tmp_path / "wrong.zip", f"tables/{table}.csv", change))
    assert sentence.startswith(f"tables/{table}.csv, line 2, column {column}: ")
    assert why in sentence


@pytest.mark.django_db
def test_a_row_told_twice_is_refused(made: Path, tmp_path: Path) -> None:
    def twice(text: str) -> str:
        lines = text.split("\r\n")
        return "\r\n".join([*lines[:-1], lines[1], ""])

    sentence = refused(forged(made, tmp_path / "twice.zip", "tables/register.person.csv", twice))
    assert re.match(
        r"tables/register\.person\.csv, line \d+: another row before it has the same", sentence
    )


@pytest.mark.django_db
def test_what_the_database_itself_refuses_is_told_with_its_line(made: Path, tmp_path: Path) -> None:
    def same_serial(text: str) -> str:
        lines = list(csv.reader(io.StringIO(text, newline="")))
        for name in ("product", "serial_key"):
            place = lines[0].index(name)
            lines[3][place] = lines[1][place]
        changed = io.StringIO(newline="")
        csv.writer(changed, lineterminator="\r\n").writerows(lines)
        return changed.getvalue()

    sentence = refused(forged(made, tmp_path / "same.zip", "tables/register.item.csv", same_serial))
    assert sentence.startswith("tables/register.item.csv, line 4: the database refuses it:")


@pytest.mark.django_db
def test_a_ledger_that_was_written_anew_is_refused(made: Path, tmp_path: Path) -> None:
    def change(text: str) -> str:
        return text.replace('""verb"":""', '""verb"":""un', 1)

    sentence = refused(forged(made, tmp_path / "ledger.zip", "tables/register.entry.csv", change))
    assert "the ledger does not fit" in sentence
    assert "its content does not fit its hash" in sentence
    shorter = forged(
        made,
        tmp_path / "shorter.zip",
        "tables/register.head.csv",
        lambda text: re.sub(r",\d+,[0-9a-f]{64}\r\n", f",1,{'0' * 64}\r\n", text, count=1),
    )
    assert "the chain does not end at its head" in refused(shorter)


@pytest.mark.django_db
def test_a_file_that_was_lost_is_told_and_does_not_keep_the_rest_back(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kept = Document(sha256="a" * 64, kind="photo", name="p.png", size=len(PNG), kept_at=NOON)
    kept.file.save("p.png", ContentFile(PNG), save=False)
    kept.save()
    kept.file.storage.delete(kept.file.name)
    call_command("take_archive", tmp_path / "lost.zip")
    assert "NOT FOUND on the disk, so not in it: register.document: " in capsys.readouterr().out
    empty_register()
    call_command("bring_archive", tmp_path / "lost.zip")
    assert "LOST before the archive was made: register.document: " in capsys.readouterr().out
    assert not Document.objects.get().file


@pytest.mark.django_db
def test_the_commands_say_what_went_out_and_never_write_over_a_file(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "out.zip"
    call_command("take_archive", path)
    assert "Keep this hash elsewhere: " in capsys.readouterr().out
    with pytest.raises(CommandError, match="is there already"):
        call_command("take_archive", path)
    with pytest.raises(CommandError, match=r"Nothing was brought in\.$"):
        call_command("bring_archive", tmp_path / "none.zip")


@pytest.mark.django_db
def test_a_moment_later_changes_nothing_but_what_happened(made: Path) -> None:
    """Nothing of the making stands in the archive: each entry has the same old moment."""
    with ZipFile(made) as file:
        assert {each.date_time for each in file.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert str(NOON.year) in json.loads(file.read("manifest.json"))["known_at"]


@pytest.mark.django_db
def test_an_administrator_of_every_site_takes_it_from_the_page(tmp_path: Path) -> None:
    here = SiteFactory()
    everywhere, at_one_site = Client(), Client()
    everywhere.force_login(user_as(Role.ADMINISTRATOR))
    at_one_site.force_login(user_as(Role.ADMINISTRATOR, here))
    assert at_one_site.post("/archive/").status_code == 403
    assert "Only an administrator of every site" in at_one_site.get("/archive/").content.decode()
    everywhere.post("/archive/", follow=True)
    errand = Errand.objects.get()
    assert (errand.state, errand.content_type) == ("done", "application/zip")
    path = tmp_path / "taken.zip"
    path.write_bytes(errand.file.read())
    empty_register()
    assert bring_archive(path).rows > 3
    assert Site.objects.get() == here


@pytest.mark.django_db
@pytest.mark.asks_again
def test_the_archive_asks_for_the_password_again() -> None:
    client = Client()
    client.force_login(user_as(Role.ADMINISTRATOR))
    response = client.post("/archive/")
    assert response.status_code == 302
    assert response["Location"].startswith("/sign-in/again/")
    assert not Errand.objects.exists()


@pytest.mark.django_db
def test_the_description_is_csv_on_the_web_and_the_tables_keep_to_it(
    made: Path, tmp_path: Path
) -> None:
    """Read by csvw, a library for the W3C recommendation: every value of its kind, every reference there."""
    csvw = pytest.importorskip("csvw")
    with ZipFile(made) as file:
        file.extractall(tmp_path)
    read = csvw.CSVW(str(tmp_path / "csv-metadata.json"))
    assert read.tablegroup.check_referential_integrity()
    assert len(read.tables) == len(contents.TAKEN)
    people = next(one for one in read.tables if str(one.url).endswith("register.person.csv"))
    assert "=1+1" in [row["name"] for row in people]
