"""One sound invented site, to be spoilt one thing at a time by the tests of rescue cover."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from readiness.rules.cover import answers
from readiness.rules.situation import (
    Anchor,
    Clearance,
    Clock,
    Competence,
    Drill,
    Kit,
    Person,
    Plan,
    Situation,
    Task,
)

ON = date(2026, 3, 9)
FAR = date(2027, 1, 31)
FAMILY = "controlled descent"
KIT = Kit(
    "RK-1",
    "A",
    FAMILY,
    frozenset({"lower"}),
    150,
    40,
    min_load_kg=30,
    descent_energy_j=100_000,
    clocks=(Clock("rope", "periodic examination", FAR),),
)
MORAG = Person("morag", "Morag", "A", (Competence("rescuer", FAR, FAMILY),))
PETRA = Person("petra", "Petra", "A", (Competence("first aid", FAR),))
PLAN = Plan("lower from above", date(2025, 11, 3), 10, Drill(date(2025, 11, 10), 6))
TASK = Task(
    id="T-1",
    zone="A",
    starts_on=date(2026, 3, 2),
    ends_on=date(2026, 6, 30),
    system="arrest",
    exposed=("ines",),
    heaviest_kg=112,
    lightest_kg=68,
    recovery="lower",
    lower_m=18,
    raise_m=12,
    clearance=Clearance(6.75, 18),
    rescue_anchors=("AN-1",),
    plan=PLAN,
)
SITE = Situation(
    on=ON,
    kits=(KIT,),
    people=(MORAG, PETRA),
    anchors=(Anchor("AN-1", "A", FAR),),
    tasks=(TASK,),
    travel_minutes={("A", "B"): 3, ("A", "C"): 12},
)


def with_kit(**changed: Any) -> Situation:
    return replace(SITE, kits=(replace(KIT, **changed),))


def with_morag(**changed: Any) -> Situation:
    return replace(SITE, people=(replace(MORAG, **changed), PETRA))


def with_task(**changed: Any) -> Situation:
    return replace(SITE, tasks=(replace(TASK, **changed),))


def with_plan(**changed: Any) -> Situation:
    return with_task(plan=replace(PLAN, **changed))


def codes(site: Situation) -> list[str]:
    return [reason.code for reason in answers(site)["T-1"].reasons]
