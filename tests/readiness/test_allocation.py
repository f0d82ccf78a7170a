"""One answer for all tasks at once: contention, first call and sharing. The sites are invented."""

from __future__ import annotations

from dataclasses import replace

from readiness.rules.cover import answers
from readiness.rules.situation import Anchor, Competence, Pin, Plan, Situation, Task
from tests.readiness.cover_words import FAR, KIT, MORAG, ON, PETRA, PLAN, SITE, TASK

HUW = replace(MORAG, id="huw", name="Huw")
SHARING = replace(PLAN, stop_work=True)


def gangs(
    one: Plan = PLAN, two: Plan = PLAN, zone: str = "A", first_call: int | None = None
) -> Situation:
    tasks = (
        replace(TASK, plan=one, first_call=first_call),
        replace(TASK, id="T-2", zone=zone, exposed=("tomasz",), plan=two),
    )
    return replace(SITE, people=(MORAG, HUW, PETRA), tasks=tasks)


def states(site: Situation) -> dict[str, str]:
    return {
        task: answer.reasons[0].code if answer.reasons else answer.state
        for task, answer in answers(site).items()
    }


def test_two_gangs_after_the_only_kit_may_neither_count_on_it() -> None:
    found = answers(gangs())
    assert states(gangs()) == {"T-1": "contested", "T-2": "contested"}
    assert found["T-1"].reasons[0].facts == {"tasks": ("T-2",)}


def test_first_call_decides_who_gets_the_only_kit() -> None:
    assert states(gangs(first_call=None)) == {"T-1": "contested", "T-2": "contested"}
    assert states(gangs(first_call=1)) == {"T-1": "covered-no-backup", "T-2": "contested"}


def test_a_kit_is_shared_only_where_both_plans_stop_work() -> None:
    assert set(states(gangs(SHARING, SHARING)).values()) == {"covered-no-backup"}
    assert set(states(gangs(SHARING, PLAN)).values()) == {"contested"}
    assert set(states(gangs(PLAN, SHARING)).values()) == {"contested"}


def test_a_kit_is_shared_only_where_both_ways_between_are_short() -> None:
    near = replace(gangs(SHARING, SHARING, zone="B"), travel_minutes={("A", "B"): 2})
    far_back = replace(near, travel_minutes={("A", "B"): 2, ("B", "A"): 3})
    assert set(states(near).values()) == {"covered-no-backup"}
    assert set(states(far_back).values()) == {"contested"}


def test_the_only_rescuer_is_contended_for_like_a_kit() -> None:
    two_kits = replace(gangs(), kits=(KIT, replace(KIT, id="RK-2")))
    assert set(states(two_kits).values()) == {"covered-no-backup"}
    assert set(states(replace(two_kits, people=(MORAG, PETRA))).values()) == {"contested"}


def test_gangs_that_contend_for_a_person_alone_name_one_another() -> None:
    """A kit for each gang, of the family that the other may not use; Morag is trained on both."""
    hauling = Competence("rescuer", FAR, "haul and lower")
    both = replace(MORAG, competences=(*MORAG.competences, hauling))
    hauler = replace(KIT, id="RK-2", family="haul and lower", functions=frozenset({"raise"}))
    lowered, other = gangs().tasks
    raised = replace(other, recovery="raise")
    site = replace(SITE, kits=(KIT, hauler), people=(both, PETRA), tasks=(lowered, raised))
    found = answers(site)
    assert {task: answer.reasons[0].code for task, answer in found.items()} == dict.fromkeys(
        ("T-1", "T-2"), "contested"
    )
    assert found["T-1"].reasons[0].facts == {"tasks": ("T-2",)}
    assert found["T-2"].reasons[0].facts == {"tasks": ("T-1",)}


def test_what_two_gangs_hold_between_them_both_hang_on() -> None:
    found = answers(replace(gangs(), kits=(KIT, replace(KIT, id="RK-2"))))
    things = ["RK-1", "RK-2", "morag", "huw", "petra", "AN-1"]
    assert [thing.id for thing in found["T-1"].hangs_on] == things


