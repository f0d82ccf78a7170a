"""Which items are usable: for one, for many, and as a condition on a query.

``states_of`` gathers what decides on use in a fixed number of queries; the rules judge it.
``usable_on`` says the same in SQL for lists, from the stored ``Due``; a test holds the two together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q

from inspections.bound import UNBOUND, Bound, held_by_notice, notices_on
from inspections.models import Due, Inspection
from inspections.regime import RegimeInForce, regime_in_force
from inspections.rules.clocks import Clock, clocks, governing, restrictions
from inspections.rules.item_facts import InspectionFact, ItemFacts
from inspections.rules.verdict import ItemState, KitPart, Verdict, usable
from register import clock
from register.models import Item, Kit
from register.models import KitPart as PartRow
from register.rules.classes import CLASSES
from register.rules.conditions import CUSTODY_NOT_USABLE, Condition

FACT_KEYS = ("item_id", "pk", "defects__danger_by_on")
FACT_COLUMNS = {  # the field of the fact, and the column it comes from
    **{name: name for name in ("kind", "performed_on", "verdict", "counts", "covers_periodic")},
    "restricted_to": "restricted_to",
    "valid_until_on": "good_until_on",
}
NOWHERE = sorted({*CUSTODY_NOT_USABLE, ""})
RESCUE_KITS = [
    slug for slug, kind in CLASSES.items() if kind.is_rescue_kit
]  # no kit without a card


def facts_of(item: Item, found: Iterable[InspectionFact], regime: RegimeInForce) -> ItemFacts:
    """What the clocks of the item need, from its row, its product and its standing inspections."""
    product = item.product
    return ItemFacts(
        class_slug=product.equipment_class,
        use_class=item.use_class,
        made_on=item.made_first_on,
        first_used_on=item.first_used_on,
        accepted_on=item.accepted_on,
        periodic_months=product.periodic_months,
        own_months=regime.own_months(item),
        service_months=product.service_months,
        life_from_made_months=product.life_from_made_months,
        life_from_first_use_months=product.life_from_first_use_months,
        storage_months=product.storage_months,
        fixed_on=item.fixed_on,
        proof_test_months=item.proof_test_months,
        hire_end_on=item.hire_end_on,
        inspections=tuple(found),
    )


def standing_inspections(items: Sequence[Item]) -> dict[int, list[Inspection]]:
    """The inspections in force of each item, latest first: one query."""
    found: dict[int, list[Inspection]] = {item.pk: [] for item in items}
    for row in Inspection.objects.standing().filter(item__in=found):
        found[row.item_id].append(row)
    return found


def standing_facts(items: Iterable[Item]) -> dict[int, list[InspectionFact]]:
    """The same as the rules see them, also one query: a row for each defect, and no objects."""
    told: dict[int, dict[UUID, InspectionFact]] = {item.pk: {} for item in items}
    rows = Inspection.objects.standing().filter(item__in=told)
    for item, pk, danger_by_on, *rest in rows.values_list(*FACT_KEYS, *FACT_COLUMNS.values()):
        fact = told[item].get(pk) or InspectionFact(**dict(zip(FACT_COLUMNS, rest, strict=True)))
        if danger_by_on:
            fact = replace(fact, danger_by=(*fact.danger_by, danger_by_on))
        told[item][pk] = fact
    return {pk: list(facts.values()) for pk, facts in told.items()}


def clocks_of(
    items: Sequence[Item], regime: RegimeInForce | None = None
) -> dict[int, tuple[Clock, ...]]:
    """Every clock of each item, by the item's key. Items need their product loaded."""
    return _ticking(items, standing_facts(items), notices_on(items), regime or regime_in_force())


def _ticking(
    items: Iterable[Item],
    found: dict[int, list[InspectionFact]],
    bound: dict[int, Bound],
    regime: RegimeInForce,
) -> dict[int, tuple[Clock, ...]]:
    return {
        item.pk: clocks(
            replace(
                facts_of(item, found[item.pk], regime),
                notice_deadlines=bound.get(item.pk, UNBOUND).deadlines,
            ),
            regime.schemes,
        )
        for item in items
    }


def states_of(items: Sequence[Item]) -> dict[int, ItemState]:
    """What decides on the use of each item, kits with their parts."""
    kits = _kits_of(items)
    parts = _required_parts(kits.values()) if kits else []
    inner = [part.item for part in parts if part.item]
    everything = list({item.pk: item for item in [*items, *inner]}.values())
    found, bound = standing_facts(everything), notices_on(everything)
    ticking = _ticking(everything, found, bound, regime_in_force())
    plain = {
        item.pk: replace(
            _state(item, ticking[item.pk], found[item.pk]),
            held_by=bound.get(item.pk, UNBOUND).held_by,
        )
        for item in everything
    }
    states = {}
    for item in items:
        kit = kits.get(item.pk)
        mine = [part for part in parts if kit and part.kit_id == kit.pk]
        states[item.pk] = _kit_state(item, kit, mine, plain) if kit else plain[item.pk]
    return states


def _kits_of(items: Sequence[Item]) -> dict[int, Kit]:
    """The kit of each item that is one; no query where the kits were joined to the items."""
    if all(Item.as_kit.is_cached(item) for item in items):
        joined = {item.pk: getattr(item, "as_kit", None) for item in items}
        return {pk: kit for pk, kit in joined.items() if kit}
    return {kit.item_id: kit for kit in Kit.objects.filter(item__in=[item.pk for item in items])}


