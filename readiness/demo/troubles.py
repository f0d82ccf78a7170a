"""What goes wrong in a year: quarantines, an arrested fall, things lost, found, sent away, cut up."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from decimal import Decimal
from functools import partial

from inspections.actions.arresting import Fall, Particulars, record_arrest
from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.actions.undoing import agree_release_of_hold, ask_release_of_hold
from inspections.actions.using import release_from_quarantine
from readiness.demo.world import Happening, World
from register.actions.conditions import (
    destroy,
    let_go,
    quarantine,
    report_found,
    report_lost,
    send_away,
    take_back_from_service,
    withdraw,
)
from register.models import Hold, Item
from register.rules.conditions import Condition

# (days ago, site, class, reason, by whom, in their words)
STOPPED = (
    (88, "corrick", "harness", "contaminated", "morag", "soaked in hydraulic oil"),
    (74, "skelhope", "connector", "damage-found", "sunniva", "gate bent"),
    (59, "northmere", "retractable", "suspected-load", "petra", "got a bit of a tug"),
    (47, "corrick", "energy-absorbing-lanyard", "pre-use-check-failed", "tomasz", "cover torn"),
    (33, "hollin", "harness", "label-unreadable", "petra", "label washed out"),
    (21, "pellow", "connector", "identity-in-doubt", "petra", "two with one serial"),
    (13, "skelhope", "harness", "contaminated", "sunniva", "grit blast dust in the buckles"),
    (9, "corrick", "retractable", "pre-use-check-failed", "tomasz", "cable does not run in"),
    (6, "northmere", "sling", "damage-found", "petra", "cut by a racking edge"),
    (3, "corrick", "harness", "damage-found", "tomasz", "leg strap nicked at the grinder"),
    (1, "hollin", "connector", "pre-use-check-failed", "petra", "screw gate seized"),
)
CLEARED = 40  # those stopped longer ago have been looked at since, and released
LOST = ((150, "corrick"), (92, "skelhope"), (66, "skelhope"), (31, "northmere"), (18, "hollin"))
FELL = 97
CUT_UP = (160, 120, 80, 45, 20)


def troubles(world: World) -> Iterator[Happening]:
    for row in STOPPED:
        yield Happening(world.moment(-row[0], 11), partial(_stop, world, row))
    for days, site in LOST:
        yield Happening(world.moment(-days, 16), partial(_lose, world, site))
    yield Happening(world.moment(-8, 9), partial(_find, world))
    yield Happening(world.moment(-FELL, 13, 20), partial(_fall, world))
    for days in (130, 38, 17):
        yield Happening(world.moment(-days, 14), partial(_to_the_maker, world))
    yield Happening(world.moment(-70, 14), partial(_back_from_the_maker, world))
    for days in CUT_UP:
        yield Happening(world.moment(-days, 15, 30), partial(_cut_up, world))
    yield Happening(world.moment(-52, 15), partial(_sell, world))
    yield Happening(world.moment(-4, 9), partial(_give_up, world))


def _one(world: World, site: str, kind: str) -> Item:
    """One of the class on the site's own rack; in a small demo, the nearest to that there is."""
    loose = Item.objects.filter(custody="stores", condition=Condition.IN_SERVICE)
    rack = loose.exclude(use_class="rescue").order_by("pk")
    fitting = rack.filter(product__equipment_class=kind)
    for choice in (fitting.filter(site__code=site), fitting, rack):
        if keys := list(choice.values_list("pk", flat=True)):
            break
    return Item.objects.select_related("product", "site").get(pk=world.chance.choice(keys))


def _stop(world: World, row: tuple[int, str, str, str, str, str], at: datetime) -> None:
    days, site, kind, reason, who, note = row
    item = quarantine(_one(world, site, kind), reason=reason, note=note, stamp=world.stamp(who, at))
    if days > CLEARED:
        _clear(world, item, at + timedelta(days=4))


def _clear(world: World, item: Item, at: datetime) -> None:
    finding = Finding(
        kind="after-event",
        verdict="pass",
        performed_at=at,
        inspector=world.people["Huw Penry"],
        note="cleaned, looked over, sound",
    )
    inspect(item, finding=finding, stamp=world.stamp("huw", at))
    release_from_quarantine(item, stamp=world.stamp("huw", at + timedelta(minutes=20)))


