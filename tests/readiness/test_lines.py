"""The states along the days, which the line draws, are the answers of each day taken alone."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from readiness.board.days import line_words, states_along, worst_along
from readiness.models import Competence, Exposure, RotaEntry
from tests.factories import DAY, PersonFactory
from tests.readiness.asking import hour, statement, states_on
from tests.readiness.grounds import (
    Ground,
    anchor_at,
    arrest_task,
    covered_site,
    on_rota,
    plan_for,
    rated_kit,
    train,
)

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    """Two tasks, two kits and two rescuers whose days, dates and zones all differ."""
    ground = covered_site()
    second = PersonFactory(home_site=ground.site)
    train(second)
    on_rota(second, ground.zone, ground.shift, DAY + 2 * ONE_DAY, days=4)
    held = Competence.objects.filter(person=ground.rescuer, kind="rescuer")
    held.update(through_on=DAY + 5 * ONE_DAY)
    Competence.objects.create(
        person=ground.rescuer,
        kind="rescuer",
        family="controlled descent",
        from_on=DAY + 8 * ONE_DAY,
        through_on=DAY + 90 * ONE_DAY,
    )
    rated_kit(ground.zone, "XK-2")
    other = arrest_task(ground.zone, ground.shift, "CQ-2", DAY + 3 * ONE_DAY, days=3)
    other.rescue_anchors.add(anchor_at(ground.zone, place="AN-2"))
    Exposure.objects.create(task=other, person=ground.worker)
    plan_for(other)
    return ground


def by_day(ground: Ground, count: int) -> dict[str, tuple[str, ...]]:
    """Each day asked alone, from its own rows; both tasks are worked in the hours of one shift."""
    return {task: states_on(ground.site, task, count) for task in ("CQ-1", "CQ-2")}


def along(ground: Ground, count: int = 14) -> dict[str, tuple[str, ...]]:
    made, at = statement(ground.site), hour(ground.site, ground.shift.begins)
    return {task: states_along(made, task, at, count) for task in ("CQ-1", "CQ-2")}


def test_the_line_is_what_each_day_taken_alone_says(ground: Ground) -> None:
    found = along(ground)
    assert found == by_day(ground, 14)
    assert len(set(found["CQ-1"])) >= 2
    assert len(set(found["CQ-2"])) >= 2


def test_the_line_follows_a_rescuer_who_starts_from_another_zone(ground: Ground) -> None:
    far = ground.site.zones.create(code="far", name="Far end")
    moved = DAY + ONE_DAY
    RotaEntry.objects.filter(person=ground.rescuer, day_on=moved).update(zone=far)
    found = along(ground)
    assert found == by_day(ground, 14)
    assert found["CQ-1"][:3] == ("covered-no-backup", "not-covered", "covered-no-backup")


def test_hours_of_today_that_are_over_no_longer_break_the_line(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on=DAY).update(begins=time(9))
    made = statement(ground.site)
    by_hour = {
        at: states_along(made, "CQ-1", hour(ground.site, time(at)), 1)[0] for at in (6, 9, 18)
    }
    assert by_hour == {6: "not-covered", 9: "covered-no-backup", 18: "not-worked"}


def test_one_line_for_a_site_shows_the_worst_of_each_day() -> None:
    lines = [
        ("covered-with-backup", "not-worked", "covered-no-backup"),
        ("not-assessed", "not-worked", "no-rescue-cover-needed"),
    ]
    assert worst_along(lines) == ("not-assessed", "not-worked", "covered-no-backup")


def test_the_words_of_a_line_name_each_stretch() -> None:
    states = ("covered-with-backup", "covered-with-backup", "not-worked", "not-assessed")
    assert line_words(states, date(2026, 3, 30)) == (
        "30 Mar 2026 to 31 Mar 2026: covered, with backup; 1 Apr 2026: not worked; "
        "2 Apr 2026: not assessed."
    )
