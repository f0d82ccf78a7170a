"""Seconds for the cover of one large site; run by hand: python tests/bench/bench_cover.py."""

from __future__ import annotations

import random
import sys
import time
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

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
FAMILIES = ("controlled descent", "haul and lower", "rope")
ZONES = "ABCDEFGH"


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


def _task(dice: random.Random, number: int, share: float, people: int) -> Task:
    plan = Plan(
        method="lower from above",
        reviewed=ON - timedelta(days=dice.randint(1, 360)),
        target_minutes=dice.choice((15, 20)),
        drill=Drill(ON - timedelta(days=dice.randint(1, 360)), dice.choice((4, 6, 8))),
        min_rescuers=dice.choice((1, 1, 2)),
        mutual_rescue=dice.random() < 0.3,
        stop_work=dice.random() < share,
    )
    exposed = dice.sample(range(people), 1) if dice.random() < 0.5 else []
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
        first_call=dice.choice((None, None, None, None, 1, 2)),
        plan=plan,
    )


def site(seed: int, *, tasks: int, kits: int, people: int, share: float) -> Situation:
    dice = random.Random(seed)  # noqa: S311 - the same invented site every time
    anchors = [Anchor(f"AN-{number:02}", "A", _later(dice)) for number in range(tasks)]
    spare = Anchor("AN-90", "A", ON + timedelta(days=12))
    minutes = {(a, b): dice.choice((2, 3, 4, 6, 9)) for a in ZONES for b in ZONES if a < b}
    return Situation(
        on=ON,
        kits=tuple(_kit(dice, number) for number in range(kits)),
        people=tuple(_person(dice, number) for number in range(people)),
        anchors=(*anchors, spare),
        tasks=tuple(_task(dice, number, share, people) for number in range(tasks)),
        travel_minutes=minutes,
        horizon_days=30,
    )


def main() -> None:
    print("tasks kits people share seed  seconds covered backed lapsing contested unfinished")  # noqa: T201
    sizes = ((10, 8, 30), (30, 15, 60), (30, 30, 60))
    for tasks, kits, people in sizes:
        for share in (0.0, 0.5, 1.0):
            for seed in (1, 2, 3):
                _line(site(seed, tasks=tasks, kits=kits, people=people, share=share), share, seed)


def _line(situation: Situation, share: float, seed: int) -> None:
    start = time.perf_counter()
    found = answers(situation).values()
    took = time.perf_counter() - start
    covered = sum(answer.covered for answer in found)
    backed = sum(answer.state == "covered-with-backup" for answer in found)
    lapsing = sum(answer.lapses_on is not None for answer in found)
    contested = sum("contested" in [why.code for why in answer.reasons] for answer in found)
    cut = sum(not answer.finished for answer in found)
    size = f"{len(situation.tasks):5} {len(situation.kits):4} {len(situation.people):6}"
    rest = f"{covered:7} {backed:6} {lapsing:7} {contested:9} {cut:10}"
    print(f"{size} {share:5} {seed:4} {took:8.2f} {rest}", flush=True)  # noqa: T201


if __name__ == "__main__":
    main()
