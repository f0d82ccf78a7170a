"""Items with their verdicts, and the columns by which any list names an item."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime
from itertools import islice
from typing import Any, TypeVar

from django.utils.translation import gettext_lazy

from inspections import record
from inspections.rules.verdict import Verdict
from inspections.wording import reason
from register import clock
from register.exports.columns import Column, code, day, text, yes_no
from register.models import Item, Site, User
from register.wording import custody_name

LOT = 500  # items judged together
Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Judged:
    """An item, its verdict, and whatever else its list knows of it."""

    item: Item
    verdict: Verdict
    row: Any = None


def judged(items: Iterable[Item], at: datetime) -> Iterator[Judged]:
    """Each item with its verdict, so many at a time; the items' sites must be loaded."""
    for lot in in_lots(items, LOT):
        verdicts = record.verdicts_at(lot, at)
        yield from (Judged(item, verdicts[item.pk]) for item in lot)


def in_lots(rows: Iterable[Thing], size: int) -> Iterator[list[Thing]]:
    """The rows, so many at a time."""
    left = iter(rows)
    while lot := list(islice(left, size)):
        yield lot


def day_of_reader(user: User, at: datetime) -> date:
    """The day it is at the first of the user's sites."""
    first = Site.objects.visible_to(user).first()
    return clock.day_at(first, at) if first else at.date()


def item_columns() -> tuple[Column, ...]:
    """What names an item; the row has it as ``item``."""
    return (
        code("tag", gettext_lazy("Tag"), "item.shown_code"),
        text("class", gettext_lazy("Class"), "item.product.kind_name"),
        text("maker", gettext_lazy("Maker"), "item.product.maker"),
        text("model", gettext_lazy("Model"), "item.product.designation"),
        code(
            "serial",
            gettext_lazy("Serial"),
            "item.serial",
            gettext_lazy("As marked on the piece, with the zeros at its front."),
        ),
    )


def spot_columns() -> tuple[Column, ...]:
    """Where the item is and who has it."""
    return (
        text("site", gettext_lazy("Site"), "item.site.name"),
        text("zone", gettext_lazy("Zone"), "item.zone.name"),
        text("place", gettext_lazy("Exact place"), "item.place"),
        text("custody", gettext_lazy("Custody"), lambda row: custody_name(row.item.custody)),
        text("held_by", gettext_lazy("Held by"), "item.holder.name"),
        text("kit", gettext_lazy("Kit"), "item.kit.name"),
    )


def verdict_columns() -> tuple[Column, ...]:
    """Whether it may be used when the file was made, and until when."""
    return (
        yes_no(
            "usable",
            gettext_lazy("Usable"),
            "verdict.usable",
            gettext_lazy("At the moment this file was made. No means: do not use."),
        ),
        day(
            "usable_until",
            gettext_lazy("Usable until"),
            lambda row: row.verdict.through if row.verdict.usable else None,
            gettext_lazy("The last good day, if nothing happens to it before."),
        ),
        text("only_for", gettext_lazy("Only for"), lambda row: _only_for(row.verdict)),
        text("why_not", gettext_lazy("Why not"), lambda row: _why_not(row.verdict)),
    )


def _why_not(verdict: Verdict) -> str:
    return "" if verdict.usable else reason(verdict.code, verdict.facts)


def _only_for(verdict: Verdict) -> str:
    return str(dict(verdict.facts).get("restricted_to", "")) if verdict.usable else ""
