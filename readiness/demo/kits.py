"""The fourteen rescue kits of the demo: made up of parts by serial, sealed, examined, checked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from functools import partial
from typing import Any

from inspections.actions.inspecting import Finding, inspect
from inspections.actions.using import accept_into_service, release_from_quarantine
from readiness.actions.kits import rate_kit
from readiness.demo.looks import look
from readiness.demo.stock import delivery_of, pieces_of
from readiness.demo.world import Happening, World, table
from readiness.models import KitAbility
from register.actions.conditions import send_away
from register.actions.custody import arrive, dispatch, place_at
from register.actions.deliveries import Piece, receive_delivery
from register.actions.kits import fill_part, make_kit, seal_kit, unseal_kit
from register.models import Item, Kit, SealEvent
from register.rules.conditions import Condition
from register.rules.lifespan import add_months

MADE_UP = 340
EXAMINED_EVERY = 168  # days: within the six months of the law, on the same weekday
CHECKED_EVERY = 28  # days: within the month of the employer's own rule
ON_ITS_WAY, TO, AT_THE_MAKER = "RK-13", "skelhope", "RK-14"
OUT_OF_DATE, ITS_PART = "RK-11", "Pulley"
FRIDAY = 4


def last_friday(day: date) -> date:
    """The Friday before the day, never the day itself."""
    return day - timedelta(days=(day.weekday() - FRIDAY - 1) % 7 + 1)


def kits(world: World) -> Iterator[Happening]:
    """Parts in, kits made up, then checks and examinations until yesterday."""
    parts: dict[str, list[Item]] = {}
    yield Happening(world.moment(-MADE_UP - 12), partial(_receive, world, parts))
    for number, row in enumerate(table("kits")["kits"]):
        made_up = world.moment(-MADE_UP, 11, number)
        yield Happening(made_up, partial(_make_up, world, parts, row))
        yield from _examinations(world, row["name"], 20 + 9 * number)
        yield from _checks(world, row["name"], row.get("checked", 2 + number % 11))
    yield Happening(world.moment(-21, 14), partial(_send_away, world))
    yield Happening(world.moment(-1, 15), partial(_send_off, world))


def _examinations(world: World, name: str, last: int) -> Iterator[Happening]:
    """Two in the year. The pulley that is out of date was looked at half a year before it was."""
    if name == OUT_OF_DATE:
        friday = last_friday(world.day)
        earlier, until = _examined_for(friday)
        days = (earlier - world.day).days
        do = partial(_examine, world, name, "", until)
        yield Happening(world.moment(days, 9), do)
        yield Happening(world.moment(-last, 9), partial(_examine, world, name, ITS_PART, None))
        return
    for days in (last + EXAMINED_EVERY, last):
        yield Happening(world.moment(-days, 9), partial(_examine, world, name, "", None))


def _examined_for(friday: date) -> tuple[date, date | None]:
    """A day whose six months end on that Friday; where no such day is, one with a date written."""
    earlier = add_months(friday, -6)
    if add_months(earlier, 6) == friday:
        return earlier, None
    return earlier + timedelta(days=1), friday


def _checks(world: World, name: str, last: int) -> Iterator[Happening]:
    for days in range(last, MADE_UP, CHECKED_EVERY):
        yield Happening(world.moment(-days, 13), partial(_check, world, name))


def _receive(world: World, parts: dict[str, list[Item]], at: datetime) -> None:
    """All bags and parts for all kits, delivered to the stores and accepted there."""
    tables = table("kits")
    wanted: dict[str, int] = {"Kit bag 50": len(tables["kits"])}
    for row in tables["kits"]:
        for _role, product in tables["contents"][row["family"]]:
            wanted[product] = wanted.get(product, 0) + 1
    for name, count in wanted.items():
        product = world.products[name]
        pieces = pieces_of(world, product, count, at.date())
        made = delivery_of(world, product, "ashby", at.date())
        for_rescue = [_for_rescue(piece) for piece in pieces]
        items = receive_delivery(made, for_rescue, stamp=world.stamp("petra", at))
        later = at + timedelta(days=1)
        accept_into_service(items, on=later.date(), stamp=world.stamp("petra", later))
        parts[name] = items


def _for_rescue(piece: Piece) -> Piece:
    return Piece(serial=piece.serial, batch=piece.batch, made=piece.made, use_class="rescue")


def _make_up(world: World, parts: dict[str, list[Item]], row: dict[str, Any], at: datetime) -> None:
    """A bag becomes a kit, is filled, sealed, hung in its place and rated."""
    tables, stamp = table("kits"), world.stamp("huw", at)
    contents = tables["contents"][row["family"]]
    bag = parts["Kit bag 50"].pop()
    kit = make_kit(bag, name=row["name"], roles=[role for role, _ in contents], stamp=stamp)
    for role, product in contents:
        fill_part(kit, role=role, item=parts[product].pop(), stamp=stamp.again())
    seal_kit(kit, number=_seal_number(world), on=at.date(), stamp=stamp.again())
    _take_there(world, kit, row, at + timedelta(hours=5))


def _seal_number(world: World) -> str:
    return f"S{world.next_number('seal') + 40_000:06d}"


def _take_there(world: World, kit: Kit, row: dict[str, Any], at: datetime) -> None:
    site, zone = world.sites[row["site"]], world.zones[row["site"], row["zone"]]
    bag, stamp = kit.item, world.stamp("petra", at)
    if site.code != "ashby":
        dispatch(bag, to=site, stamp=stamp)
        bag = arrive(bag, at=site, zone=zone, stamp=world.stamp("petra", at + timedelta(hours=2)))
    placed = world.stamp("petra", at + timedelta(hours=2, minutes=10))
    place_at(bag, zone=zone, place=row["place"], stamp=placed)
    said = table("kits")["abilities"][row["family"]]
    ability = KitAbility(kit=Kit.objects.get(pk=kit.pk), family=row["family"], **said)
    locked = [world.shifts[row["site"], name] for name in row.get("locked_on", ())]
    rate_kit(ability, locked_on=locked, stamp=world.stamp("neve", at + timedelta(hours=3)))


def _examine(world: World, name: str, without: str, until: date | None, at: datetime) -> None:
    """Opened, every part looked at (or all but one), sealed anew."""
    kit = Kit.objects.select_related("item__product", "item__site").get(name=name)
    stamp = world.stamp("huw", at)
    unseal_kit(kit, kind=SealEvent.Kind.OPENED, reason="thorough examination", stamp=stamp)
    parts = list(kit.parts.select_related("item__product", "item__site"))
    seen = [part.item for part in parts if part.item and part.role != without]
    if until:
        seen = [part.item for part in parts if part.item and part.role != ITS_PART]
    kind = "thorough-examination"
    look(world, [kit.item, *seen], kind=kind, by="Huw Penry", at=at)
    for part in parts:
        if part.item and part.item not in seen:
            _look_at_one(world, part.item, until, at)
    later = at + timedelta(minutes=50)
    number = _seal_number(world)
    seal_kit(kit, number=number, on=later.date(), stamp=world.stamp("huw", later))


def put_right(world: World, name: str, at: datetime) -> None:
    """After a drill: checked, released and sealed anew the same afternoon."""
    kit = Kit.objects.select_related("item__product", "item__site").get(name=name)
    look(world, [kit.item], kind="kit-check", by="Huw Penry", at=at)
    later = at + timedelta(minutes=10)
    release_from_quarantine(kit.item, stamp=world.stamp("huw", later))
    number, stamp = _seal_number(world), world.stamp("huw", later)
    seal_kit(kit, number=number, on=later.date(), stamp=stamp)


def _look_at_one(world: World, item: Item, until: date | None, at: datetime) -> None:
    """The part that is not like the others: passed until a written day, or not there to be seen."""
    finding = Finding(
        kind="thorough-examination",
        verdict="pass" if until else "not-presented",
        performed_at=at,
        inspector=world.people["Huw Penry"],
        covers_periodic=True,
        good_until_on=until,
        note="" if until else "stayed in the bottom of the bag",
    )
    inspect(item, finding=finding, stamp=world.stamp("huw", at))


def _check(world: World, name: str, at: datetime) -> None:
    """Seal and contents, monthly; not while the kit is away."""
    bag = Item.objects.select_related("product", "site").get(as_kit__name=name)
    if bag.condition == Condition.IN_SERVICE:
        look(world, [bag], kind="kit-check", by="Huw Penry", at=at)


def _send_away(world: World, at: datetime) -> None:
    bag = Item.objects.get(as_kit__name=AT_THE_MAKER)
    stamp = world.stamp("petra", at)
    send_away(bag, to="Kestrel Mechanical", reference="RMA 2207, winch brake", stamp=stamp)


def _send_off(world: World, at: datetime) -> None:
    """On its way since yesterday: scanned in, it would serve the second gang."""
    bag = Item.objects.get(as_kit__name=ON_ITS_WAY)
    dispatch(bag, to=world.sites[TO], stamp=world.stamp("petra", at))
