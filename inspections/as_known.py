"""An item as it was known at a past moment: which records there were, and what they came to."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from inspections.conditions import facts_of
from inspections.models import Inspection
from inspections.regime import regime_in_force
from inspections.rules.clocks import Clock, clocks, restrictions
from inspections.rules.item_facts import InspectionFact
from inspections.rules.known import Recorded, Turn, condition_at, known_at
from inspections.rules.verdict import ItemState, Verdict, usable
from register import clock
from register.models import Entry, Item


@dataclass(frozen=True, slots=True)
class AsKnown:
    """The verdict for the site's day of the moment, the records known then, and those made later."""

    day: date
    verdict: Verdict
    clocks: tuple[Clock, ...]
    condition: str
    known: tuple[Inspection, ...]
    later: tuple[Inspection, ...]


def as_known(item: Item, moment: datetime) -> AsKnown:
    """From the records made by then alone; product and intervals are those of today.

    Where the item was and, of a kit, its pieces and seal are not part of the answer.
    """
    rows = list(
        item.inspections.select_related("inspector", "superseded_by").prefetch_related("defects")
    )
    known = tuple(one.what for one in known_at((_recorded(row) for row in rows), moment))
    later = tuple(row for row in rows if row.recorded_at > moment)
    day = clock.day_at(item.site, moment)
    condition, reason = condition_at(_turns(item), moment, item.condition)
    found = _clocks(item, known, day, moment)
    state = ItemState(
        condition=condition,
        custody="stores",
        clocks=found,
        quarantine_reason=reason,
        restricted_to="; ".join(restrictions(list(_facts(known, moment)))),
    )
    return AsKnown(day, usable(state, day), found, condition, known, later)


def _recorded(row: Inspection) -> Recorded[Inspection]:
    return Recorded(row.pk, row.recorded_at, row.supersedes_id, row)


def _facts(known: Iterable[Inspection], moment: datetime) -> Iterable[InspectionFact]:
    """One that was signed with its round only later did not count yet."""
    for row in known:
        yield InspectionFact(
            kind=row.kind,
            performed_on=row.performed_on,
            verdict=row.verdict,
            counts=row.counts and (row.signed_at is None or row.signed_at <= moment),
            covers_periodic=row.covers_periodic,
            restricted_to=row.restricted_to,
            valid_until_on=row.good_until_on,
            danger_by=tuple(one.danger_by_on for one in row.defects.all() if one.danger_by_on),
        )


def _clocks(
    item: Item, known: Iterable[Inspection], day: date, moment: datetime
) -> tuple[Clock, ...]:
    """Acceptance and first use only where they had happened by that day."""
    regime = regime_in_force()
    then = Item.objects.select_related("product").get(pk=item.pk)
    for name in ("accepted_on", "first_used_on", "fixed_on"):
        on = getattr(then, name)
        setattr(then, name, on if on and on <= day else None)
    return clocks(facts_of(then, _facts(known, moment), regime), regime.schemes)


def _turns(item: Item) -> list[Turn]:
    """Every change of condition in the item's chain."""
    chain = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk)).order_by("seq")
    return [_turn(entry) for entry in chain.select_related("act")]


def _turn(entry: Entry) -> Turn:
    facts = entry.facts
    reason = facts.get("reason") or facts.get("again")
    return Turn(
        entry.act.at, str(facts.get("from") or ""), str(facts.get("to") or ""), str(reason or "")
    )