def test_a_spare_of_everything_is_backup() -> None:
    spare = replace(
        SITE,
        kits=(KIT, replace(KIT, id="RK-2")),
        people=(MORAG, HUW, PETRA, replace(PETRA, id="dilip")),
        anchors=(*SITE.anchors, Anchor("AN-2", "A", FAR)),
        tasks=(replace(TASK, rescue_anchors=("AN-1", "AN-2")),),
    )
    assert states(spare) == {"T-1": "covered-with-backup"}


def test_a_task_that_starts_later_contends_from_its_first_day() -> None:
    both = gangs()
    later: Task = replace(both.tasks[1], starts_on=ON.replace(day=12))
    answer = answers(replace(both, tasks=(both.tasks[0], later)))
    assert list(answer) == ["T-1"]
    assert answer["T-1"].lapses_on == ON.replace(day=12)
    assert [reason.code for reason in answer["T-1"].lapse_reasons] == ["contested"]


def test_cover_does_not_lapse_after_the_task_has_ended() -> None:
    ending = replace(TASK, ends_on=ON.replace(day=11))
    site = replace(SITE, tasks=(ending,), anchors=(Anchor("AN-1", "A", ON.replace(day=11)),))
    assert answers(site)["T-1"].lapses_on is None
    running = replace(site, tasks=(TASK,))
    assert answers(running)["T-1"].lapses_on == ON.replace(day=12)


def pinned(one: int, two: int, first_call: int | None = None) -> Situation:
    """Both gangs hold a permit for the only kit, issued in this order; the first is Morag's."""
    site = gangs()
    permits = (Pin("RK-1", ("morag",), "AN-1", one), Pin("RK-1", ("huw",), "AN-1", two))
    tasks = (
        replace(site.tasks[0], pinned=permits[0]),
        replace(site.tasks[1], pinned=permits[1] if two else None, first_call=first_call),
    )
    return replace(site, tasks=tasks)


def test_the_permit_signed_first_holds_the_kit_that_both_name() -> None:
    assert states(pinned(1, 2)) == {"T-1": "covered-no-backup", "T-2": "contested"}
    assert states(pinned(2, 1)) == {"T-1": "contested", "T-2": "covered-no-backup"}


def test_a_permit_goes_before_every_first_call() -> None:
    assert states(pinned(9, 0, first_call=1)) == {"T-1": "covered-no-backup", "T-2": "contested"}


def test_a_permit_is_served_by_the_kit_and_people_it_names_and_no_other() -> None:
    two_kits = replace(pinned(1, 0), kits=(KIT, replace(KIT, id="RK-2")))
    found = answers(two_kits)["T-1"]
    assert found.serves is not None
    assert (found.serves.kit, found.serves.people) == ("RK-1", ("morag",))
    assert {"RK-1", "morag"} <= {thing.id for thing in found.hangs_on}
    broken = replace(KIT, seal_intact=False)
    assert states(replace(two_kits, kits=(broken, two_kits.kits[1])))["T-1"] == "kit-not-usable"
    assert states(replace(two_kits, kits=two_kits.kits[1:]))["T-1"] == "no-kit"
    gone = replace(two_kits, people=(HUW, PETRA))
    assert states(gone)["T-1"] == "no-rescuer"


def test_a_permit_holds_only_with_all_whom_it_names_and_at_the_anchor_it_names() -> None:
    site = pinned(1, 0)
    both = replace(site.tasks[0], pinned=Pin("RK-1", ("morag", "huw"), "AN-1", 1))
    alone = replace(site, tasks=(both,))
    assert states(alone) == {"T-1": "covered-no-backup"}
    assert states(replace(alone, people=(MORAG, PETRA))) == {"T-1": "too-few-rescuers"}
    elsewhere = replace(both, pinned=Pin("RK-1", ("morag",), "AN-2", 1))
    assert states(replace(site, tasks=(elsewhere,))) == {"T-1": "no-rescue-anchor"}
