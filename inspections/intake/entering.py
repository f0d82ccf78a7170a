"""Puts lines into the tables: a thousand in one go, or one by one where the thousand fails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, time
from typing import Any
from zoneinfo import ZoneInfo

from django.db import DataError, IntegrityError, transaction
from django.db.models import Model

from inspections.actions.notices import match_items
from inspections.conditions import facts_of
from inspections.intake.inserting import insert_all
from inspections.intake.judged import fact_told, inspection_of, start_of
from inspections.models import BroughtIn, Due, Inspection, Intake
from inspections.regime import RegimeInForce
from inspections.rules.clocks import clocks, governing
from register.actions.marking import fresh_codes, tag_of
from register.intake.columns import Guess
from register.intake.keys import ProductKey, name_key, product_key
from register.intake.rows import Problem, Row
from register.models import Item, Person, Product, Site, Stamp, Zone, record
from register.rules.classes import CLASSES
from register.rules.conditions import Condition
from register.rules.serials import serial_key

_PLACES = {
    Condition.AWAY: "maker",
    Condition.NOT_LOCATED: "not-located",
    Condition.LEFT: "owner",
    Condition.DESTROYED: "destroyed",
}
_REMARKS_MOST = 200
Touched = dict[Model, Mapping[str, object]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """All that the lines of one file are set against, looked up once."""

    intake: Intake
    mapping: Mapping[str, Guess]
    inspector: str
    products: Mapping[ProductKey, Product]
    sites: Mapping[str, Site]
    zones: Mapping[tuple[int, str], Zone]
    people: Mapping[str, Person]
    marks: frozenset[str]
    regime: RegimeInForce
    stamp: Stamp


@dataclass(slots=True)
class Entered:
    """What went in, and the lines that did not, by sheet and line."""

    items: list[Item] = field(default_factory=list)
    failed: dict[tuple[str, int], Problem] = field(default_factory=dict)


def enter(rows: Sequence[Row], setting: Setting) -> Entered:
    """One transaction and one act for these lines; a line that cannot be saved stays out alone."""
    try:
        with transaction.atomic():
            done = Entered(_entered(rows, setting))
            _finish(done.items, rows, setting)
    except (IntegrityError, DataError):
        with transaction.atomic():
            done, kept = _one_by_one(rows, setting)
            _finish(done.items, kept, setting)
    return done


def _one_by_one(rows: Sequence[Row], setting: Setting) -> tuple[Entered, list[Row]]:
    done, kept = Entered(), []
    for row in rows:
        try:
            with transaction.atomic():
                done.items += _entered([row], setting)
            kept.append(row)
        except (IntegrityError, DataError):
            done.failed[row.sheet, row.line] = Problem("not-saved")
    return done, kept


def _entered(rows: Sequence[Row], setting: Setting) -> list[Item]:
    """Items, their tags, where they came from and their last inspections."""
    codes = _codes(len(rows), setting.marks)
    items = [_item(code, row, setting) for code, row in zip(codes, rows, strict=True)]
    insert_all(items)
    keys = dict(Item.objects.filter(code__in=codes).values_list("code", "pk"))
    for item in items:
        item.pk = keys[item.code]
    insert_all([tag_of(item, setting.stamp) for item in items])
    pairs = list(zip(items, rows, strict=True))
    insert_all([_origin(item, row, setting) for item, row in pairs])
    insert_all([one for item, row in pairs if (one := _inspection(item, row, setting))])
    return items


def _codes(count: int, marks: frozenset[str]) -> list[str]:
    """Codes that are no mark of a workbook either: two items must not answer to one name."""
    codes: set[str] = set()
    while len(codes) < count:
        codes |= set(fresh_codes(count - len(codes))) - marks
    return sorted(codes)


def _origin(item: Item, row: Row, setting: Setting) -> BroughtIn:
    sheet = row.sheet[:100]
    return BroughtIn(item=item, intake=setting.intake, sheet=sheet, line=row.line, old_mark=row.tag)


def _finish(items: Sequence[Item], rows: Sequence[Row], setting: Setting) -> None:
    """The ledger and the due days of what went in."""
    if not items:
        return
    touched: Touched = {
        item: _facts(item, row, setting) for item, row in zip(items, rows, strict=True)
    }
    sites = {item.site_id for item in items}
    record("bring-in", touched, stamp=setting.stamp.again(), sites=sites)
    insert_all([_due(item, row, setting) for item, row in zip(items, rows, strict=True)])
    match_items(items, stamp=setting.stamp)  # what a notice in force means is held as it comes in


def _due(item: Item, row: Row, setting: Setting) -> Due:
    """As `inspections.conditions.refresh_due` would find it, from what was just put in."""
    told = inspection_of(row, setting.mapping[row.sheet], setting.inspector)
    facts = replace(
        facts_of(item, (), setting.regime), inspections=(fact_told(told),) if told else ()
    )
    first = governing(clocks(facts, setting.regime.schemes))
    source = first.source[:200]
    return Due(
        item_id=item.pk,
        last_good_on=first.last_day,
        clock=first.name,
        source=source,
        regime=setting.regime.mark,
    )


def _facts(item: Item, row: Row, setting: Setting) -> dict[str, object]:
    inspected = row.last_inspected_on
    return {
        "to": str(item.condition),
        "reason": item.quarantine_reason,
        "product": str(item.product),
        "serial": item.serial,
        "code": item.code,
        "old_mark": row.tag,
        "inspected_on": inspected.isoformat() if inspected else None,
        "workbook": setting.intake.document.sha256,
        "sheet": row.sheet,
        "line": row.line,
    }


def _item(code: str, row: Row, setting: Setting) -> Item:
    condition, reason = start_of(row)
    stamp = setting.stamp
    is_stopped = condition == Condition.QUARANTINED
    return Item(
        code=code,
        product=setting.products[product_key(row.maker, row.product)],
        serial=row.serial,
        serial_key=serial_key(row.serial),
        batch=row.batch,
        size=row.size,
        made_first_on=row.made.first,
        made_last_on=row.made.last,
        made_precision=row.made.precision,
        purchased_on=row.purchased_on,
        first_used_on=row.first_used_on,
        use_class=row.use_class or "normal",
        condition=condition,
        quarantine_reason=reason,
        quarantined_at=stamp.at if is_stopped else None,
        quarantined_by=stamp.by if is_stopped else None,
        **_whereabouts(row, condition, setting),
    )


def _whereabouts(row: Row, condition: Condition, setting: Setting) -> dict[str, Any]:
    """Its site, its zone or the words for its place, and who holds it."""
    site = setting.sites[row.site]
    zone = setting.zones.get((site.pk, name_key(row.zone))) if row.zone else None
    holder = setting.people.get(row.holder) if row.holder else None
    return {
        "site": site,
        "zone": zone,
        "place": "" if zone else row.zone,
        "holder": None if condition in _PLACES else holder,
        "custody": _custody(row, condition, holder),
        "remarks": _remarks(row, holder),
    }


def _custody(row: Row, condition: Condition, holder: Person | None) -> str:
    if condition in _PLACES:
        return _PLACES[condition]
    if holder:
        return "person"
    installed = CLASSES[row.class_slug].installed and condition == Condition.IN_SERVICE
    return "installed" if installed else "stores"


def _remarks(row: Row, holder: Person | None) -> str:
    """What has no column of its own; longer texts can be read in the workbook, which is kept."""
    parts = (
        f"Old mark {row.tag}" if row.tag else "",
        f"Held by {row.holder}" if row.holder and holder is None else "",
        row.remarks,
    )
    text = "; ".join(part for part in parts if part)
    return text if len(text) <= _REMARKS_MOST else f"{text[: _REMARKS_MOST - 1]}…"


def _inspection(item: Item, row: Row, setting: Setting) -> Inspection | None:
    told = inspection_of(row, setting.mapping[row.sheet], setting.inspector)
    if told is None:
        return None
    return Inspection(
        item=item,
        kind=told.kind,
        verdict=told.verdict,
        performed_on=told.performed_on,
        performed_at=_noon(item.site, told.performed_on),
        recorded_at=setting.stamp.at,
        recorded_by=setting.stamp.by,
        inspector_text=told.inspector,
        site=item.site,
        counts=not told.not_because,
        counts_not_because=told.not_because,
        covers_periodic=told.covers_periodic,
        source=Inspection.Source.BROUGHT_IN,
        document=setting.intake.document,
    )


def _noon(site: Site, day: date) -> datetime:
    """The hour is not known; noon is on the same day in every zone's own reckoning."""
    return datetime.combine(day, time(12), tzinfo=ZoneInfo(site.time_zone))


