"""A year and more of inspections: each site is gone round in seven parts, half a year each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from functools import partial

from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.checklists import checklist_for
from inspections.rules.checklists import Answers
from inspections.rules.rounds import NOT_SEEN
from readiness.demo.looks import look
from readiness.demo.world import BEGAN, SATURDAY, Happening, World
from register.models import Item
from register.rules.conditions import Condition

PARTS = 7
APART_DAYS = 27
EVERY_DAYS = 175  # 25 weeks: within six months, on the same weekday
MISSED = 37  # one item in so many was not presented when it was last asked for
NOT_ON_THE_ROUND = ("kit", "installed", "in-transit", "maker", "cage", "not-located")
ANCHORS_LAST = {
    "ashby": 28,
    "corrick": 61,
    "skelhope": 19,
    "hollin": 96,
    "pellow": 140,
    "northmere": 47,
}
# fmt: off
FAILS = {
    "harness": (("Cut of 6 mm in the left leg strap", "left leg strap"), ("Stitching pulled at the chest loop", "chest attachment")),
    "energy-absorbing-lanyard": (("Cover open, 20 mm of tear webbing showing", "absorber pack"),),
    "connector": (("Gate does not close by itself", "gate"), ("Worn by more than a tenth at the bow", "bow")),
    "retractable": (("Does not lock on a sharp pull", "brake"), ("Fall indicator has tripped", "swivel")),
}
ANY_FAIL = (("Label cannot be read", "label"), ("Melted spot from hot work", "webbing"))
LATER = (("Webbing fluffed at the buckle", "adjuster"), ("Corrosion begins at the rivet", "rivet"), ("Plastic keeper split", "keeper"))
SEEN = (("Paint spots, not on the stitching", "webbing"), ("Dusty, cleaned", "all over"), ("Owner’s mark fading", "label"))
# fmt: on
FAIL, OBSERVED, DANGER_LATER = 0.012, 0.035, 0.012  # shares of a round

Finds = Callable[[World, Item], tuple[str, Flaw | None]]


def rounds(world: World) -> Iterator[Happening]:
    for site in world.sites:
        for part in range(PARTS):
            newest = _workday(world, 4 + APART_DAYS * part)
            for days in range(newest, BEGAN, EVERY_DAYS):
                found = found_last if days == newest and part else found_earlier
                do = partial(_go_round, world, site, part, found)
                yield Happening(world.moment(-days, 8, part), do)
        yield Happening(world.moment(-ANCHORS_LAST[site], 9), partial(_anchors, world, site))


def _workday(world: World, days_ago: int) -> int:
    """The same day, or the Friday before a weekend."""
    return days_ago + max(0, world.on(-days_ago).weekday() - SATURDAY + 1)


def _go_round(world: World, site: str, part: int, found: Finds, at: datetime) -> None:
    """Huw's morning: most pass, some are not there, and now and then one fails."""
    here = [item for item in _on_the_round(world, site, at) if item.pk % PARTS == part]
    passed: list[Item] = []
    for number, item in enumerate(here):
        verdict, flaw = found(world, item)
        if verdict == "pass" and flaw is None:
            passed.append(item)
        else:
            _record(world, item, verdict, flaw, at + timedelta(minutes=2 * number))
    _pass_all(world, passed, at + timedelta(hours=6))


def _on_the_round(world: World, site: str, at: datetime) -> list[Item]:
    here = Item.objects.filter(site=world.sites[site], condition=Condition.IN_SERVICE).exclude(
        accepted_on__gte=at.date()
    )
    return list(
        here.exclude(custody__in=NOT_ON_THE_ROUND)
        .exclude(product__equipment_class="anchor")
        .exclude(use_class="rescue")
        .select_related("product", "site")
        .order_by("pk")
    )


def found_earlier(world: World, item: Item) -> tuple[str, Flaw | None]:
    """A verdict, and the defect now and then."""
    lot, chance = world.chance.random(), world.chance
    if lot < FAIL:
        what, place = chance.choice(FAILS.get(item.product.equipment_class, ANY_FAIL))
        return "fail", Flaw(grade="A", what=what, place=place, action="taken out of use")
    if lot < OBSERVED:
        what, place = chance.choice(SEEN)
        return "pass", Flaw(grade="C", what=what, place=place)
    return "pass", None


def found_last(world: World, item: Item) -> tuple[str, Flaw | None]:
    """The last time round some are not presented, and some defects have a day still to come."""
    if item.pk % MISSED == 0:
        return "not-presented", None
    if world.chance.random() < DANGER_LATER:
        what, place = world.chance.choice(LATER)
        by = world.on(world.chance.randint(-6, 40))
        return "pass", Flaw(grade="B", what=what, place=place, danger_by_on=by)
    return found_earlier(world, item)


def _record(world: World, item: Item, verdict: str, flaw: Flaw | None, at: datetime) -> None:
    seen = verdict not in NOT_SEEN
    finding = Finding(
        kind=_kind(item),
        verdict=verdict,
        performed_at=at,
        inspector=world.people["Huw Penry"],
        flaws=[flaw] if flaw else [],
        checklist=checklist_for(item.product.equipment_class) if seen else None,
        answers=Answers(statement="all-good" if seen else "", points={}, measured={}),
        covers_periodic=item.product.kind.lifts_persons,
    )
    inspect(item, finding=finding, stamp=world.stamp("huw", at))


def _kind(item: Item) -> str:
    return "thorough-examination" if item.product.kind.lifts_persons else "detailed"


def _pass_all(world: World, items: list[Item], at: datetime) -> None:
    lifting = [item for item in items if item.product.kind.lifts_persons]
    rest = [item for item in items if not item.product.kind.lifts_persons]
    if rest:
        look(world, rest, kind="detailed", by="Huw Penry", at=at)
    if lifting:
        kind = "thorough-examination"
        look(world, lifting, kind=kind, by="Huw Penry", at=at)


def _anchors(world: World, site: str, at: datetime) -> None:
    """Dilip's day of the year at the site."""
    fixed = Item.objects.filter(site=world.sites[site], product__equipment_class="anchor")
    here = list(fixed.filter(condition=Condition.IN_SERVICE).select_related("product", "site"))
    look(world, here, kind="detailed", by="Dilip Nair", at=at)