def _lose(world: World, site: str, at: datetime) -> None:
    held = Item.objects.filter(
        site__code=site, condition=Condition.IN_SERVICE, custody__in=["person", "stores"]
    ).exclude(product__equipment_class="anchor")
    held = held.exclude(use_class="rescue")
    item = world.chance.choice(list(held.order_by("pk")))
    note = "gang boxes, cabin and both vans searched; asked the whole shift"
    report_lost(item, search_note=note, stamp=world.stamp("petra", at))


def _find(world: World, at: datetime) -> None:
    site, where = world.sites["ashby"], "under the seat of van 3"
    for item in Item.objects.filter(condition=Condition.NOT_LOCATED).order_by("pk")[:1]:
        report_found(item, site=site, where=where, stamp=world.stamp("petra", at))


def _fall(world: World, at: datetime) -> None:
    """Dougal was held by his lanyard; what held him is withdrawn a week later."""
    items = [_one(world, "skelhope", kind) for kind in ("harness", "energy-absorbing-lanyard")]
    arrest = record_arrest(
        world.sites["skelhope"],
        items=items,
        fall=Fall(
            happened_at=at - timedelta(hours=2),
            account="A board turned under his foot; 1 m fall, held, down by ladder.",
            wearer=world.people["Dougal Wray"],
            place="North girders, span 2",
            particulars=Particulars(
                task="Grit-blast girders, spans 1 to 3",
                free_fall_m=Decimal(1),
                suspended_minutes=6,
                rescue_method="Reached by ladder from the deck below, stood on it himself",
                rescuers=[world.people["Sunniva Rask"]],
                first_aid="no",
                evidence_place="Locked cage at the compound",
            ),
        ),
        stamp=world.stamp("sunniva", at),
    )
    for item in items:
        stamp = world.stamp("huw", at + timedelta(days=7))
        withdraw(item, ground="arrested a fall", stamp=stamp)
    _let_the_evidence_go(world, arrest.hold, at + timedelta(days=8))


def _let_the_evidence_go(world: World, hold: Hold | None, at: datetime) -> None:
    if hold is None:
        return
    because = "Seen and photographed by the insurer; nothing is open."
    ask_release_of_hold(hold, because=because, stamp=world.stamp("huw", at))
    agree_release_of_hold(hold, stamp=world.stamp("oyelaran", at + timedelta(hours=1)))


def _to_the_maker(world: World, at: datetime) -> None:
    item = _one(world, "corrick", "retractable")
    reference = f"RMA {world.next_number('maker reference')}"
    stamp = world.stamp("petra", at)
    send_away(item, to="Kestrel Mechanical", reference=reference, stamp=stamp)


def _back_from_the_maker(world: World, at: datetime) -> None:
    away = Item.objects.filter(
        condition=Condition.AWAY, product__equipment_class="retractable"
    ).order_by("pk")
    for item in away[:1]:
        stamp = world.stamp("petra", at)
        take_back_from_service(item, certificate="Service sheet 88-1", stamp=stamp)


def _cut_up(world: World, at: datetime) -> None:
    """Half of what lies in the scrap bin is destroyed before a witness."""
    scrap = list(Item.objects.filter(condition=Condition.WITHDRAWN).order_by("pk"))
    for item in scrap[::2]:
        method, witness = "webbing cut through, metal sawn", world.people["Huw Penry"]
        destroy(item, method=method, witness=witness, stamp=world.stamp("petra", at))


def _sell(world: World, at: datetime) -> None:
    item = _one(world, "ashby", "connector")
    let_go(item, recipient="Fenwater Scaffolding", stamp=world.stamp("petra", at))


def _give_up(world: World, at: datetime) -> None:
    """Failed between two rounds; it lies in the scrap bin until the next cutting up."""
    item = _one(world, "northmere", "sling")
    flaw = Flaw(grade="A", what="Stiff with frost and oil", place="webbing", action="scrap bin")
    finding = Finding(
        kind="detailed",
        verdict="fail",
        performed_at=at,
        inspector=world.people["Huw Penry"],
        flaws=[flaw],
    )
    inspect(item, finding=finding, stamp=world.stamp("huw", at))
