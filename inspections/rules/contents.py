"""The contents card of a kit as it was ticked: each piece by its serial, or the bag left shut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from inspections.rules.checklists import Checklist, for_kind
from inspections.rules.item_facts import PASSES

CARD = "card"  # the point of the checklist that asks for the contents
MAY_STAY_SHUT = frozenset({"kit-check"})  # where the seal is whole, this look does not open the bag


@dataclass(frozen=True, slots=True)
class CardLine:
    """One piece on the card, and whether it was in the hand."""

    role: str
    code: str
    serial: str
    seen: bool


def asks_for_card(found: Checklist, kind: str) -> bool:
    """Whether this kind of look goes through the contents."""
    return any(point.slug == CARD for point in for_kind(found, kind).points)


def contents_problem(
    verdict: str, kind: str, lines: Sequence[CardLine], *, left_shut: bool, sealed: bool
) -> str:
    """Why the kit cannot pass as it was looked at: 'was-opened', 'not-ticked', or ''."""
    if verdict not in PASSES:
        return ""
    if left_shut:
        return "" if kind in MAY_STAY_SHUT and sealed else "was-opened"
    return "" if lines and all(line.seen for line in lines) else "not-ticked"
