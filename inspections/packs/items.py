"""The items of a site as a phone carries them: their verdicts along the days, as data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cache

from django.db.models import Q, QuerySet

from inspections.bound import UNBOUND, notices_on
from inspections.conditions import facts_of, standing_facts, states_of
from inspections.packs.sentences import Sentences
from inspections.regime import RegimeInForce, regime_in_force
from inspections.rules.clocks import if_passed
from inspections.rules.item_facts import ItemFacts
from inspections.rules.spells import Spell, spells
from inspections.rules.verdict import ItemState
from inspections.wording import verdict_sentence, what_to_do
from register.models import Item, KitPart, Site
from register.rules.conditions import Condition
from register.wording import custody_name

PERIODIC = "+periodic"  # a thorough examination that followed the maker's periodic procedure
ASKED = ("detailed", "thorough-examination", "interim", "installation", "kit-check")
GONE = (Condition.DESTROYED, Condition.LEFT)


@dataclass(frozen=True, slots=True)
class Days:
    """The days of the pack's life, from the day it was made."""

    first: date
    last: date

    @property
    def all(self) -> list[date]:
        return [self.first + timedelta(days=n) for n in range((self.last - self.first).days + 1)]


def items_in(site: Site) -> QuerySet[Item]:
    """What may be in somebody's hand there: at the site, on its way to it, or in its kits."""
    there = Q(site=site) | Q(bound_for=site) | Q(part_of__kit__item__site=site)
    rows = Item.objects.filter(there).exclude(condition__in=GONE)
    return rows.select_related("product", "zone", "kit", "as_kit", "site").order_by("code")


def pack_items(
    items: Sequence[Item], site: Site, days: Days, said: Sentences, *, names: bool
) -> dict[str, dict[str, object]]:
    """Each item under its tag; the number of queries does not grow with them."""
    states, regime = states_of(items), regime_in_force()
    passing = _passing(items, states, days, regime)
    cards = _cards(items)
    return {
        item.code: {
            **_particulars(item, site, names=names),
            "spells": [_spell(one, said) for one in spells(states[item.pk], days.first, days.last)],
            "if_passed": passing[item.pk],
            **_bag(item, cards),
        }
        for item in items
    }


def _particulars(item: Item, site: Site, *, names: bool) -> dict[str, object]:
    """What is told apart by the eye; the name of a holder only by its key among the people.

    ``site`` is told of what is booked in elsewhere: bound for here, or a part of a kit of here.
    """
    told: dict[str, object] = {
        "name": str(item.product),
        "class": item.product.equipment_class,
        "serial": item.serial,
        "size": item.size,
        "custody": custody_name(item.custody),
        "place": item.place,
        "zone": item.zone.code if item.zone else "",
        "kit": item.kit.name if item.kit and item.custody == "kit" else "",
        "is_kit": item.as_kit.name if hasattr(item, "as_kit") else "",
        "condition": item.condition,
        "held_by": item.holder_id if names else None,
        "site": item.site.name if item.site_id != site.pk else "",
    }
    return {name: value for name, value in told.items() if value not in ("", None)}


def _bag(item: Item, cards: dict[int, list[list[object]]]) -> dict[str, object]:
    """What a kit has beside its own: its card, and its seal's number where the seal is whole."""
    if not hasattr(item, "as_kit"):
        return {}
    kit = item.as_kit
    return {"card": cards.get(item.pk, []), "sealed": kit.seal_intact, "seal": kit.seal_number}


def _spell(one: Spell, said: Sentences) -> list[object]:
    """[from, usable, through, code, place of the sentence, place of what to do]"""
    verdict = one.verdict
    do = -1 if verdict.usable else said.place(what_to_do(verdict.code))
    through = verdict.through.isoformat() if verdict.through else None
    sentence = said.place(verdict_sentence(verdict))
    return [one.from_on.isoformat(), verdict.usable, through, verdict.code, sentence, do]


def _cards(items: Iterable[Item]) -> dict[int, list[list[object]]]:
    """The contents card of each kit: [role, tag of the piece or '', required]."""
    kits = [item.as_kit for item in items if hasattr(item, "as_kit")]
    found: dict[int, list[list[object]]] = {}
    rows = KitPart.objects.filter(kit__in=kits).select_related("item", "kit")
    for part in rows:
        line = [part.role, part.item.code if part.item else "", part.required]
        found.setdefault(part.kit.item_id, []).append(line)
    return found


def _passing(
    items: Sequence[Item], states: dict[int, ItemState], days: Days, regime: RegimeInForce
) -> dict[int, dict[str, list[str | None]]]:
    """For each item and kind of look, the last good day if it passed on each day of the pack."""
    found, bound = standing_facts(items), notices_on(items)

    @cache  # a delivery of forty has the same dates forty times
    def lasts(facts: ItemFacts, kind: str) -> list[str | None]:
        plain, is_periodic = kind.removesuffix(PERIODIC), kind.endswith(PERIODIC)
        governing = [
            if_passed(facts, regime.schemes, kind=plain, on=day, covers_periodic=is_periodic)
            for day in days.all
        ]
        return [one.last_day.isoformat() if one.last_day else None for one in governing]

    told = {}
    for item in items:
        facts = replace(
            facts_of(item, found[item.pk], regime),
            notice_deadlines=bound.get(item.pk, UNBOUND).deadlines,
        )
        told[item.pk] = {kind: lasts(facts, kind) for kind in _kinds(states[item.pk])}
    return told


def _kinds(state: ItemState) -> list[str]:
    """The kinds of look that have a clock on this item."""
    running = {clock.name for clock in state.clocks}
    kinds = [kind for kind in ASKED if kind in running]
    thorough = "thorough-examination"
    return kinds + ([thorough + PERIODIC] if thorough in running else [])
