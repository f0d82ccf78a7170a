"""What the notices in force do to items: hold them from use, or give them a last day of use."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db.models import Exists, OuterRef, Q

from inspections.models import NoticeMatch
from inspections.rules.verdict import HeldBy
from register.models import Item


@dataclass(frozen=True, slots=True)
class Bound:
    """What the notices in force do to an item: hold it, or give it a last day of use."""

    held_by: HeldBy | None = None
    deadlines: tuple[date, ...] = ()


UNBOUND = Bound()


def notices_on(items: Iterable[Item]) -> dict[int, Bound]:
    """The items that a notice in force holds or bounds: one query. A certain match is told first."""
    matches = NoticeMatch.objects
    bound: dict[int, Bound] = {}
    held = Exists(matches.holding().filter(pk=OuterRef("pk")))
    timed = Exists(matches.with_deadline().filter(pk=OuterRef("pk")))
    meant = matches.meant().filter(item__in=[item.pk for item in items]).select_related("notice")
    rows = meant.annotate(holds=held, bounds=timed).filter(Q(holds=True) | Q(bounds=True))
    for row in rows.order_by("certainty", "-notice", "pk"):
        so_far = bound.get(row.item_id, UNBOUND)
        holds, day = row.holds, row.notice.deadline_on if row.bounds else None  # type: ignore[attr-defined]
        bound[row.item_id] = Bound(
            so_far.held_by or (_held_by(row) if holds else None),
            (*so_far.deadlines, *([day] if day else [])),
        )
    return bound


def _held_by(row: NoticeMatch) -> HeldBy:
    code, detail = row.doubts[0] if row.doubts else ("", "")
    return HeldBy(str(row.notice), row.notice.kind, row.certainty, (code, detail))


def held_by_notice(key: str = "pk") -> Q:
    """Items that a notice in force keeps from use, certainly or possibly meant.

    ``key`` is the column of the outer query that names the item.
    """
    return Q(Exists(NoticeMatch.objects.holding().filter(item=OuterRef(key))))