def _required_parts(kits: Iterable[Kit]) -> list[PartRow]:
    rows = PartRow.objects.filter(kit__in=kits, required=True)
    return list(rows.select_related("item__product"))


def verdicts_of(items: Sequence[Item], day: date) -> dict[int, Verdict]:
    """The verdict on each item for the day."""
    return {pk: usable(state, day) for pk, state in states_of(items).items()}


def verdict_of(item: Item, day: date) -> Verdict:
    """The verdict on one item for the day."""
    return verdicts_of([item], day)[item.pk]


def verdict_at(item: Item, moment: datetime) -> Verdict:
    """The verdict on one item at a moment: its site's day, and its condition as it stands."""
    return verdict_of(item, clock.day_at(item.site, moment))


def usable_on(day: date) -> Q:
    """Items usable on the day, for ``Item.objects.filter``; the same rule as ``verdicts_of``."""
    mark = regime_in_force().mark
    here = Q(condition=Condition.IN_SERVICE) & ~Q(custody__in=NOWHERE)
    alone = here & in_date_on(day, mark) & ~held_by_notice()
    bad = (
        Q(item=None)
        | ~Q(item__condition=Condition.IN_SERVICE)
        | ~Q(item__custody="kit", item__kit=F("kit"))
        | Q(item__product__equipment_class__in=RESCUE_KITS)
        | _not_in_date_on(day, mark, "item__due")
        | held_by_notice("item")
    )
    required = PartRow.objects.filter(kit=OuterRef("as_kit"), required=True)
    sealed = Q(as_kit__seal_intact=True) & ~Q(as_kit__seal_number="")
    whole = sealed & Exists(required) & ~Exists(required.filter(bad))
    plain = Q(as_kit=None) & ~Q(product__equipment_class__in=RESCUE_KITS)
    return alone & (plain | whole)


def out_since(items: Iterable[Item]) -> dict[int, datetime]:
    """Since when each item that is not in service has been out; one that is has no entry.

    The moment of the fall or other event, where that was what put it out; else of the act. A second
    reason does not move it. No query: it stands in the item's row.
    """
    return {
        item.pk: since
        for item in items
        if item.condition not in (Condition.IN_SERVICE, Condition.RECEIVED)
        and (since := item.out_since_at or item.quarantined_at)
    }


def overdue_on(day: date) -> Q:
    """Items in service whose governing clock has passed, or is not known."""
    return Q(condition=Condition.IN_SERVICE) & _not_in_date_on(day, regime_in_force().mark)


def in_date_on(day: date, mark: str) -> Q:
    """Items whose copy, made under the regime of the mark, is good through the day."""
    return Q(due__regime=mark, due__last_good_on__gte=day)


def _not_in_date_on(day: date, mark: str, due: str = "due") -> Q:
    last = f"{due}__last_good_on"
    unknown = Q(**{due: None}) | Q(**{last: None}) | ~Q(**{f"{due}__regime": mark})
    return unknown | Q(**{f"{last}__lt": day})


def refresh_due(items: Sequence[Item]) -> None:
    """Bring the stored copy of the governing clock up to date for these items."""
    rows = []
    regime = regime_in_force()
    for pk, found in clocks_of(items, regime).items():
        first = governing(found)
        rows.append(
            Due(
                item_id=pk,
                last_good_on=first.last_day,
                clock=first.name,
                source=first.source[:200],
                regime=regime.mark,
            )
        )
    Due.objects.bulk_create(
        rows,
        batch_size=200,
        update_conflicts=True,
        unique_fields=["item"],
        update_fields=["last_good_on", "clock", "source", "regime"],
    )


def _state(item: Item, found: tuple[Clock, ...], told: list[InspectionFact]) -> ItemState:
    return ItemState(
        condition=item.condition,
        custody=item.custody,
        clocks=found,
        quarantine_reason=item.quarantine_reason,
        identity_in_doubt=item.quarantine_reason == "identity-in-doubt",
        restricted_to="; ".join(restrictions(told)),
        kit_problem="part-missing" if item.product.kind.is_rescue_kit else "",
    )


def _kit_state(
    item: Item, kit: Kit, parts: list[PartRow], plain: dict[int, ItemState]
) -> ItemState:
    problem = ""
    if not parts or any(part.item is None for part in parts):
        problem = "part-missing"
    elif not kit.seal_intact:
        problem = "seal-broken"
    elif not kit.seal_number:
        problem = "seal-missing"
    state = plain[item.pk]
    return ItemState(
        condition=state.condition,
        custody=state.custody,
        clocks=state.clocks,
        quarantine_reason=state.quarantine_reason,
        held_by=state.held_by,
        kit_problem=problem,
        kit_parts=tuple(
            KitPart(f"{part.role} {part.item.shown_code}", _part_state(part, part.item, plain))
            for part in parts
            if part.item
        ),
        restricted_to=state.restricted_to,
    )


def _part_state(part: PartRow, item: Item, plain: dict[int, ItemState]) -> ItemState:
    """The part's own state; on the card of this kit and yet not in it, it serves elsewhere."""
    is_inside = item.custody == "kit" and item.kit_id == part.kit_id
    return replace(plain[item.pk], issued_elsewhere=not is_inside)
