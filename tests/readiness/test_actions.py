"""What the acts on tasks, plans, drills, training, the rota and kits keep, and what they refuse."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time, timedelta

import pytest

from readiness.actions.kits import rate_kit
from readiness.actions.people import record_competence
from readiness.actions.plans import record_drill, review_plan, write_plan
from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.actions.tasks import (
    change_task,
    declare_task,
    end_task,
    give_first_call,
    set_exposed,
)
from readiness.models import Competence, KitAbility, Plan, RotaEntry, Task
from register.models import Act, Entry, Shift
from register.refusal import Refusal
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ShiftFactory,
    ZoneFactory,
    stamp,
)
from tests.readiness.grounds import FAMILY, Ground, arrest_task, covered_site

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


def refused(act: Callable[[], object]) -> tuple[str, str]:
    """The code and the sentence of the refusal; that nothing was recorded is checked too."""
    before = Act.objects.count()
    with pytest.raises(Refusal) as refusal:
        act()
    assert Act.objects.count() == before
    return refusal.value.code, refusal.value.sentence


def new_task(ground: Ground, **particulars: object) -> Task:
    said = {"code": "NT-1", "name": "Gutters", "zone": ground.zone, "system": "arrest"}
    days = {"from_on": DAY, "to_on": DAY + 9 * ONE_DAY}
    return Task(site=ground.site, **{**said, **days, **particulars})


def test_a_declared_task_stands_with_its_shifts_anchors_and_people(ground: Ground) -> None:
    version = ground.site.facts_version
    task = declare_task(
        new_task(ground),
        shifts=[ground.shift],
        anchors=[ground.anchor],
        exposed=[ground.worker, ground.worker],
        instead_of="No rail: the gutter is the edge.",
        stamp=stamp(),
    )
    assert list(task.shifts.all()) == [ground.shift]
    assert list(task.rescue_anchors.all()) == [ground.anchor]
    assert [one.person for one in task.exposures.all()] == [ground.worker]
    entry = Entry.objects.get(thing_kind="task", thing_id=str(task.pk))
    assert entry.act.verb == "declare-task"
    assert entry.facts["from_on"] == DAY.isoformat()
    assert [note.text for note in entry.act.notes.all()] == ["No rail: the gutter is the edge."]
    ground.site.refresh_from_db()
    assert ground.site.facts_version == version + 1


@pytest.mark.parametrize(
    ("particulars", "code"),
    [
        ({"code": "CQ-1"}, "code-taken"),
        ({"to_on": DAY - ONE_DAY}, "not-valid"),
        ({"system": "hope"}, "not-valid"),
    ],
)
def test_a_task_that_cannot_be_is_refused(
    ground: Ground, particulars: dict[str, object], code: str
) -> None:
    task = new_task(ground, **particulars)
    assert refused(lambda: declare_task(task, shifts=[ground.shift], stamp=stamp()))[0] == code


def test_a_task_keeps_to_its_own_site(ground: Ground) -> None:
    strange = ZoneFactory(name="Far deck")
    task = new_task(ground, zone=strange)
    assert refused(lambda: declare_task(task, shifts=[ground.shift], stamp=stamp())) == (
        "other-site",
        "Far deck: not of this site. Choose one of this site.",
    )


def test_a_task_needs_a_shift(ground: Ground) -> None:
    task = new_task(ground)
    assert refused(lambda: declare_task(task, shifts=[], stamp=stamp()))[0] == "no-shift"


def test_a_harness_is_no_rescue_anchor(ground: Ground) -> None:
    harness = ItemFactory(site=ground.site)
    task = new_task(ground)
    act = lambda: declare_task(  # noqa: E731
        task, shifts=[ground.shift], anchors=[harness], stamp=stamp()
    )
    assert refused(act)[0] == "not-an-anchor"


def test_a_change_leaves_first_call_and_those_exposed_on_one_shift(ground: Ground) -> None:
    give_first_call(ground.site, tasks=[ground.task], stamp=stamp())
    set_exposed(ground.task, people=[ground.rescuer], shift=ground.shift, stamp=stamp())
    task = Task.objects.get(pk=ground.task.pk)
    task.name, task.first_call = "Silo wash", None
    change_task(task, shifts=[ground.shift], exposed=[], stamp=stamp())
    stands = Task.objects.get(pk=task.pk)
    assert (stands.name, stands.first_call) == ("Silo wash", 1)
    assert [one.person for one in stands.exposures.all()] == [ground.rescuer]


def test_a_task_ends_sooner_but_never_later_or_before_it_began(ground: Ground) -> None:
    task, last = ground.task, DAY + 5 * ONE_DAY
    assert end_task(task, last_on=last, stamp=stamp()).to_on == last
    assert refused(lambda: end_task(task, last_on=last, stamp=stamp()))[0] == "ends-sooner-already"
    before = DAY - ONE_DAY
    assert refused(lambda: end_task(task, last_on=before, stamp=stamp())) == (
        "ends-before-it-begins",
        "CQ-1 Work CQ-1 began on 9 Mar 2026: it cannot end on 8 Mar 2026.",
    )


def test_nobody_is_exposed_on_a_shift_the_task_is_not_worked(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night")
    act = lambda: set_exposed(  # noqa: E731
        ground.task, people=[ground.worker], shift=night, stamp=stamp()
    )
    assert refused(act)[0] == "not-its-shift"


def test_first_call_is_given_anew_in_the_order_told(ground: Ground) -> None:
    other = arrest_task(ground.zone, ground.shift, "CQ-2")
    give_first_call(ground.site, tasks=[ground.task, other], stamp=stamp())
    give_first_call(ground.site, tasks=[other], stamp=stamp())
    assert dict(Task.objects.values_list("code", "first_call")) == {"CQ-1": None, "CQ-2": 1}


def new_plan(ground: Ground, **particulars: object) -> Plan:
    said = {"method": "Raise from above", "reviewed_on": DAY, "target_minutes": 12}
    return Plan(task=ground.task, **{**said, **particulars})


def test_a_plan_is_never_edited_only_followed_by_the_next_version(ground: Ground) -> None:
    plan = write_plan(new_plan(ground), stamp=stamp())
    assert plan.version == 2
    assert list(ground.task.plans.values_list("version", "method")) == [
        (2, "Raise from above"),
        (1, "Lower from above"),
    ]
    assert refused(lambda: write_plan(plan, stamp=stamp()))[0] == "kept-already"


@pytest.mark.parametrize(
    ("particulars", "code"),
    [
        ({"method": "  "}, "no-method"),
        ({"reviewed_on": DAY + ONE_DAY}, "in-the-future"),
        ({"target_minutes": 0}, "not-valid"),
        ({"min_rescuers": 0}, "not-valid"),
    ],
)
def test_a_plan_that_says_nothing_is_refused(
    ground: Ground, particulars: dict[str, object], code: str
) -> None:
    plan = new_plan(ground, **particulars)
    assert refused(lambda: write_plan(plan, stamp=stamp()))[0] == code


def test_a_review_is_the_same_plan_with_a_new_day(ground: Ground) -> None:
    old = ground.task.plans.get()
    plan = review_plan(old, reviewed_on=DAY, stamp=stamp())
    assert (plan.version, plan.method, plan.reviewed_on) == (2, old.method, DAY)
    assert refused(lambda: review_plan(old, reviewed_on=DAY, stamp=stamp()))[0] == "old-plan"


def test_a_drill_is_of_the_plan_that_stands_and_has_happened(ground: Ground) -> None:
    old = ground.task.plans.get()
    drill = record_drill(old, drilled_on=DAY, minutes=7.5, stamp=stamp())
    assert (drill.plan, drill.minutes) == (old, 7.5)
    act = lambda: record_drill(  # noqa: E731
        old, drilled_on=DAY + ONE_DAY, minutes=7, stamp=stamp()
    )
    assert refused(act) == (
        "in-the-future",
        "The drill cannot be on 10 Mar 2026: at Corrick Quay it is 9 Mar 2026.",
    )
    act = lambda: record_drill(old, drilled_on=DAY, minutes=0, stamp=stamp())  # noqa: E731
    assert refused(act)[0] == "no-minutes"
    write_plan(new_plan(ground), stamp=stamp())
    act = lambda: record_drill(old, drilled_on=DAY, minutes=7, stamp=stamp())  # noqa: E731
    assert refused(act)[0] == "old-plan"


def ticket(ground: Ground, **particulars: object) -> Competence:
    said = {"kind": "rescuer", "family": "haul and lower"}
    days = {"from_on": DAY, "through_on": DAY + 364 * ONE_DAY}
    return Competence(person=ground.worker, **{**said, **days, **particulars})


def test_a_ticket_is_kept_and_the_sites_of_the_person_hear_of_it(ground: Ground) -> None:
    version = ground.site.facts_version
    record_competence(ticket(ground), stamp=stamp())
    ground.site.refresh_from_db()
    assert ground.site.facts_version == version + 1
    assert refused(lambda: record_competence(ticket(ground), stamp=stamp()))[0] == (
        "recorded-already"
    )


@pytest.mark.parametrize(
    ("particulars", "code"),
    [
        ({"through_on": DAY - ONE_DAY}, "ends-before-it-begins"),
        ({"family": ""}, "no-family"),
        ({"kind": "first aid"}, "family-of-first-aid"),
        ({"family": "levitation"}, "not-valid"),
    ],
)
def test_a_ticket_that_makes_no_sense_is_refused(
    ground: Ground, particulars: dict[str, object], code: str
) -> None:
    assert refused(lambda: record_competence(ticket(ground, **particulars), stamp=stamp()))[0] == (
        code
    )


def put(ground: Ground, *days: date, **particulars: object) -> list[RotaEntry]:
    said = {"people": [ground.worker], "shift": ground.shift, "zone": ground.zone}
    return put_on_rota(ground.site, days=days, stamp=stamp(), **{**said, **particulars})  # type: ignore[arg-type]


def test_people_times_days_go_on_the_rota_in_one_act(ground: Ground) -> None:
    late = [DAY + 20 * ONE_DAY, DAY + 21 * ONE_DAY]
    put(ground, *late, people=[ground.worker, ground.rescuer])
    assert RotaEntry.objects.filter(day_on__in=late).count() == 4
    assert Act.objects.filter(verb="put-on-rota").count() == 1


def test_nobody_is_twice_on_one_shift(ground: Ground) -> None:
    assert refused(lambda: put(ground, DAY)) == (
        "on-the-rota-already",
        f"{ground.worker} on 9 Mar 2026: on this shift already. Take that off first.",
    )


def test_nobody_is_at_two_sites_in_the_same_hours(ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    act = lambda: put(other, DAY, people=[ground.worker])  # noqa: E731
    assert refused(act)[0] == "at-another-site"
    night = ShiftFactory(site=other.site, name="Night", begins=time(18), ends=time(6))
    assert len(put(other, DAY, people=[ground.worker], shift=night)) == 1


def test_who_has_left_goes_on_no_rota(ground: Ground) -> None:
    gone = PersonFactory(left_on=DAY)
    assert refused(lambda: put(ground, DAY, people=[gone]))[0] == "has-left"


@pytest.mark.parametrize(
    ("days", "code"), [([], "nobody"), ([DAY + n * ONE_DAY for n in range(63)], "too-many-days")]
)
def test_a_rota_of_no_day_or_of_a_quarter_year_is_refused(
    ground: Ground, days: list[date], code: str
) -> None:
    assert refused(lambda: put(ground, *days))[0] == code


def test_taken_off_the_rota_means_absent(ground: Ground) -> None:
    entry = RotaEntry.objects.get(person=ground.worker, day_on=DAY)
    take_off_rota(entry, stamp=stamp())
    assert not RotaEntry.objects.filter(pk=entry.pk).exists()
    assert Entry.objects.get(act__verb="take-off-rota").facts["days"] == ["2026-03-09"]


def rating(ground: Ground, **particulars: object) -> KitAbility:
    ground.kit.ability.delete()
    said = {"family": FAMILY, "lowers": True, "max_load_kg": 120, "max_height_m": 30.0}
    return KitAbility(kit=ground.kit, **{**said, **particulars})


def test_a_rating_is_kept_with_the_shifts_on_which_the_kit_is_locked(ground: Ground) -> None:
    ability = rate_kit(rating(ground), locked_on=[ground.shift], stamp=stamp())
    assert list(ability.locked_shifts.all()) == [ground.shift]


@pytest.mark.parametrize(
    ("particulars", "code"),
    [
        ({"lowers": False}, "does-nothing"),
        ({"min_load_kg": 130}, "loads-crossed"),
        ({"family": "levitation"}, "not-valid"),
    ],
)
def test_a_rating_that_cannot_be_is_refused(
    ground: Ground, particulars: dict[str, object], code: str
) -> None:
    ability = rating(ground, **particulars)
    assert refused(lambda: rate_kit(ability, stamp=stamp()))[0] == code


def late_shift(ground: Ground) -> Shift:
    """It begins an hour before the day shift ends."""
    begins = time(ground.shift.ends.hour - 1)
    late: Shift = ShiftFactory(site=ground.site, name="Late", begins=begins, ends=time(23))
    return late


def test_a_rota_that_overlaps_itself_is_refused_and_nothing_is_kept(ground: Ground) -> None:
    late, before = late_shift(ground), RotaEntry.objects.count()

    with pytest.raises(Refusal, match="Take that off first") as refused:
        put(ground, DAY, people=[ground.rescuer], shift=late)

    assert refused.value.code == "on-two-shifts"
    assert RotaEntry.objects.count() == before


def test_who_comes_when_the_first_shift_has_ended_may_work_on_the_second(ground: Ground) -> None:
    own = (ground.shift.ends, None)
    put(ground, DAY, people=[ground.rescuer], shift=late_shift(ground), own_hours=own)

    assert RotaEntry.objects.get(shift__name="Late").own_hours == f"from {ground.shift.ends:%H:%M}"


@pytest.mark.parametrize(
    "own", [(time(5), None), (None, time(5)), (time(12), time(11)), (time(12), time(12))]
)
def test_own_hours_outside_the_shift_are_refused(
    ground: Ground, own: tuple[time | None, time | None]
) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).delete()

    with pytest.raises(Refusal) as refused:
        put(ground, DAY, people=[ground.rescuer], own_hours=own)

    assert refused.value.code == "outside-the-shift"
