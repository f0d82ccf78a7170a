"""Signed permits: signed first keeps its kit, and what is declared later competes for the rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, time, timedelta

import pytest

from readiness.actions.checks import keep_check
from readiness.actions.permits import cancel_permit, close_permit, sign_permit
from readiness.facts import timelines
from readiness.models import CoverCheck, Exposure, Permit, Task
from readiness.rules.situation import Pin
from readiness.rules.spans import spans
from readiness.rules.timeline import KitTime, PermitTime, TaskTime, Timeline
from register.actions.conditions import quarantine
from register.models import Entry
from register.refusal import Refusal
from tests.factories import DAY, NOON, PersonFactory, stamp
from tests.readiness.grounds import Ground, arrest_task, covered_site, on_rota, plan_for, rated_kit
from tests.readiness.test_spans import along
from tests.readiness.timelines import ZONE, at, kit, rescuer, site, task, there, whole, worked

HOURS = (at("06:00"), at("18:00"))
PINNED = PermitTime("T1", at("08:00"), at("16:00"), Pin("RK-05", ("Ada",), "AN-1", 0))


def two_gangs(*kits: KitTime, permits: tuple[PermitTime, ...] = ()) -> Timeline:
    """Two tasks after the same kits and rescuers; the second has first call."""
    later: TaskTime = worked(task("T2", first_call=1), HOURS, exposed=("Wim",))
    people = [rescuer("Ada", whole()), rescuer("Bela", whole())]
    ground = site([worked(task(), HOURS), later], list(kits), people)
    return replace(ground, permits=permits)


def at_work(timeline: Timeline, name: str) -> list[tuple[str, str, str]]:
    return [piece for piece in along(timeline, name) if piece[2] != "not worked"]


def test_a_permit_keeps_its_kit_for_its_hours_before_first_call() -> None:
    ground = two_gangs(there(kit()), permits=(PINNED,))

    assert at_work(ground, "T1") == [
        ("06:00", "08:00", "contested"),
        ("08:00", "16:00", "covered-no-backup"),
        ("16:00", "18:00", "contested"),
    ]
    assert [what for _, _, what in at_work(ground, "T2")] == [
        "covered-no-backup",
        "contested",
        "covered-no-backup",
    ]


def test_what_is_declared_later_has_the_rest() -> None:
    ground = two_gangs(there(kit()), there(kit("RK-06")), permits=(PINNED,))
    span = next(one for one in spans(ground, *whole()) if one.begins == at("08:00"))
    one, two = span.answers["T1"].serves, span.answers["T2"].serves

    assert one
    assert (one.kit, one.people) == ("RK-05", ("Ada",))
    assert two
    assert (two.kit, two.people) == ("RK-06", ("Bela",))


def test_a_kept_kit_that_goes_out_uncovers_its_task_from_then_on_though_another_is_free() -> None:
    out = KitTime(kit(condition="quarantined"), out_from=at("10:12"))
    ground = two_gangs(out, there(kit("RK-06")), there(kit("RK-07")), permits=(PINNED,))

    kept = [piece for piece in at_work(ground, "T1") if piece[0] in {"08:00", "10:12"}]
    assert [until for _, until, _ in kept] == ["10:12", "16:00"]
    assert kept[0][2].startswith("covered")
    assert kept[1][2] == "kit-not-usable"


def test_of_two_permits_on_one_kit_the_first_signed_keeps_it() -> None:
    second = PermitTime("T2", at("08:00"), at("16:00"), Pin("RK-05", ("Bela",), "AN-1", 1))
    for permits in ((PINNED, second), (second, PINNED)):
        ground = two_gangs(there(kit()), permits=permits)

        assert at_work(ground, "T1")[1][2] == "covered-no-backup"
        assert "contested" in [
            what for begins, _, what in at_work(ground, "T2") if begins == "08:00"
        ]


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


BEGINS, ENDS = (datetime.combine(DAY, time(hour), tzinfo=ZONE) for hour in (13, 18))


def checked(one: Task, reference: str = "PTW-17") -> CoverCheck:
    hours = {"begins_at": BEGINS, "ends_at": ENDS}
    return keep_check(one, permit_reference=reference, stamp=stamp(), **hours)


def second_task(ground: Ground) -> Task:
    """Another gang after the same kit, with a rescuer of its own."""
    other = arrest_task(ground.zone, ground.shift, "CQ-2")
    other.rescue_anchors.add(ground.anchor)
    worker = PersonFactory(home_site=ground.site)
    on_rota(worker, ground.zone, ground.shift)
    Exposure.objects.create(task=other, person=worker)
    plan_for(other)
    return other


def states(ground: Ground, moment: datetime = BEGINS) -> dict[str, str]:
    (timeline,) = timelines([ground.site], DAY, DAY)
    (span,) = [one for one in spans(timeline, BEGINS, ENDS) if one.begins <= moment < one.ends]
    return {
        name: answer.reasons[0].code if answer.reasons else answer.state
        for name, answer in span.answers.items()
    }


def test_a_signed_permit_keeps_what_its_check_named_from_work_declared_later(
    ground: Ground,
) -> None:
    check = checked(ground.task)
    sign_permit(check, stamp=stamp())
    second_task(ground)

    assert states(ground) == {"CQ-1": "covered-no-backup", "CQ-2": "contested"}
    assert Entry.objects.get(thing_kind="permit").facts["kit"] == ground.kit.name


def test_a_permit_handed_back_keeps_nothing_from_then_on(ground: Ground) -> None:
    permit = sign_permit(checked(ground.task), stamp=stamp())
    second_task(ground)

    close_permit(permit, stamp=stamp(at=BEGINS + timedelta(hours=1)))

    assert states(ground)["CQ-1"] == "covered-no-backup"
    after = states(ground, BEGINS + timedelta(hours=2))
    assert after == {"CQ-1": "contested", "CQ-2": "contested"}


def test_a_permit_is_cancelled_with_a_reason_and_once(ground: Ground) -> None:
    permit = sign_permit(checked(ground.task), stamp=stamp())

    with pytest.raises(Refusal):
        cancel_permit(permit, because=" ", stamp=stamp())
    cancel_permit(permit, because="wind", stamp=stamp())
    with pytest.raises(Refusal):
        close_permit(permit, stamp=stamp())


def test_no_permit_is_signed_on_a_check_that_no_longer_holds(ground: Ground) -> None:
    check = checked(ground.task)
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp())

    with pytest.raises(Refusal) as refused:
        sign_permit(check, stamp=stamp())

    assert refused.value.code == "no-longer-true"
    assert not Permit.objects.exists()


def test_a_permit_needs_its_reference_and_hours_to_come_and_is_signed_once(ground: Ground) -> None:
    unnamed, check = checked(ground.task, ""), checked(ground.task)

    for one, at_, code in ((unnamed, NOON, "no-reference"), (check, ENDS, "time-over")):
        with pytest.raises(Refusal) as refused:
            sign_permit(one, stamp=stamp(at=at_))
        assert refused.value.code == code
    sign_permit(check, stamp=stamp())
    with pytest.raises(Refusal):
        sign_permit(check, stamp=stamp())


def test_two_permits_never_keep_the_same_kit_in_the_same_hours(ground: Ground) -> None:
    one, two = checked(ground.task, "PTW-1"), checked(ground.task, "PTW-2")
    sign_permit(one, stamp=stamp())

    with pytest.raises(Refusal) as refused:
        sign_permit(two, stamp=stamp())

    assert refused.value.code == "kept-by-another"


def test_reading_more_permits_asks_no_more_of_the_database(
    ground: Ground, django_assert_max_num_queries
) -> None:
    rated_kit(ground.zone, "RK-98")
    sign_permit(checked(ground.task), stamp=stamp())
    with django_assert_max_num_queries(34):
        timelines([ground.site], DAY, DAY)
