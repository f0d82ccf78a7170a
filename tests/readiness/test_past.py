"""The trend of cover: what was stated while each shift ran, added up by weeks."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from readiness.board.past import keep_past, weeks
from readiness.models import PastShift
from readiness.rules.columns import columns
from readiness.rules.past import shift_parts
from readiness.rules.statement import Statement, state
from readiness.rules.timeline import KitTime, TaskTime
from register.models import Role, Site
from tests.factories import SiteFactory, user_as
from tests.readiness.timelines import DAY, at, kit, rescuer, site, task, whole, worked

NEXT = DAY + timedelta(days=1)
DAY_SHIFT, NIGHT = (time(6), time(14)), (time(22), time(6))


def stated(key: tuple[str, str] = ("06:00", "10:00")) -> Statement:
    """A task by day and by night; its kit behind a key until ten in the morning."""
    hours = [(at("06:00"), at("14:00")), (at("22:00"), at("06:00", NEXT))]
    kits = [KitTime(kit(), in_reach=((at(key[0]), at(key[1])),))]
    people = [rescuer("Ada", whole(), whole(NEXT)), rescuer("Bela", whole(), whole(NEXT))]
    shifts: TaskTime = replace(worked(task(), *hours), shifts=(DAY_SHIFT, NIGHT))
    return state(site([shifts], kits, people), DAY, at("00:00"))


def minutes(first: datetime, last: datetime) -> list[tuple[date, float, float]]:
    return [(part.day, part.minutes, part.covered) for part in shift_parts(stated(), first, last)]


def test_of_each_shift_the_minutes_that_needed_cover_and_had_it_are_told() -> None:
    assert minutes(at("00:00"), at("06:00", NEXT)) == [(DAY, 480, 240), (DAY, 480, 0)]


def test_a_night_shift_belongs_to_the_day_on_which_it_begins_also_after_midnight() -> None:
    assert minutes(at("00:00", NEXT), at("12:00", NEXT)) == [(DAY, 360, 0)]


def test_only_the_part_of_a_shift_that_lies_in_the_time_asked_for_is_told() -> None:
    assert minutes(at("09:00"), at("11:00")) == [(DAY, 120, 60)]


@pytest.fixture
def corrick(db: None) -> Site:
    return SiteFactory(code="corrick")


def test_statements_in_force_one_after_the_other_add_up_to_the_shift(corrick: Site) -> None:
    """The first says: covered until ten. At nine it is replaced by one that says: all along."""
    keep_past(corrick, stated(), at("00:00"), at("09:00"))
    keep_past(corrick, stated(("00:00", "23:00")), at("09:00"), at("15:00"))

    row = PastShift.objects.get(begins_at=at("06:00"))

    assert (row.minutes, row.covered_minutes) == (480, 480)


def test_a_shift_counts_as_covered_only_to_the_last_minute(corrick: Site) -> None:
    keep_past(corrick, stated(("06:00", "13:59")), at("00:00"), at("20:00"))
    (week,) = weeks(PastShift.objects.all(), DAY, 1)

    assert (week.shifts, week.covered, week.percent) == (1, 0, 0)


def test_weeks_begin_on_monday_and_those_without_work_are_empty(corrick: Site) -> None:
    keep_past(corrick, stated(("06:00", "14:00")), at("00:00"), at("15:00"))
    before, week, after = weeks(PastShift.objects.all(), DAY + timedelta(days=7), 3)

    assert [one.monday.weekday() for one in (before, week, after)] == [0, 0, 0]
    assert [(one.shifts, one.covered) for one in (before, week, after)] == [(0, 0), (1, 1), (0, 0)]


def test_a_share_is_rounded_down_so_that_a_hundred_is_all_of_them(corrick: Site) -> None:
    rows = [
        PastShift(
            site=corrick,
            task=f"T{number}",
            day_on=DAY,
            begins_at=at("06:00"),
            ends_at=at("14:00"),
            minutes=480,
            covered_minutes=480 if number else 0,
        )
        for number in range(200)
    ]
    PastShift.objects.bulk_create(rows)
    (week,) = weeks(PastShift.objects.all(), DAY, 1)

    assert week.percent == 99


def test_a_supervisor_sees_the_trend_of_the_own_site_only(corrick: Site, client: Client) -> None:
    keep_past(corrick, stated(), at("00:00"), at("15:00"))
    client.force_login(user_as(Role.SUPERVISOR, SiteFactory(code="skelhope")))

    shown = client.get(reverse("readiness:trend"), {"site": "corrick"})

    assert not shown.context["any"]
    assert list(shown.context["sites"].values_list("code", flat=True)) == ["skelhope"]


def test_columns_reach_as_high_as_their_share() -> None:
    first, empty, last = columns([(1, 0.5), None, (0.25, 0)], 300, 100)

    assert empty is None
    assert first is not None
    assert last is not None
    assert (first.frame_top, first.frame_height, first.fill_height) == (0, 100, 50)
    assert (last.left, last.frame_top, last.fill_height) == (200, 75, 0)
