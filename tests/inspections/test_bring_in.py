"""A workbook brought in from the shell."""

from __future__ import annotations

from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from register import clock
from register.models import Act, Item, Role, Site, User
from tests.factories import NOON, user_as
from tests.inspections.test_intake_apply import workbook


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    """The workbooks hold days before DAY, wherever the machine's own clock stands."""
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "register.xlsx"
    path.write_bytes(workbook({}, {"Tag": "TW-2", "Serial": "0000399", "Made": "03/04"}))
    return path


def run(*words: str) -> str:
    out = StringIO()
    call_command("bring_in", *words, stdout=out)
    return out.getvalue()


def test_without_apply_it_only_says_what_would_happen(file: Path, petra: User) -> None:
    said = run(str(file), "--as", "petra")
    assert "1 Goes in" in said
    assert "Corrick Quay, line 3: Column G “Made”: 03/04 has no year" in said
    assert "Nothing has gone in" in said
    assert not Item.objects.exists()


def test_with_apply_it_goes_in_under_the_named_user(file: Path, petra: User) -> None:
    assert "1 went in, 1 stayed out." in run(str(file), "--as", "petra", "--apply")
    assert Item.objects.get().serial == "0000398"
    assert Act.objects.get(verb="bring-in").by == petra


def test_lines_that_name_no_site_go_to_the_one_named(tmp_path: Path, petra: User) -> None:
    path = tmp_path / "list.xlsx"
    path.write_bytes(workbook({}, sheet="Sheet1"))
    run(str(path), "--as", "petra", "--site", "corrick", "--apply")
    assert Item.objects.get().site == Site.objects.get(code="corrick")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--as", "nobody"), "There is no user 'nobody'"),
        (("--as", "worker"), "worker may not bring workbooks in"),
        (("--as", "petra", "--site", "nowhere"), "no site with the code 'nowhere'"),
    ],
)
def test_a_wrong_name_is_told(file: Path, petra: User, words: tuple[str, ...], told: str) -> None:
    user_as(Role.WORKER, username="worker")
    with pytest.raises(CommandError, match=told):
        run(str(file), *words)


def test_a_missing_file_is_told(tmp_path: Path, petra: User) -> None:
    with pytest.raises(CommandError, match="cannot be read"):
        run(str(tmp_path / "none.xlsx"), "--as", "petra")
