"""Rescue cover over the API: what the statement says for the time asked for, never a yes in doubt."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.core.cache import cache
from django.core.management import call_command

from readiness.models import KeptStatement
from register import clock
from register.actions.conditions import quarantine
from register.models import Role, Site
from tests.api_callers import Asker, asker
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, ShiftFactory, stamp, user_as
from tests.readiness.grounds import Ground, covered_site

pytestmark = pytest.mark.django_db
DAY_SHIFT = {"on": DAY.isoformat(), "shift": "Day"}


@pytest.fixture
def ground(monkeypatch: pytest.MonkeyPatch) -> Ground:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()
    return covered_site()


@pytest.fixture
def system(ground: Ground) -> Asker:
    return asker(user_as(Role.WORKER, ground.site))


def cover(system: Asker, ground: Ground, **asked: str) -> dict[str, Any]:
    query = "&".join(f"{name}={value}" for name, value in asked.items())
    answer = system.get(f"/sites/{ground.site.code}/cover?{query}")
    assert answer.status_code == 200, answer.content
    told: dict[str, Any] = answer.json()
    return told


def test_a_covered_task_names_what_serves_and_what_it_hangs_on(
    system: Asker, ground: Ground
) -> None:
    told = cover(system, ground, **DAY_SHIFT)
    assert (told["is_fresh"], told["is_staffed"], told["undeclared_pieces"]) == (True, True, 0)
    (task,) = told["tasks"]
    assert (task["task"], task["state"], task["counts_as_covered"]) == (
        "CQ-1",
        "covered-no-backup",
        True,
    )
    (piece,) = task["pieces"]
    assert piece["serves"]["kit"] == ground.kit.name
    assert piece["serves"]["people"] == [str(ground.rescuer)]
    assert isinstance(piece["serves"]["minutes"], float)
    assert {(one["kind"]) for one in piece["hangs_on"]} == {"kit", "person", "anchor"}
    assert (piece["begins_at"], piece["ends_at"]) == (
        "2026-03-09T06:00:00Z",
        "2026-03-09T18:00:00Z",
    )


def test_it_lapses_on_the_first_day_without_people_on_the_rota(
    system: Asker, ground: Ground
) -> None:
    """The rota of the ground has ten days from DAY on."""
    (task,) = cover(system, ground, **DAY_SHIFT)["tasks"]
    assert task["lapses_on"] == (DAY + timedelta(days=10)).isoformat()
    assert {one["slug"] for one in task["lapse_reasons"]} >= {"no-rescuer"}


def test_what_is_not_covered_says_why_by_slug_and_in_a_sentence(
    system: Asker, ground: Ground
) -> None:
    part = ground.kit.parts.exclude(item=None).first()
    assert part
    assert part.item
    quarantine(part.item, reason="damage-found", note="", stamp=stamp())
    (task,) = cover(system, ground, **DAY_SHIFT)["tasks"]
    assert (task["state"], task["counts_as_covered"]) == ("not-covered", False)
    before, since = task["pieces"]
    assert (before["state"], before["reasons"]) == ("covered-no-backup", [])
    assert since["begins_at"] == "2026-03-09T12:00:00Z"
    assert {reason["slug"] for reason in since["reasons"]} == {"kit-not-usable"}
    assert ground.kit.name in since["reasons"][0]["sentence"]
    assert task["lapses_on"] is None


def test_a_day_without_a_shift_is_told_from_midnight_to_midnight_on_site(
    system: Asker, ground: Ground
) -> None:
    Site.objects.update(time_zone="Australia/Adelaide")
    told = cover(system, ground, on="2026-03-12")
    assert (told["begins_at"], told["ends_at"]) == (
        "2026-03-11T13:30:00Z",
        "2026-03-12T13:30:00Z",
    )


def test_a_shift_past_midnight_belongs_to_the_day_on_which_it_begins(
    system: Asker, ground: Ground
) -> None:
    ShiftFactory(site=ground.site, name="Night", begins="18:00", ends="06:00")
    told = cover(system, ground, on=DAY.isoformat(), shift="Night")
    assert (told["begins_at"], told["ends_at"]) == (
        "2026-03-09T18:00:00Z",
        "2026-03-10T06:00:00Z",
    )
    assert told["tasks"] == []


@pytest.mark.parametrize(
    "asked", ["on=2026-03-08", "on=2026-06-08", "shift=Night", "on=9 Mar", "day=2026-03-09"]
)
def test_what_the_statement_does_not_reach_is_refused(
    system: Asker, ground: Ground, asked: str
) -> None:
    assert system.get(f"/sites/{ground.site.code}/cover?{asked}").status_code == 422


def test_the_last_day_of_the_statement_is_told_of(system: Asker, ground: Ground) -> None:
    assert cover(system, ground, on="2026-06-07")["on"] == "2026-06-07"


def test_of_a_statement_that_facts_have_overtaken_nothing_counts(
    system: Asker, ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    cover(system, ground)
    Site.objects.update(facts_version=99)
    monkeypatch.setattr("readiness.board.standings._made_now", lambda *_args: [])
    told = cover(system, ground, **DAY_SHIFT)
    assert told["is_fresh"] is False
    assert {one["counts_as_covered"] for one in told["tasks"]} == {False}


def test_a_site_of_which_nothing_was_ever_told_is_not_fresh(
    system: Asker, ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("readiness.board.standings._made_now", lambda *_args: [])
    told = cover(system, ground, **DAY_SHIFT)
    assert (told["is_fresh"], told["tasks"]) == (False, [])
    assert not KeptStatement.objects.exists()


def test_arrest_equipment_in_hands_without_a_task_is_told(system: Asker, ground: Ground) -> None:
    ground.task.to_on = DAY - timedelta(days=1)
    ground.task.from_on = DAY - timedelta(days=9)
    ground.task.save()
    ItemFactory(site=ground.site, custody="person", holder=PersonFactory())
    assert cover(system, ground)["undeclared_pieces"] == 1


# What if

VECTORS = Path(__file__).parents[1] / "vectors"


def test_a_file_is_answered_as_by_the_command(
    system: Asker, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    scenarios = json.loads((VECTORS / "cover-scenarios.json").read_text())
    file = tmp_path / "what-if.json"
    policy = scenarios.get("policy")
    asked = {"scenarios": scenarios["scenarios"][:8]} | ({"policy": policy} if policy else {})
    file.write_text(json.dumps(asked))
    call_command("what_if", str(file))
    by_command = json.loads(capsys.readouterr().out)
    answer = system.post("/what-if", asked, key=None)
    assert answer.status_code == 200, answer.content
    assert answer.json()["scenarios"] == by_command
    assert len(by_command) == 8


def test_a_mistake_in_a_file_is_told_with_its_place(system: Asker) -> None:
    kit = {"id": "k", "zone": "a"}
    asked = {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": [], "kits": [kit]}]}
    answer = system.post("/what-if", asked, key=None)
    assert answer.status_code == 422
    (mistake,) = answer.json()["errors"]
    assert mistake["pointer"] == "#/scenarios/0/kits/0/family"
    assert "expected this key" in mistake["detail"]


@pytest.mark.parametrize(
    "asked",
    [
        {"scenarios": []},
        {"scenarios": [{"id": str(n), "on": "2026-03-09", "tasks": []} for n in range(11)]},
        {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": [{}] * 101}]},
        {"scenarios": [{"id": n, "on": "2026-03-09", "tasks": [{}] * 51} for n in "ab"]},
        {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": [], "horizon_days": 367}]},
        {"scenarios": [], "more": 1},
    ],
)
def test_a_file_beyond_its_limits_is_refused(system: Asker, asked: object) -> None:
    assert system.post("/what-if", asked, key=None).status_code == 422


def test_a_file_of_more_than_is_answered_in_seconds_is_not_read(system: Asker) -> None:
    asked = {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": [], "note": "x" * 100_000}]}
    assert system.post("/what-if", asked, key=None).status_code == 413
