"""From rows to a site over time: hours by the clock on site, keys, late arrivals, training to come."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from readiness.facts import timelines
from readiness.models import Competence, Exposure, RotaEntry
from readiness.rules.spans import spans
from readiness.rules.windows import midnight
from register.actions.conditions import quarantine
from register.models import Item
from tests.factories import DAY, ShiftFactory, stamp
from tests.readiness.grounds import Ground, covered_site, on_rota, plan_for

pytestmark = pytest.mark.django_db
ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground() -> Ground:
    return covered_site()


def told(ground: Ground, day: date = DAY, task: str = "CQ-1") -> list[tuple[str, str, str]]:
    """(from, until, first reason or state) of the hours worked on the day."""
    (timeline,) = timelines([ground.site], day, day)
    edges = (midnight(day, timeline.zone), midnight(day + ONE_DAY, timeline.zone))
    found = []
    for span in spans(timeline, *edges):
        if task in span.answers:
            answer = span.answers[task]
            clock = [moment.astimezone(timeline.zone) for moment in (span.begins, span.ends)]
            what = answer.reasons[0].code if answer.reasons else answer.state
            found.append((f"{clock[0]:%H:%M}", f"{clock[1]:%H:%M}", what))
    return found


def test_a_task_is_worked_in_the_hours_of_its_shift(ground: Ground) -> None:
    hours = (f"{ground.shift.begins:%H:%M}", f"{ground.shift.ends:%H:%M}")

    assert told(ground) == [(*hours, "covered-no-backup")]


def test_a_rescuer_who_comes_later_counts_from_the_hour_they_come(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).update(begins=time(9, 30))

    assert told(ground)[0][1:] == ("09:30", "no-rescuer")
    assert told(ground)[1][0::2] == ("09:30", "covered-no-backup")


def test_a_rescuer_who_goes_early_counts_until_the_hour_they_go(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).update(ends=time(11))

    assert told(ground)[-1][0::2] == ("11:00", "no-rescuer")


def test_a_kit_behind_a_key_counts_in_the_hours_of_the_key(ground: Ground) -> None:
    ground.kit.ability.key_from, ground.kit.ability.key_until = time(9), time(12)
    ground.kit.ability.save()

    assert [what for _, _, what in told(ground)] == [
        "kit-out-of-reach",
        "covered-no-backup",
        "kit-out-of-reach",
    ]
    assert told(ground)[1][:2] == ("09:00", "12:00")


def test_a_kit_locked_away_on_a_shift_is_out_of_reach_in_its_hours(ground: Ground) -> None:
    ground.kit.ability.locked_shifts.add(ground.shift)

    assert [what for _, _, what in told(ground)] == ["kit-out-of-reach"]


def test_the_hours_after_midnight_of_the_night_before_belong_to_the_day(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(22), ends=time(6))
    ground.task.shifts.set([night])
    on_rota(ground.rescuer, ground.zone, night, DAY)

    assert told(ground, DAY) == [("22:00", "00:00", "covered-no-backup")]
    assert told(ground, DAY + ONE_DAY)[0] == ("00:00", "06:00", "covered-no-backup")
    assert told(ground, DAY + ONE_DAY)[1][0] == "22:00"


def test_those_exposed_on_one_shift_only_hang_in_its_hours_only(ground: Ground) -> None:
    late = ShiftFactory(site=ground.site, name="Late", begins=ground.shift.ends, ends=time(23))
    ground.task.shifts.add(late)
    Exposure.objects.filter(task=ground.task).update(shift=ground.shift)
    on_rota(ground.rescuer, ground.zone, late, DAY)

    assert [what for _, _, what in told(ground)] == ["covered-no-backup", "not-assessed"]


def test_training_that_begins_tomorrow_counts_tomorrow(ground: Ground) -> None:
    Competence.objects.filter(kind="rescuer").update(from_on=DAY + ONE_DAY)

    assert told(ground)[0][2] == "no-rescuer"
    assert told(ground, DAY + ONE_DAY)[0][2] == "covered-no-backup"


def test_two_tasks_on_shifts_that_overlap_compete_in_the_hours_they_share(ground: Ground) -> None:
    other = ShiftFactory(site=ground.site, name="Late", begins=time(12), ends=time(22))
    second = ground.task
    second.pk, second.code = None, "CQ-2"
    second.save()
    second.shifts.add(other)
    second.rescue_anchors.add(ground.anchor)
    Exposure.objects.create(task=second, person=ground.worker)
    plan_for(second)
    on_rota(ground.rescuer, ground.zone, other)

    assert told(ground)[0][2] == "covered-no-backup"
    assert told(ground)[1][2] in {"contested", "rescuer-is-exposed"}
    assert told(ground)[1][0] == "12:00"


def test_reading_more_tasks_and_people_asks_no_more_of_the_database(
    ground: Ground, django_assert_max_num_queries
) -> None:
    with django_assert_max_num_queries(27):
        timelines([ground.site], DAY, DAY + 90 * ONE_DAY)


def test_the_hours_before_a_quarantine_are_told_as_they_were(ground: Ground) -> None:
    at_ten = datetime.combine(DAY, time(10, 12), tzinfo=ZoneInfo("Europe/London"))
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp(at=at_ten))

    begins, ends = f"{ground.shift.begins:%H:%M}", f"{ground.shift.ends:%H:%M}"
    assert told(ground) == [
        (begins, "10:12", "covered-no-backup"),
        ("10:12", ends, "kit-not-usable"),
    ]


def test_the_hours_before_a_part_went_out_are_told_as_they_were(ground: Ground) -> None:
    at_ten = datetime.combine(DAY, time(10, 12), tzinfo=ZoneInfo("Europe/London"))
    part = ground.kit.parts.get(role="descender").item
    quarantine(part, reason="damage-found", stamp=stamp(at=at_ten))

    assert told(ground)[0][1:] == ("10:12", "covered-no-backup")
    assert told(ground)[1][2] == "kit-not-usable"


def test_the_hours_before_an_anchor_went_out_are_told_as_they_were(ground: Ground) -> None:
    at_ten = datetime.combine(DAY, time(10, 12), tzinfo=ZoneInfo("Europe/London"))
    quarantine(ground.anchor, reason="damage-found", stamp=stamp(at=at_ten))

    assert [what for _, _, what in told(ground)] == ["covered-no-backup", "no-rescue-anchor"]


def test_a_kit_that_lacks_more_than_a_part_gone_out_lacks_it_from_the_start(
    ground: Ground,
) -> None:
    at_ten = datetime.combine(DAY, time(10, 12), tzinfo=ZoneInfo("Europe/London"))
    part = ground.kit.parts.get(role="descender").item
    ground.kit.parts.filter(role="rope").update(item=None)
    quarantine(part, reason="damage-found", stamp=stamp(at=at_ten))

    assert [what for _, _, what in told(ground)] == ["kit-not-usable"]


def test_what_never_was_in_service_was_not_good_before_it_went_out(ground: Ground) -> None:
    at_ten = datetime.combine(DAY, time(10, 12), tzinfo=ZoneInfo("Europe/London"))
    Item.objects.filter(pk=ground.kit.item_id).update(accepted_on=None)
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp(at=at_ten))

    assert [what for _, _, what in told(ground)] == ["kit-not-usable"]
