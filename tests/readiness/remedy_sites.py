"""Small invented pairs of sites over three days, with acts that may or may not help.

Drawn from a seed, so that most of them are sound but for one or two things.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from random import Random

from readiness.rules.changes import (
    Change,
    DrillDone,
    FirstCall,
    KitArrives,
    KitExamined,
    KitLeaves,
    PersonOn,
    StopWorkLinked,
    SumsRedone,
    TicketHeld,
)
from readiness.rules.remedies import Act, Step
from readiness.rules.situation import Clearance, Clock, Drill, Kit, Plan
from readiness.rules.timeline import AnchorTime, PersonTime, Stay, TaskTime, Timeline
from readiness.rules.windows import Window
from tests.readiness.cover_sites import Dice
from tests.readiness.timelines import (
    DAY,
    FAMILY,
    anchor,
    at,
    kit,
    rescuer,
    site,
    task,
    there,
    worked,
)

DAYS = tuple(DAY + timedelta(days=n) for n in range(3))
LAST = at("00:00", DAYS[-1] + timedelta(days=1))


def shifts() -> list[Window]:
    return [(at("06:00", day), at("14:00", day)) for day in DAYS]


def drawn_kit(dice: Dice, name: str) -> Kit:
    due = dice.one_of(DAY + timedelta(days=40), DAY + timedelta(days=40), DAYS[0], DAYS[1])
    return kit(name, clocks=(Clock(name, "periodic", due),))


def drawn_person(dice: Dice, name: str) -> PersonTime:
    hours = [one for one in shifts() if dice.chance(0.8)]
    return rescuer(name, *hours, through=dice.one_of(DAYS[-1], DAYS[-1], DAYS[1], DAYS[0]))


def drawn_task(dice: Dice, name: str) -> TaskTime:
    before = DAY - timedelta(days=30)
    plan = Plan(
        "Lower",
        before,
        15,
        Drill(before, 6) if dice.chance(0.9) else None,
        stop_work=dice.chance(0.3),
    )
    room = Clearance(None if dice.chance(0.15) else 5, 9)
    one = task(name, plan=plan, rescue_anchors=("AN-1", "AN-2"), clearance=room)
    return worked(
        one, *(hours for hours in shifts() if dice.chance(0.9)), exposed=(f"{name} hand",)
    )


def drawn_site(dice: Dice, code: str) -> Timeline:
    made = site(
        [drawn_task(dice, f"{code}{n}") for n in range(dice.one_of(1, 2))],
        [there(drawn_kit(dice, f"{code}-K{n}")) for n in range(dice.one_of(0, 1, 2))],
        [drawn_person(dice, f"{code}-P{n}") for n in range(dice.one_of(1, 2, 3))],
        [AnchorTime(anchor(name)) for name in ("AN-1", "AN-2")],
    )
    return replace(made, site=code)


def pair(seed: int) -> tuple[dict[str, Timeline], list[Act]]:
    """Two sites, and four acts that change them."""
    dice = Dice(Random(seed))  # noqa: S311 - an invented site, the same for the same seed
    sites = {code: drawn_site(dice, code) for code in ("a", "b")}
    return sites, [drawn_act(dice, sites, n) for n in range(4)]


def drawn_act(dice: Dice, sites: dict[str, Timeline], number: int) -> Act:
    code = dice.one_of("a", "a", "b")
    ready = at(dice.one_of("00:00", "09:00"), dice.one_of(*DAYS))
    if dice.chance(0.4) and (kits := sites["b"].kits):
        name = dice.random.choice(kits).kit.id
        arrives = ready + timedelta(hours=2)
        steps = (
            Step("b", ready, KitLeaves(name, ready)),
            Step("a", arrives, KitArrives(there(kit(name)), arrives)),
        )
        return Act("move-kit", name, steps, dice.one_of(0, 40, 60), uses=frozenset({name}))
    change = drawn_change(dice, sites[code])
    return Act(f"act {number}", code, (Step(code, ready, change),), dice.one_of(0, 20, 30, 90))


def drawn_change(dice: Dice, timeline: Timeline) -> Change:
    who = dice.random.choice(timeline.people).person
    name = dice.random.choice(timeline.tasks).task.id
    stays = tuple(Stay(*hours, "deck") for hours in shifts())
    newcomer = rescuer("Newcomer").person
    choices: list[Change] = [
        TicketHeld(who.id, "rescuer", FAMILY, DAY, DAYS[-1]),
        PersonOn(newcomer, stays),
        PersonOn(who, stays),
        DrillDone(name, DAY, 6),
        FirstCall(name),
        StopWorkLinked(tuple(one.task.id for one in timeline.tasks)),
        SumsRedone(name, Clearance(5, dice.one_of(4, 9, 9))),
    ]
    for held in timeline.kits:
        renewed = tuple(replace(clock, due=DAYS[-1]) for clock in held.kit.clocks)
        choices.append(KitExamined(held.kit.id, renewed))
    return dice.random.choice(choices)
