"""Each reason holds on one side of its limit and not on the other. The sites are invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from readiness.rules.cover import answers
from readiness.rules.reasons import Reason
from readiness.rules.situation import (
    NEVER,
    Anchor,
    Clearance,
    Clock,
    Competence,
    Drill,
    Restraint,
    Situation,
)
from readiness.rules.suitability import why_not
from tests.readiness.cover_words import (
    FAMILY,
    FAR,
    KIT,
    MORAG,
    ON,
    PETRA,
    SITE,
    TASK,
    codes,
    with_kit,
    with_morag,
    with_plan,
    with_task,
)

DAY = timedelta(days=1)
BEFORE = ON - DAY
OTHER = Competence("rescuer", FAR, "haul and lower")
PAIR = frozenset({"lower", "raise"})


def clock(due: date | None) -> tuple[Clock, ...]:
    return (Clock("pulley PU-17", "periodic examination", due),)


def rescuer(valid_to: date) -> tuple[Competence, ...]:
    return (Competence("rescuer", valid_to, FAMILY),)


def elsewhere(*exposed: str) -> Situation:
    other = replace(TASK, id="T-2", exposed=exposed, plan=None)
    return replace(SITE, tasks=(TASK, other))


def with_anchor(due: date | None, condition: str = "in service") -> Situation:
    return replace(SITE, anchors=(Anchor("AN-1", "A", due, condition),))


def with_petra(zone: str, valid_to: date = FAR) -> Situation:
    petra = replace(PETRA, zone=zone, competences=(Competence("first aid", valid_to),))
    return replace(SITE, people=(MORAG, petra))


CASES: list[tuple[str, Situation, Situation]] = [
    (
        "clearance-too-small",
        with_task(clearance=Clearance(6.75, 6.7)),
        with_task(clearance=Clearance(6.75, 6.75)),
    ),
    ("no-plan", with_task(plan=None), SITE),
    ("plan-relies-on-emergency-services", with_plan(relies_on_emergency_services=True), SITE),
    ("plan-for-another-method", with_plan(matches_task=False), SITE),
    (
        "plan-review-overdue",
        with_plan(reviewed=date(2025, 3, 8)),
        with_plan(reviewed=date(2025, 3, 9)),
    ),
    ("plan-review-overdue", with_plan(reviewed=None), SITE),
    ("no-kit", replace(SITE, kits=()), SITE),
    ("kit-not-usable", with_kit(clocks=clock(BEFORE)), with_kit(clocks=clock(ON))),
    ("kit-not-usable", with_kit(clocks=clock(None)), with_kit(clocks=())),
    ("kit-not-usable", with_kit(condition="quarantined"), with_kit(condition="in service")),
    ("kit-not-usable", with_kit(seal_intact=False), with_kit(seal_intact=True)),
    ("kit-not-usable", with_kit(missing=("a hook",)), with_kit(missing=())),
    ("kit-lacks-function", with_kit(functions=frozenset({"raise"})), with_kit(functions=PAIR)),
    (
        "kit-lacks-function",
        with_task(remote_attach=True),
        replace(
            with_task(remote_attach=True),
            kits=(replace(KIT, functions=frozenset({"lower", "remote attach"})),),
        ),
    ),
    ("kit-lacks-function", with_task(recovery="both"), with_task(recovery="either")),
    ("kit-too-short", with_task(lower_m=40.1), with_task(lower_m=40)),
    ("kit-load-out-of-range", with_task(heaviest_kg=151), with_task(heaviest_kg=150)),
    ("kit-load-out-of-range", with_task(lightest_kg=29), with_task(lightest_kg=30)),
    ("kit-load-out-of-range", with_task(lightest_kg=None), SITE),
    ("kit-load-out-of-range", with_plan(accompanied=True), with_plan(accompanied=False)),
    ("kit-descent-energy-exceeded", with_task(stranded=6), with_task(stranded=5)),
    ("kit-out-of-reach", with_kit(locked=True), with_kit(locked=False)),
    ("kit-out-of-reach", with_kit(zone="C"), with_kit(zone="B")),
    ("kit-out-of-reach", with_kit(zone="nowhere"), with_kit(zone="A")),
    ("no-rescue-anchor", with_anchor(BEFORE), with_anchor(ON)),
    ("no-rescue-anchor", with_anchor(None), with_anchor(FAR)),
    ("no-rescue-anchor", with_anchor(FAR, "quarantined"), with_anchor(FAR)),
    ("no-rescuer", with_morag(competences=()), SITE),
    ("no-rescuer", with_morag(on_site=NEVER), with_morag(on_site=((ON, ON),))),
    (
        "rescuer-lapsed",
        with_morag(competences=rescuer(BEFORE)),
        with_morag(competences=rescuer(ON)),
    ),
    (
        "rescuer-for-other-kit",
        with_morag(competences=(OTHER,)),
        with_morag(competences=(OTHER, *rescuer(FAR))),
    ),
    ("rescuer-is-exposed", with_task(exposed=("morag",)), with_task(exposed=("ines",))),
    ("rescuer-is-exposed", elsewhere("morag"), elsewhere("ines")),
    ("too-few-rescuers", with_plan(min_rescuers=2), with_plan(min_rescuers=1)),
    ("rescuer-out-of-reach", with_morag(zone="C"), with_morag(zone="B")),
    ("no-first-aider", with_petra("C"), with_petra("B")),
    ("no-first-aider", with_petra("A", BEFORE), with_petra("A", ON)),
    ("no-first-aider", with_task(exposed=("petra",)), with_task(exposed=("ines",))),
    ("drill-due", with_plan(drill=None), SITE),
    (
        "drill-due",
        with_plan(drill=Drill(date(2025, 3, 8), 6)),
        with_plan(drill=Drill(date(2025, 3, 9), 6)),
    ),
    (
        "drill-too-slow",
        with_plan(drill=Drill(date(2025, 11, 10), 10.5)),
        with_plan(drill=Drill(date(2025, 11, 10), 9)),
    ),
    (
        "rescue-too-slow",
        with_plan(drill=Drill(date(2025, 11, 10), 9.5)),
        with_plan(drill=Drill(date(2025, 11, 10), 9)),
    ),
]


@pytest.mark.parametrize(("code", "spoilt", "sound"), CASES)
def test_a_reason_holds_past_its_limit_and_not_at_it(
    code: str, spoilt: Situation, sound: Situation
) -> None:
    assert codes(spoilt) == [code]
    assert codes(sound) == []
    assert answers(sound)["T-1"].covered


def test_an_overdue_drill_may_also_have_been_too_slow() -> None:
    assert codes(with_plan(drill=Drill(date(2025, 3, 8), 12))) == ["drill-due", "drill-too-slow"]


def test_mutual_rescue_needs_one_more_than_the_number_needed() -> None:
    ines = replace(MORAG, id="ines", name="Ines")
    pair = replace(SITE, people=(MORAG, ines, PETRA))
    plain = replace(TASK, exposed=("morag", "ines"))
    mutual = replace(plain, plan=replace(TASK.plan, mutual_rescue=True)) if TASK.plan else plain
    assert codes(replace(pair, tasks=(plain,))) == ["rescuer-is-exposed"]
    assert codes(replace(pair, tasks=(mutual,))) == []
    assert codes(replace(pair, people=(MORAG, PETRA), tasks=(mutual,))) == ["rescuer-is-exposed"]


def test_one_exposed_on_two_tasks_rescues_on_neither_even_under_mutual_rescue() -> None:
    assert TASK.plan is not None
    plan = replace(TASK.plan, mutual_rescue=True)
    ines = replace(MORAG, id="ines", name="Ines")
    task = replace(TASK, exposed=("morag", "ines"), plan=plan)
    other = replace(TASK, id="T-2", exposed=("ines",), plan=None)
    site = replace(SITE, people=(MORAG, ines, PETRA), tasks=(task, other))
    assert codes(site) == ["rescuer-is-exposed"]


def test_two_exposed_first_aiders_suffice_since_one_remains() -> None:
    dilip = replace(PETRA, id="dilip", name="Dilip")
    task = replace(TASK, exposed=("petra", "dilip"))
    assert codes(replace(SITE, people=(MORAG, PETRA, dilip), tasks=(task,))) == []
    assert codes(replace(SITE, people=(MORAG, PETRA), tasks=(task,))) == ["no-first-aider"]


def test_the_nearest_kit_is_the_one_with_fewest_reasons_then_the_lower_id() -> None:
    short = replace(KIT, id="RK-3", max_height_m=10)
    two_faults = replace(short, id="RK-2", seal_intact=False)
    twin = replace(KIT, id="RK-10", seal_intact=False)
    assert codes(replace(SITE, kits=(two_faults, short))) == ["kit-too-short"]
    assert codes(replace(SITE, kits=(short, twin))) == ["kit-not-usable"]


def test_nobody_trained_is_told_where_there_is_no_kit_either() -> None:
    site = replace(with_morag(competences=()), kits=())
    assert codes(site) == ["no-kit", "no-rescuer"]


def test_what_is_missing_leaves_a_task_not_assessed_unless_a_hard_reason_stands() -> None:
    unknown = with_task(heaviest_kg=None, recovery="raise", raise_m=None, clearance=Clearance(6))
    missing = ("heaviest_kg", "raise_m", "clearance.available_m")
    assert answers(unknown)["T-1"].state == "not-assessed"
    assert answers(unknown)["T-1"].missing == missing
    bare = replace(unknown, kits=())
    assert answers(bare)["T-1"].state == "not-covered"
    assert (codes(bare), answers(bare)["T-1"].missing) == (["no-kit"], missing)


@pytest.mark.parametrize(
    ("edge_m", "state"),
    [(2.8, "no-rescue-cover-needed"), (2.7, "covered-no-backup"), (None, "not-assessed")],
)
def test_restraint_must_be_proven(edge_m: float | None, state: str) -> None:
    answer = answers(with_task(system="restraint", restraint=Restraint(2.0, 0.3, edge_m)))["T-1"]
    assert answer.state == state
    assert answer.missing == (("restraint.edge_m",) if edge_m is None else ())
    assert (answer.treated_as_arrest is not None) == (edge_m == 2.7)


def test_collective_protection_needs_no_cover_and_exposes_nobody() -> None:
    rail = replace(TASK, id="T-2", system="collective", exposed=("morag",))
    found = answers(replace(SITE, tasks=(TASK, rail)))
    assert found["T-2"].state == "no-rescue-cover-needed"
    assert found["T-1"].covered


def test_every_kit_and_person_is_listed_with_what_speaks_against_it() -> None:
    short = replace(KIT, id="RK-2", max_height_m=10)
    found = why_not(TASK, replace(SITE, kits=(KIT, short)), ON)
    assert [(one.kit.id, [why.code for why in one.reasons]) for one in found.kits] == [
        ("RK-1", []),
        ("RK-2", ["kit-too-short"]),
    ]
    assert [(one.person.name, one.reason and one.reason.code) for one in found.people] == [
        ("Morag", None),
        ("Petra", "no-rescuer"),
    ]


def test_a_kit_reason_names_the_part_the_clock_and_the_day() -> None:
    reason = answers(with_kit(clocks=clock(BEFORE)))["T-1"].reasons[0]
    assert reason == Reason(
        "kit-not-usable",
        {
            "kit": "RK-1",
            "condition": "in service",
            "seal_intact": True,
            "missing": (),
            "passed": (("pulley PU-17", "periodic examination", BEFORE),),
        },
    )
