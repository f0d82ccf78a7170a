"""In doubt a task is not covered: over midnight, at two sites at once, done another way."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest

from inspections.models import Due
from readiness.actions.rota import put_on_rota
from readiness.actions.tasks import change_task
from readiness.models import Competence, RotaEntry
from register.models import Item, Shift, Site
from register.refusal import Refusal
from tests.factories import DAY, ShiftFactory, ZoneFactory, stamp
from tests.readiness.asking import NOON, answers, hour, situation, statement
from tests.readiness.grounds import Ground, covered_site

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


def codes(ground: Ground, day: date = DAY, at: time = NOON) -> list[str]:
    return [one.code for one in answers(ground.site, day, at)["CQ-1"].reasons]


def worst_of_the_night(ground: Ground, day: date) -> list[str]:
    """Of the shift that begins on the day's evening."""
    night = hour(ground.site, time(18), day)
    worst = statement(ground.site, day).worst("CQ-1", night, night + timedelta(hours=12))
    assert worst is not None
    return [one.code for one in worst.answer.reasons]


def by_night(ground: Ground, ends: time = time(6)) -> None:
    """The same shift, from the evening on."""
    Shift.objects.filter(pk=ground.shift.pk).update(begins=time(18), ends=ends)
    ground.shift.refresh_from_db()


def last_good_day(ground: Ground) -> date:
    """Of the kit and all its parts; nothing else of the site ends before."""
    items = [ground.kit.item_id, *ground.kit.parts.values_list("item_id", flat=True)]
    last: date = Due.objects.filter(item__in=items).order_by("last_good_on")[0].last_good_on
    return last


def on_rota_until(ground: Ground, day: date) -> None:
    for one in (ground.rescuer, ground.worker):
        RotaEntry.objects.get_or_create(
            site=ground.site, person=one, day_on=day, shift=ground.shift, zone=ground.zone
        )


def test_a_kit_good_through_today_is_out_at_midnight_in_the_middle_of_the_night(
    ground: Ground,
) -> None:
    last = last_good_day(ground)
    on_rota_until(ground, last)
    assert "kit-not-usable" not in codes(ground, last)
    by_night(ground)
    assert "kit-not-usable" not in codes(ground, last, time(23, 59))
    assert "kit-not-usable" in codes(ground, last + ONE_DAY, time(0))
    assert "kit-not-usable" in worst_of_the_night(ground, last)


def test_a_shift_that_ends_at_midnight_asks_nothing_of_the_day_after(ground: Ground) -> None:
    last = last_good_day(ground)
    on_rota_until(ground, last)
    by_night(ground, ends=time(0))
    assert worst_of_the_night(ground, last) == []


def test_a_ticket_good_through_today_is_out_at_midnight(ground: Ground) -> None:
    Competence.objects.filter(kind="rescuer").update(through_on=DAY)
    assert codes(ground) == []
    by_night(ground)
    assert codes(ground, DAY, time(23)) == []
    assert codes(ground, DAY + ONE_DAY, time(1)) == ["rescuer-lapsed"]


def test_the_night_lapses_at_the_midnight_that_ends_the_last_good_day(ground: Ground) -> None:
    Competence.objects.filter(kind="rescuer").update(through_on=DAY + 3 * ONE_DAY)
    by_night(ground)
    lapse = statement(ground.site).lapse("CQ-1", hour(ground.site, time(19)))
    assert lapse is not None
    assert lapse.begins == hour(ground.site, time(0), DAY + 4 * ONE_DAY)


def at_both(ground: Ground, other: Ground, days: list[date], shift: Shift) -> str:
    """The code with which the rota of the second site refuses the first one's worker."""
    with pytest.raises(Refusal) as refused:
        put_on_rota(
            other.site,
            people=[ground.worker],
            days=days,
            shift=shift,
            zone=other.zone,
            stamp=stamp(),
        )
    return refused.value.code


def test_nobody_goes_from_a_night_to_a_day_at_another_site_in_the_same_hours(
    ground: Ground,
) -> None:
    by_night(ground, ends=time(7))
    RotaEntry.objects.exclude(day_on=DAY).delete()
    other = covered_site("skelhope", "Skelhope Viaduct")
    early = ShiftFactory(site=other.site, name="Early", begins=time(5), ends=time(13))
    assert at_both(ground, other, [DAY + ONE_DAY], early) == "at-another-site"


def test_the_hours_of_two_sites_are_compared_by_each_ones_clock(ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    Site.objects.filter(pk=other.site.pk).update(time_zone="Asia/Tokyo")  # 9 hours ahead in March
    other.site.refresh_from_db()
    late = ShiftFactory(site=other.site, name="Late", begins=time(19), ends=time(23))
    assert at_both(ground, other, [DAY], late) == "at-another-site"  # 10:00 to 14:00 here


def test_another_way_of_doing_it_asks_for_another_plan(ground: Ground) -> None:
    assert codes(ground) == []
    ground.task.remote_attach = True
    change_task(ground.task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())
    assert "plan-for-another-method" in codes(ground)


def test_another_name_asks_for_no_other_plan(ground: Ground) -> None:
    ground.task.name = "Renew the flashing"
    change_task(ground.task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())
    assert codes(ground) == []


def test_an_anchor_whose_zone_is_of_another_site_stands_in_none_of_this_one(
    ground: Ground,
) -> None:
    strange = ZoneFactory(code=ground.zone.code)
    Item.objects.filter(pk=ground.anchor.pk).update(zone=strange)
    (anchor,) = situation(ground.site).anchors
    assert anchor.zone == ""
