"""What the weeks ahead ask for, and what there will be."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from readiness.rules.look_ahead import Need, WeekAhead, weeks_ahead
from readiness.rules.situation import Clock
from readiness.rules.timeline import KitTime, PersonTime, TaskTime, Timeline
from readiness.rules.windows import ALWAYS
from tests.readiness.timelines import (
    DAY,
    anchor,
    at,
    first_aider,
    kit,
    rescuer,
    site,
    task,
    there,
    worked,
)

SECOND = DAY + timedelta(days=7)  # DAY is a Monday


def ground(*more: TaskTime, kits: tuple[KitTime, ...] = ()) -> Timeline:
    """A covered task in the first week; more tasks as asked."""
    first = worked(task("T1"), (at("06:00"), at("14:00")))
    people: list[PersonTime] = [rescuer("Ada", *ALWAYS), first_aider("Fern", *ALWAYS)]
    return site([first, *more], [there(kit()), *kits], people)


def week(timeline: Timeline, number: int) -> WeekAhead:
    return weeks_ahead(timeline, DAY, 2)[number]


def need(found: WeekAhead, kind: str) -> Need:
    return next(one for one in found.needs if one.kind == kind)


def second_week(name: str = "T2", **known: object) -> TaskTime:
    hours = (at("06:00", SECOND), at("14:00", SECOND))
    return worked(task(name, **known), hours, exposed=("Wim",))


def test_a_week_that_has_all_it_needs_is_short_of_nothing() -> None:
    found = week(ground(), 0)

    assert (found.tasks, found.at_once, found.hours, found.covered) == (("T1",), 1, 8, 8)
    assert found.shortages == ()


def test_a_week_without_work_asks_for_nothing() -> None:
    found = week(ground(), 1)

    assert (found.tasks, found.hours, found.needs) == ((), 0, ())


def test_two_tasks_at_once_ask_for_two_kits_and_two_rescuers() -> None:
    found = week(ground(second_week("T2"), second_week("T3")), 1)

    assert (found.at_once, found.hours, found.covered) == (2, 16, 0)
    assert [(one.kind, one.needed, one.there) for one in found.shortages] == [
        ("kits", 2, 1),
        ("rescuers", 2, 1),
    ]
    assert need(found, "kits").first_on == SECOND


def test_a_kit_whose_date_passes_in_the_week_is_short_from_the_day_after() -> None:
    ends = SECOND + timedelta(days=1)
    dated = there(kit(clocks=(Clock("rope", "periodic examination", ends),)))
    days = [SECOND + timedelta(days=n) for n in range(4)]
    hours = [(at("06:00", day), at("14:00", day)) for day in days]
    people: list[PersonTime] = [rescuer("Ada", *ALWAYS)]
    found = week(site([worked(task("T2"), *hours)], [dated], people), 1)

    assert need(found, "kits").first_on == ends + timedelta(days=1)
    assert (found.hours, found.covered) == (32, 16)


def test_what_a_task_lacks_of_its_own_is_told_by_its_name() -> None:
    bare = second_week("T2", plan=None, rescue_anchors=(), lower_m=None)
    found = week(ground(bare), 1)

    assert {one.kind: one.tasks for one in found.shortages} == {
        "anchors": ("T2",),
        "plans": ("T2",),
        "drills": ("T2",),
        "facts": ("T2",),
    }


def test_who_may_hang_is_not_counted_as_a_rescuer() -> None:
    hanging = replace(second_week("T2"), works=())
    hours = second_week("T2").works[0]
    found = week(ground(replace(hanging, works=(replace(hours, exposed=("Ada",)),))), 1)

    assert need(found, "rescuers").short == 1


def test_a_task_with_an_anchor_in_date_is_not_short_of_one() -> None:
    assert anchor().due == date.max
    assert need(week(ground(second_week()), 1), "anchors").short == 0


def test_of_the_week_that_runs_only_what_is_left_of_it_is_told() -> None:
    """On Monday nobody was there; from Tuesday on all is well."""
    tuesday = DAY + timedelta(days=1)
    hours = [(at("06:00", day), at("14:00", day)) for day in (DAY, tuesday)]
    here = (at("00:00", tuesday), at("00:00", SECOND))
    running = site([worked(task(), *hours)], [there(kit())], [rescuer("Ada", here)])

    assert [week.hours for week in weeks_ahead(running, tuesday, 1)] == [8]
    assert weeks_ahead(running, tuesday, 1)[0].shortages == ()
    assert {need.kind for need in weeks_ahead(running, DAY, 1)[0].shortages} == {
        "rescuers",
        "first-aiders",
    }