@transaction.atomic
def products_for(rows: Iterable[Row], stamp: Stamp) -> dict[ProductKey, Product]:
    """Every product of the catalogue by its key, with those that the lines name and it lacks."""
    held = {product_key(one.maker, one.designation): one for one in Product.objects.all()}
    wanted: dict[ProductKey, list[Row]] = {}
    for row in rows:
        key = product_key(row.maker, row.product)
        if key not in held:
            wanted.setdefault(key, []).append(row)
    fresh = {key: _product(lines) for key, lines in wanted.items()}
    Product.objects.bulk_create(fresh.values())
    if fresh:
        touched: Touched = {
            one: {"product": str(one), "class": one.equipment_class} for one in fresh.values()
        }
        record("add-products", touched, stamp=stamp.again())
    return held | fresh


def _product(rows: Sequence[Row]) -> Product:
    """By its first line; of several limits the lowest, of several lengths none."""
    first = rows[0]
    masses = [row.max_user_kg for row in rows if row.max_user_kg is not None]
    lengths = {row.length_m for row in rows if row.length_m is not None}
    length = lengths.pop() if len(lengths) == 1 else None
    return Product(
        maker=first.maker,
        designation=first.product,
        equipment_class=first.class_slug,
        standards=next((row.standard for row in rows if row.standard), "")[:120],
        max_user_kg=int(min(masses)) if masses and min(masses) < 10_000 else None,  # noqa: PLR2004
        length_m=length if length is not None and length < 10_000 else None,  # noqa: PLR2004
    )
