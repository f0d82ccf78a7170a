"""Which items the notices in force mean, worked out from the records, a batch at a time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import Q

from inspections.models import Notice, NoticeMatch
from inspections.rules.notice_match import Match, Piece, ProductName, Rule, match
from inspections.rules.serial_order import SerialRange
from register.models import Item, Product
from register.rules.conditions import Condition
from register.rules.lifespan import DateSpan

AT_ONCE = 2000
_DAYS = ("made_from_on", "made_through_on", "sold_from_on", "sold_through_on")
_COLUMNS = (
    *("pk", "serial", "batch", "made_first_on", "made_last_on", "made_precision", "purchased_on"),
)


@dataclass(frozen=True, slots=True)
class Found:
    """An item that a notice means."""

    item_id: int
    match: Match


def rule_of(notice: Notice) -> Rule:
    """The rule as the notice tells it."""
    return Rule(
        products=tuple(ProductName(*names) for names in notice.products),
        serials=tuple(SerialRange(*ends) for ends in notice.serials),
        batches=frozenset(notice.batches),
        **{name: getattr(notice, name) for name in _DAYS},
    )


def products_meant(rule: Rule) -> list[Product]:
    """The products of the catalogue that the rule names, however they are written there."""
    return [one for one in Product.objects.all() if rule.names(one.maker, one.designation)]


def found_by(rule: Rule, products: Sequence[Product]) -> Iterator[Found]:
    """Every item the rule means, whatever its condition; the database narrows, the rule decides."""
    rows = Item.objects.filter(_may_be_meant(rule)).exclude(condition=Condition.DESTROYED)
    if rule.products:
        rows = rows.filter(product__in=[one.pk for one in products])
    yield from _found(rule, rows.order_by("pk").values_list(*_COLUMNS).iterator(AT_ONCE))


def matches_now(notice: Notice, items: Sequence[Item]) -> dict[int, Match]:
    """What the rule says now of each of these items, those it does not mean too."""
    rule = rule_of(notice)
    named = [item for item in items if rule.names(item.product.maker, item.product.designation)]
    told = {item.pk: match(rule, piece_of(item)) for item in named}
    return {item.pk: told.get(item.pk, Match("none")) for item in items}


def piece_of(item: Item) -> Piece:
    """What the rule looks at, from the item's row."""
    return _piece(
        item.serial,
        item.batch,
        item.made_first_on,
        item.made_last_on,
        item.made_precision,
        item.purchased_on,
    )


def _found(rule: Rule, rows: Iterable[tuple[Any, ...]]) -> Iterator[Found]:
    for pk, *columns in rows:
        told = match(rule, _piece(*columns))
        if told.is_meant:
            yield Found(pk, told)


def _piece(
    serial: str,
    batch: str,
    made_first_on: date | None,
    made_last_on: date | None,
    precision: str,
    purchased_on: date | None,
) -> Piece:
    made = DateSpan(made_first_on, made_last_on or made_first_on, precision)  # type: ignore[arg-type]
    return Piece(serial=serial, batch=batch, made=made, purchased_on=purchased_on)


def _may_be_meant(rule: Rule) -> Q:
    """What the days alone leave possible; anything not known stays in."""
    chosen = Q()
    if rule.made_from_on:
        chosen &= Q(made_last_on=None) | Q(made_last_on__gte=rule.made_from_on)
    if rule.made_through_on:
        chosen &= Q(made_first_on=None) | Q(made_first_on__lte=rule.made_through_on)
    if rule.sold_from_on:
        chosen &= Q(purchased_on=None) | Q(purchased_on__gte=rule.sold_from_on)
    if rule.sold_through_on:
        chosen &= Q(purchased_on=None) | Q(purchased_on__lte=rule.sold_through_on)
    return chosen


@dataclass(frozen=True, slots=True)
class WrongMatch:
    """An item whose stored match with a notice in force is not what the records give."""

    notice: Notice
    item: Item
    right: Match


def wrong_matches() -> Iterator[WrongMatch]:
    """Every such item; those closed as 'not one of those meant' by a person keep that."""
    for notice in Notice.objects.in_force():
        rule = rule_of(notice)
        right = {one.item_id: one.match for one in found_by(rule, products_meant(rule))}
        stored = {row.item_id: row for row in notice.matches.all()}
        wrong = [pk for pk, told in right.items() if pk not in stored or _differs(stored[pk], told)]
        gone = [pk for pk, row in stored.items() if row.certainty != "none" and pk not in right]
        items = Item.objects.select_related("product", "site")
        for item in items.filter(pk__in=[*wrong, *gone]).exclude(condition=Condition.DESTROYED):
            yield WrongMatch(notice, item, right.get(item.pk, Match("none")))


def _differs(row: NoticeMatch, told: Match) -> bool:
    return row.judged != (told.certainty, [list(doubt) for doubt in told.doubts])
