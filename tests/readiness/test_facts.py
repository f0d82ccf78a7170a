"""What the cover rule is told about a site, and in how many queries."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.conditions import clocks_of
from readiness.facts import timelines
from readiness.models import Competence, Drill, Plan, RotaEntry
from register.models import Passage, Site
from tests.factories import DAY, PersonFactory, ShiftFactory, ZoneFactory
from tests.readiness.asking import answers, hour, situation, statement
from tests.readiness.grounds import (
    Ground,
    anchor_at,
    arrest_task,
    covered_site,
    on_rota,
    plan_for,
    rated_kit,
    sums_of,
    train,
)

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


def state(ground: Ground, day: date = DAY) -> str:
    return answers(ground.site, day)["CQ-1"].state


def codes(ground: Ground, day: date = DAY) -> list[str]:
    return [one.code for one in answers(ground.site, day)["CQ-1"].reasons]


def test_a_site_with_one_of_everything_is_covered_and_hangs_on_each(ground: Ground) -> None:
    answer = answers(ground.site)["CQ-1"]
    assert answer.state == "covered-no-backup"
    assert [thing.kind for thing in answer.hangs_on] == ["kit", "person", "anchor"]


def test_every_clock_of_the_kit_and_its_parts_is_told(ground: Ground) -> None:
    items = [ground.kit.item, *(part.item for part in ground.kit.parts.all() if part.item)]
    kept = sorted(one.last_day for found in clocks_of(items).values() for one in found)
    (kit,) = situation(ground.site).kits
    assert sorted(clock.due for clock in kit.clocks) == kept
    assert len(kept) >= 3


@pytest.mark.parametrize(
    ("field", "value"),
    [("bound_for", "other"), ("custody", "in-transit"), ("custody", "maker"), ("site", "other")],
)
def test_a_kit_that_is_on_its_way_covers_nobody(ground: Ground, field: str, value: str) -> None:
    item = ground.kit.item
    other = Site.objects.create(code="other", name="Other")
    setattr(item, field, other if value == "other" else value)
    item.save()
    assert codes(ground) == ["no-kit"]


def _broken_seal(ground: Ground) -> None:
    ground.kit.seal_intact = False
    ground.kit.save()


def _no_seal_number(ground: Ground) -> None:
    ground.kit.seal_number = ""
    ground.kit.save()


def _part_missing(ground: Ground) -> None:
    ground.kit.parts.filter(role="rope").update(item=None)


def _part_quarantined(ground: Ground) -> None:
    part = ground.kit.parts.get(role="rope").item
    part.condition, part.quarantine_reason = "quarantined", "damage-found"
    part.save()


def _part_elsewhere(ground: Ground) -> None:
    part = ground.kit.parts.get(role="rope").item
    part.custody, part.kit = "stores", None
    part.save()


def _no_card(ground: Ground) -> None:
    ground.kit.parts.all().delete()


def _caged(ground: Ground) -> None:
    ground.kit.item.custody = "cage"
    ground.kit.item.save()


def _with_the_inspector(ground: Ground) -> None:
    ground.kit.item.custody = "inspector"
    ground.kit.item.save()


def _handed_out(ground: Ground) -> None:
    ground.kit.item.custody, ground.kit.item.holder = "person", ground.worker
    ground.kit.item.save()


@pytest.mark.parametrize(
    "spoil",
    [
        _broken_seal,
        _no_seal_number,
        _part_missing,
        _part_quarantined,
        _part_elsewhere,
        _no_card,
        _caged,
        _with_the_inspector,
        _handed_out,
    ],
)
def test_a_kit_counts_only_whole_sealed_and_at_its_place(
    ground: Ground, spoil: Callable[[Ground], None]
) -> None:
    spoil(ground)
    assert codes(ground) == ["kit-not-usable"]


def test_a_kit_that_nobody_rated_does_nothing(ground: Ground) -> None:
    ground.kit.ability.delete()
    assert "kit-lacks-function" in codes(ground)


def test_a_kit_locked_away_on_the_shift_is_out_of_reach(ground: Ground) -> None:
    ground.kit.ability.locked_shifts.add(ground.shift)
    assert codes(ground) == ["kit-out-of-reach"]


def test_a_kit_in_another_zone_is_as_near_as_the_passage_says(ground: Ground) -> None:
    gate = ZoneFactory(site=ground.site, code="gate")
    ground.kit.item.zone = gate
    ground.kit.item.save()
    assert codes(ground) == ["kit-out-of-reach"]
    Passage.objects.create(start=gate, end=ground.zone, minutes=3)
    assert state(ground) == "covered-no-backup"


def test_who_is_not_on_the_rota_is_absent(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on=DAY).delete()
    assert codes(ground) == ["no-rescuer", "no-first-aider"]
    assert state(ground, DAY + ONE_DAY) == "covered-no-backup"


def test_who_has_left_the_employer_is_absent_though_the_rota_names_them(ground: Ground) -> None:
    ground.rescuer.left_on = DAY
    ground.rescuer.save()
    assert codes(ground) == ["no-rescuer", "no-first-aider"]


def test_a_person_on_another_shift_does_not_count(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(18), ends=time(6))
    ground.task.shifts.add(night)
    reasons = answers(ground.site, at=time(23))["CQ-1"].reasons
    assert [one.code for one in reasons] == ["no-rescuer", "no-first-aider"]


def test_training_that_begins_tomorrow_does_not_count_today(ground: Ground) -> None:
    rows = Competence.objects.filter(person=ground.rescuer, kind="rescuer")
    rows.update(from_on=DAY + ONE_DAY)
    assert codes(ground) == ["no-rescuer"]
    assert state(ground, DAY + ONE_DAY) == "covered-no-backup"


def test_a_renewal_without_a_gap_lets_nothing_lapse(ground: Ground) -> None:
    held = Competence.objects.get(person=ground.rescuer, kind="rescuer")
    held.through_on = DAY + 2 * ONE_DAY
    held.save()
    lapse = statement(ground.site).lapse("CQ-1", hour(ground.site))
    assert lapse is not None
    assert lapse.begins == hour(ground.site, ground.shift.begins, DAY + 3 * ONE_DAY)
    Competence.objects.create(
        person=ground.rescuer,
        kind="rescuer",
        family=held.family,
        from_on=DAY + 3 * ONE_DAY,
        through_on=DAY + 400 * ONE_DAY,
    )
    lapse = statement(ground.site).lapse("CQ-1", hour(ground.site))
    assert lapse is not None
    assert lapse.begins == hour(ground.site, ground.shift.begins, DAY + 10 * ONE_DAY)
    assert [reason.code for reason in lapse.answer.reasons] == ["no-rescuer", "no-first-aider"]


def test_an_anchor_in_stores_is_no_rescue_anchor(ground: Ground) -> None:
    ground.anchor.custody = "stores"
    ground.anchor.save()
    assert codes(ground) == ["no-rescue-anchor"]


def test_only_the_newest_plan_stands(ground: Ground) -> None:
    Plan.objects.create(
        task=ground.task,
        version=2,
        method="Call the fire brigade",
        relies_on_emergency_services=True,
        reviewed_on=DAY,
        target_minutes=15,
    )
    assert codes(ground) == ["plan-relies-on-emergency-services", "drill-due"]


def test_a_drill_still_proves_a_plan_that_was_only_reviewed(ground: Ground) -> None:
    again = ground.task.plans.get()
    again.pk, again.version, again.reviewed_on = None, 2, DAY
    again.save()
    assert state(ground) == "covered-no-backup"
    again.method = "Raise from above"
    again.save()
    assert codes(ground) == ["drill-due"]
    Drill.objects.create(plan=again, drilled_on=DAY, minutes=5)
    assert state(ground) == "covered-no-backup"


def test_a_task_on_which_nobody_is_named_as_exposed_is_not_assessed(ground: Ground) -> None:
    ground.task.exposures.all().delete()
    answer = answers(ground.site)["CQ-1"]
    assert (answer.state, answer.missing) == ("not-assessed", ("exposed",))


def test_a_task_is_told_only_in_its_hours_and_on_its_days(ground: Ground) -> None:
    assert [task.id for task in situation(ground.site).tasks] == ["CQ-1"]
    assert situation(ground.site, at=time(22)).tasks == ()
    assert situation(ground.site, DAY - ONE_DAY).tasks == ()
    assert situation(ground.site, DAY + 61 * ONE_DAY).tasks == ()


def test_ten_of_everything_take_as_many_queries_as_one(ground: Ground) -> None:
    sums_of(ground.task)
    with CaptureQueriesContext(
        connection,
    ) as one:
        timelines([ground.site], DAY, DAY)
    for number in range(2, 11):
        person = PersonFactory(home_site=ground.site)
        train(person)
        on_rota(person, ground.zone, ground.shift, days=5)
        rated_kit(ground.zone, f"XK-{number}")
        task = arrest_task(ground.zone, ground.shift, f"T-{number}")
        task.rescue_anchors.add(anchor_at(ground.zone, place=f"AN-{number}"))
        plan_for(task)
        sums_of(task)
    with CaptureQueriesContext(connection) as ten:
        (known,) = timelines([ground.site], DAY, DAY)
    assert (len(known.tasks), len(known.kits), len(known.people)) == (10, 10, 11)
    assert len(ten) == len(one)
    assert len(ten) <= 27
