"""Small invented sites for the property tests of rescue cover.

Drawn from a seed and not choice by choice: most of them must be sound for the few that are
contested, lapse or hang on one thing to come up at all.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from random import Random
from typing import TypeVar

from hypothesis import strategies as st

from readiness.rules.situation import (
    ALWAYS,
    NEVER,
    Anchor,
    Clearance,
    Clock,
    Competence,
    Drill,
    Kit,
    Person,
    Pin,
    Plan,
    Situation,
    Task,
)

ON = date(2026, 3, 9)
FAMILIES = ("controlled descent", "haul and lower")
ZONES = ("A", "B", "C")
PEOPLE = ("Ines", "Morag", "Huw", "Petra", "Dilip")
ANCHORS = ("AN-1", "AN-2")
T = TypeVar("T")
BOTH = frozenset({"lower", "raise"})


@dataclass(slots=True)
class Dice:
    random: Random

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def one_of(self, *choices: T) -> T:
        return self.random.choice(choices)

    def end(self, soon: float) -> date:
        """Mostly far off; else about now."""
        ahead = self.one_of(-1, 0, 1, 2, 3) if self.chance(soon) else 40
        return ON + timedelta(days=ahead)


def kit(dice: Dice, number: int) -> Kit:
    functions = BOTH if dice.chance(0.7) else frozenset({dice.one_of("lower", "raise")})
    return Kit(
        id=f"RK-{number}",
        zone=dice.one_of(*ZONES),
        family=dice.one_of(*FAMILIES),
        functions=functions,
        max_load_kg=dice.one_of(250, 250, 250, 150),
        max_height_m=dice.one_of(40, 40, 40, 15),
        seal_intact=dice.chance(0.95),
        locked=dice.chance(0.05),
        clocks=(Clock("rope", "periodic examination", dice.end(0.15)),),
    )


def person(dice: Dice, name: str) -> Person:
    kinds = [("rescuer", family) for family in FAMILIES if dice.chance(0.65)]
    kinds += [("first aid", "")] if dice.chance(0.6) else []
    held = [Competence(kind, dice.end(0.15), family) for kind, family in kinds]
    leaving = ((ON, ON + timedelta(days=2)),)
    on_site = dice.one_of(NEVER, leaving) if dice.chance(0.1) else ALWAYS
    return Person(name, name, dice.one_of(*ZONES), tuple(held), on_site)


def plan(dice: Dice) -> Plan:
    return Plan(
        method="lower from above",
        reviewed=ON - timedelta(days=dice.one_of(100, 100, 100, 364)),
        target_minutes=dice.one_of(30, 30, 16, 12),
        drill=Drill(ON - timedelta(days=dice.one_of(100, 100, 100, 363)), dice.one_of(4, 7)),
        min_rescuers=dice.one_of(1, 1, 2),
        mutual_rescue=dice.chance(0.5),
        accompanied=dice.chance(0.1),
        stop_work=dice.chance(0.5),
    )


def task(dice: Dice, number: int) -> Task:
    ours = tuple(dice.random.sample(PEOPLE, dice.one_of(1, 2, 3)))
    return Task(
        id=f"T-{number}",
        zone=dice.one_of(*ZONES),
        starts_on=ON + timedelta(days=dice.one_of(0, 0, 0, 0, 1)),
        ends_on=ON + timedelta(days=dice.one_of(2, 60)),
        system="arrest" if dice.chance(0.95) else "collective",
        exposed=ours if dice.chance(0.3) else (f"Visitor {number}",),
        heaviest_kg=112,
        lightest_kg=68,
        recovery=dice.one_of("lower", "lower", "raise", "either", "both"),
        lower_m=dice.one_of(12, 18),
        raise_m=12,
        clearance=Clearance(6.75, 18),
        rescue_anchors=dice.one_of(ANCHORS, ANCHORS, ANCHORS[:1], ANCHORS[1:]),
        first_call=dice.one_of(None, None, None, 1, 2),
        plan=plan(dice),
    )


def site(seed: int, most_tasks: int) -> Situation:
    dice = Dice(Random(seed))  # noqa: S311 - an invented site, the same for the same seed
    pairs = (("A", "B"), ("B", "C"), ("C", "A"), ("B", "A"))
    travel = {pair: dice.one_of(1, 2, 5, 8) for pair in pairs if dice.chance(0.9)}
    return Situation(
        on=ON,
        kits=tuple(kit(dice, number) for number in range(dice.one_of(1, 2, 3))),
        people=tuple(person(dice, name) for name in PEOPLE[: dice.one_of(2, 3, 4, 5)]),
        anchors=tuple(Anchor(name, "A", max(ON, dice.end(0.15))) for name in ANCHORS),
        tasks=tuple(task(dice, number) for number in range(dice.one_of(*range(1, most_tasks + 1)))),
        travel_minutes=travel,
        horizon_days=4,
    )


def pinned(seed: int, most_tasks: int) -> Situation:
    """The same, where some tasks have a permit that names kit, people and anchor."""
    ground, dice = site(seed, most_tasks), Dice(Random(seed + 1))  # noqa: S311 - as above
    names = [person.id for person in ground.people]

    def pin() -> Pin:
        return Pin(
            dice.one_of(*ground.kits).id,
            tuple(dice.random.sample(names, dice.one_of(1, 1, 2))),
            dice.one_of(*ANCHORS),
            dice.one_of(1, 2, 3),
        )

    tasks = tuple(replace(one, pinned=pin()) if dice.chance(0.5) else one for one in ground.tasks)
    return replace(ground, tasks=tasks)


def pinned_sites(most_tasks: int = 3) -> st.SearchStrategy[Situation]:
    return st.integers(0, 2**32).map(lambda seed: pinned(seed, most_tasks))


def sites(most_tasks: int = 3) -> st.SearchStrategy[Situation]:
    """Few enough of everything to try every assignment."""
    return st.integers(0, 2**32).map(lambda seed: site(seed, most_tasks))
