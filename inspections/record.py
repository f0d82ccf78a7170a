"""The equipment record of one item as its page shows it (EN 365: the fields, the history)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _

from inspections.conditions import clocks_of, states_of
from inspections.models import Inspection
from inspections.rules.item_facts import PASSES
from inspections.rules.round_lines import UNSIGNED
from inspections.rules.verdict import Verdict, usable
from inspections.wording import clock_sentence
from register import clock
from register.models import Document, Item, KitPart
from register.wording import shown_day

Fact = tuple[str, str]


def verdicts_at(items: Sequence[Item], moment: datetime) -> dict[int, Verdict]:
    """The verdict on each item at the moment, on its own site's day; the sites must be loaded."""
    states = states_of(items)
    return {item.pk: usable(states[item.pk], clock.day_at(item.site, moment)) for item in items}


def clock_lines(item: Item) -> list[Fact]:
    """Every clock in words, the governing one first, with who says so."""
    clocks = clocks_of([item])[item.pk]
    return [(clock_sentence(each), _(each.source) if each.source else "") for each in clocks]


def facts_shown(item: Item) -> list[Fact]:
    """The fields of the record, those left blank told as not known where that matters."""
    product = item.product
    facts = [
        (_("Class"), product.kind_name),
        (_("Maker and model"), str(product)),
        (_("Standards"), product.standards),
        (_("Serial"), item.serial),
        (_("Batch"), item.batch),
        (_("Size"), item.size),
        (_("Rated"), _rating(item)),
        (_("Length"), f"{product.length_m:f} m" if product.length_m else ""),
        (_("Made"), _made(item)),
        (_("Bought"), _day(item.purchased_on)),
        (_("Accepted"), _day(item.accepted_on) or _("not yet")),
        (_("First used"), _day(item.first_used_on) or _("not yet")),
        (_("Conditions of use"), item.get_use_class_display()),
        (_("Owner"), item.owner),
        (_("Hire ends"), _day(item.hire_end_on)),
        (_("Delivery"), str(item.delivery) if item.delivery else ""),
        (_("Remarks"), item.remarks),
    ]
    return [fact for fact in facts if fact[1]]


def inspections_of(item: Item) -> list[Inspection]:
    """Every inspection of the item, superseded ones too, with their defects."""
    found = item.inspections.select_related("inspector", "superseded_by", "document")
    return list(found.prefetch_related("defects"))


def documents_of(item: Item) -> QuerySet[Document]:
    """The files about the item: its own, its delivery's declaration, reports and photographs."""
    about = (
        Q(items=item)
        | Q(declares__items=item)
        | Q(inspections__item=item)
        | Q(defects__inspection__item=item)
    )
    return Document.objects.filter(pk__in=Document.objects.filter(about).values("pk"))


def part_of(item: Item) -> KitPart | None:
    """The line of the contents card that this item fills."""
    return KitPart.objects.filter(item=item).select_related("kit").first()


def _rating(item: Item) -> str:
    least, most = item.product.min_user_kg, item.product.max_user_kg
    if not (least or most):
        return _("the maker states none")
    return " ".join(
        part
        for part in (
            _("from %(kg)s kg") % {"kg": least} if least else "",
            _("to %(kg)s kg") % {"kg": most} if most else "",
        )
        if part
    )


def _made(item: Item) -> str:
    first, last = item.made_first_on, item.made_last_on
    if first is None:
        return _("not known")
    if item.made_precision == "day" or last is None or last == first:
        return shown_day(first)
    return _("%(first)s to %(last)s (%(precision)s)") % {
        "first": shown_day(first),
        "last": shown_day(last),
        "precision": item.get_made_precision_display().lower(),
    }


def _day(day: date | None) -> str:
    return shown_day(day) if day else ""


def waits(one: Inspection) -> bool:
    """Whether it is a pass that counts once its round is signed."""
    superseded = getattr(one, "superseded_by", None) is not None
    return one.counts_not_because == UNSIGNED and one.verdict in PASSES and not superseded
