"""Large invented sites: thirty tasks at once, by what is short and what is shared."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import date, timedelta

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
FAMILIES = ("controlled descent", "haul and lower", "rope")
ZONES = "ABCDEFGH"


@dataclass(frozen=True, slots=True)
class Kind:
    """Kits and people for 30 tasks; shares of tasks that stop work, are mutual, have first call."""

    kits: int = 15
    people: int = 60
    share: float = 0.0
    mutual: float = 0.3
    called: float = 0.3
    hanging: int = 1


FAMILIES_OF_SITES = {
    "plenty": Kind(kits=45, people=120),
    "short": Kind(),
    "half sharing": Kind(share=0.5),
    "half sharing, few kits": Kind(kits=8, share=0.5),
    "all sharing": Kind(share=1.0),
    "mutual rescue": Kind(share=0.5, mutual=1.0, hanging=3),
    "first calls": Kind(share=0.3, called=0.9),
}


def _later(dice: random.Random) -> date:
    return ON + timedelta(days=dice.randint(-5, 200))


def _kit(dice: random.Random, number: int) -> Kit:
    return Kit(
        id=f"RK-{number:02}",
        zone=dice.choice(ZONES),
        family=dice.choice(FAMILIES),
        functions=frozenset({"lower", "raise"} if dice.random() < 0.6 else {"lower"}),
        max_load_kg=150,
        max_height_m=dice.choice((20, 40, 60)),
        clocks=(Clock("rope", "periodic examination", _later(dice)),),
    )


def _person(dice: random.Random, number: int) -> Person:
    held = [
        Competence("rescuer", _later(dice), family) for family in FAMILIES if dice.random() < 0.4
    ]
    held += [Competence("first aid", _later(dice))] if dice.random() < 0.4 else []
    name = f"Person {number:02}"
    return Person(name, name, dice.choice(ZONES), tuple(held))


def _task(dice: random.Random, number: int, kind: Kind) -> Task:
    plan = Plan(
        method="lower from above",
        reviewed=ON - timedelta(days=dice.randint(1, 360)),
        target_minutes=dice.choice((15, 20)),
        drill=Drill(ON - timedelta(days=dice.randint(1, 360)), dice.choice((4, 6, 8))),
        min_rescuers=dice.choice((1, 1, 2)),
        mutual_rescue=dice.random() < kind.mutual,
        stop_work=dice.random() < kind.share,
    )
    exposed = dice.sample(range(kind.people), kind.hanging) if dice.random() < 0.5 else []
    return Task(
        id=f"T-{number:02}",
        zone=dice.choice(ZONES),
        starts_on=ON - timedelta(days=3),
        ends_on=ON + timedelta(days=dice.randint(5, 60)),
        system="arrest",
        exposed=tuple(f"Person {one:02}" for one in exposed) or (f"Visitor {number}",),
        heaviest_kg=112,
        lightest_kg=68,
        recovery=dice.choice(("lower", "lower", "raise", "either")),
        lower_m=dice.choice((12, 18, 30)),
        raise_m=12,
        clearance=Clearance(6.75, 18),
        rescue_anchors=(f"AN-{number:02}", "AN-90"),
        first_call=dice.choice((1, 2, 3)) if dice.random() < kind.called else None,
        plan=plan,
    )


def large_site(name: str, seed: int, tasks: int = 30, people: int | None = None) -> Situation:
    """One of the family of that name, with so many people; more tasks have more kits to go with them."""
    kind, dice = FAMILIES_OF_SITES[name], random.Random(seed)  # noqa: S311 - the same every time
    kind = kind if people is None else replace(kind, people=people)
    anchors = [Anchor(f"AN-{number:02}", "A", _later(dice)) for number in range(tasks)]
    spare = Anchor("AN-90", "A", ON + timedelta(days=12))
    minutes = {(a, b): dice.choice((2, 3, 4, 6, 9)) for a in ZONES for b in ZONES if a < b}
    return Situation(
        on=ON,
        kits=tuple(_kit(dice, number) for number in range(kind.kits * tasks // 30)),
        people=tuple(_person(dice, number) for number in range(kind.people)),
        anchors=(*anchors, spare),
        tasks=tuple(_task(dice, number, kind) for number in range(tasks)),
        travel_minutes=minutes,
        horizon_days=30,
    )
