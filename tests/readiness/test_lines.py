"""The states along the days, which the line draws, are the answers of each day taken alone."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from readiness.board.days import line_words, states_along
from readiness.board.judging import judged
from readiness.facts import gather, read
from readiness.models import Competence, Exposure, RotaEntry
from tests.factories import DAY, PersonFactory
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
    """Each day asked alone, from its own rows."""
    found: dict[str, list[str]] = {"CQ-1": [], "CQ-2": []}
    for offset in range(count):
        answers = judged(gather(ground.site, DAY + offset * ONE_DAY, ground.shift, 0))
        for task, states in found.items():
            states.append(answers[task].state if task in answers else "not-worked")
    return {task: tuple(states) for task, states in found.items()}


def along(ground: Ground, count: int = 14) -> dict[str, tuple[str, ...]]:
    (rows,) = read([ground.site], DAY, DAY + 30 * ONE_DAY)
    return states_along(rows, ground.shift, DAY, count)


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


def test_the_words_of_a_line_name_each_stretch() -> None:
    states = ("covered-with-backup", "covered-with-backup", "not-worked", "not-assessed")
    assert line_words(states, date(2026, 3, 30)) == (
        "30 Mar 2026 to 31 Mar 2026: covered, with backup; 1 Apr 2026: not worked; "
        "2 Apr 2026: not assessed."
    )
