"""What the pages show of safety notices: how many are meant, which, and who has them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.bound import held_by_notice
from inspections.matching import found_by, products_meant, rule_of
from inspections.models import Notice, NoticeMatch
from inspections.notice_wording import doubt_words
from inspections.rules.notice_kinds import ACKNOWLEDGE_WITHIN_DAYS
from register.models import Item, Kit, Site
from register.wording import custody_name

SHOWN = 60  # items of a preview in rows; the rest is counted


@dataclass(frozen=True, slots=True)
class Counts:
    """How many items of the sites seen a notice means, and how many are still to be settled."""

    certain: int = 0
    possible: int = 0
    to_settle: int = 0
    not_told: int = 0

    @property
    def settled(self) -> int:
        return self.certain + self.possible - self.to_settle


NONE = Counts()


def counts_of(items: QuerySet[Item]) -> dict[int, Counts]:
    """The counts of every notice among these items: two questions, however many notices."""
    there = NoticeMatch.objects.filter(item__in=items).order_by()
    told = {
        pk: (certain, possible)
        for pk, certain, possible in there.values_list("notice").annotate(
            certain=Count("pk", filter=Q(certainty="certain")),
            possible=Count("pk", filter=Q(certainty="possible")),
        )
    }
    undone = NoticeMatch.objects.to_settle().filter(item__in=items).order_by()
    waiting = {
        pk: (n, silent)
        for pk, n, silent in undone.values_list("notice").annotate(
            n=Count("pk"), silent=Count("pk", filter=Q(acknowledged_at=None))
        )
    }
    return {pk: Counts(*told[pk], *waiting.get(pk, (0, 0))) for pk in told}


@dataclass(frozen=True, slots=True)
class Meant:
    """One item in a preview."""

    item: Item
    certain: bool
    doubts: str


@dataclass(frozen=True, slots=True)
class Preview:
    """What a notice would mean if it were entered now; the rows are those the user may see."""

    products: tuple[tuple[str, int], ...]
    strangers: tuple[str, ...]
    certain: int
    possible: int
    rows: tuple[Meant, ...]

    @property
    def more(self) -> int:
        return self.certain + self.possible - len(self.rows)


def preview_of(notice: Notice, items: QuerySet[Item]) -> Preview:
    """Worked out as it will be when it is entered, and nothing kept."""
    rule = rule_of(notice)
    products = products_meant(rule)
    found = {one.item_id: one.match for one in found_by(rule, products)}
    first = sorted(found, key=lambda pk: (found[pk].certainty, pk))[: 5 * SHOWN]
    seen = items.filter(pk__in=first).select_related("product", "site", "holder", "kit", "zone")
    rows = [
        Meant(one, found[one.pk].certainty == "certain", doubt_words(found[one.pk].doubts))
        for one in seen
    ]
    rows.sort(key=lambda row: (not row.certain, row.item.site.name, row.item.code))
    certain = sum(one.certainty == "certain" for one in found.values())
    strangers = tuple(
        f"{one.maker} {one.model}".strip()
        for one in rule.products
        if not any(one.names(product.maker, product.designation) for product in products)
    )
    return Preview(
        products=_numbers_of(found) if found else (),
        strangers=strangers,
        certain=certain,
        possible=len(found) - certain,
        rows=tuple(rows[:SHOWN]),
    )


def _numbers_of(found: Iterable[int]) -> tuple[tuple[str, int], ...]:
    """How many of each product."""
    keys = list(found)
    numbers: dict[str, int] = {}
    for at in range(0, len(keys), 500):
        rows = Item.objects.filter(pk__in=keys[at : at + 500]).order_by()
        names = ("product__maker", "product__designation")
        for maker, model, number in rows.values_list(*names).annotate(n=Count("pk")):
            name = f"{maker} {model}"
            numbers[name] = numbers.get(name, 0) + number
    return tuple(sorted(numbers.items(), key=lambda pair: (-pair[1], pair[0])))


def holding_words(sites: Sequence[Site]) -> str:
    """'2 open safety notices hold 14 items; kits RK-01 and RK-02 are out by them.', or ''."""
    held = Item.objects.filter(held_by_notice(), Q(site__in=sites) | Q(bound_for__in=sites))
    open_ones = NoticeMatch.objects.to_settle().filter(item__site__in=sites)
    counted = open_ones.aggregate(n=Count("notice", distinct=True))["n"]
    number = held.count()
    if not counted and not number:
        return ""
    words = ngettext("%(n)d open safety notice", "%(n)d open safety notices", counted)
    said = words % {"n": counted} if counted else _("Settled safety notices still")
    hold = ngettext("%(n)d item is held", "%(n)d items are held", number) % {"n": number}
    kits = Kit.objects.filter(Q(item__in=held) | Q(parts__item__in=held, parts__required=True))
    names = list(kits.distinct().values_list("name", flat=True))
    if not names:
        return _("%(notices)s: %(items)s.") % {"notices": said, "items": hold}
    facts = {"notices": said, "items": hold, "kits": ", ".join(names)}
    return (
        ngettext(
            "%(notices)s: %(items)s, and with them kit %(kits)s.",
            "%(notices)s: %(items)s, and with them kits %(kits)s.",
            len(names),
        )
        % facts
    )


def traced(matches: QuerySet[NoticeMatch]) -> QuerySet[NoticeMatch]:
    """With all that a row of the trace list shows; ordered by where the pieces are."""
    return matches.select_related(
        *("notice", "item__product", "item__site", "item__holder", "item__kit", "item__zone"),
        *("item__bound_for", "acknowledged_by__person", "closed_by__person"),
        "inspection__superseded_by",
    ).order_by("item__site__name", "item__holder__name", "item__kit__name", "item__code")


def silent_since(moment: datetime) -> Q:
    """Matches nobody has acknowledged though they have been known for longer than is practice."""
    limit = moment - timedelta(days=ACKNOWLEDGE_WITHIN_DAYS)
    return Q(acknowledged_at=None, matched_at__lte=limit)


def notices_of(item: Item) -> list[NoticeMatch]:
    """The notices in force that mean the item or meant it before its label was read."""
    in_force = Q(notice__revised_by=None, notice__withdrawn_at=None)
    rows = item.notice_matches.filter(in_force).select_related(
        "notice", "inspection__superseded_by"
    )
    return list(rows.order_by("-notice__received_on", "-notice"))


def meant_among(items: Iterable[Item]) -> list[NoticeMatch]:
    """What the notices in force mean of these items, certainly or possibly: one query."""
    rows = NoticeMatch.objects.meant().filter(item__in=[item.pk for item in items])
    return list(rows.select_related("notice", "item").order_by("notice", "item__code"))


def spot_words(item: Item) -> str:
    """Who has the item, else where it is: a person, a kit, a place on a site, in transit."""
    if item.custody == "in-transit" and item.bound_for:
        return _("in transit to %(site)s") % {"site": item.bound_for.name}
    if item.holder:
        return item.holder.name
    if item.kit:
        return _("kit %(kit)s") % {"kit": item.kit.name}
    spot = item.place or (item.zone.name if item.zone else "")
    return ", ".join(part for part in (custody_name(item.custody), spot) if part)
