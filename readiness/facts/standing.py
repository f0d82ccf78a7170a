"""How each item stands: whether anything but a date keeps it from use, and every date it has."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime

from inspections.conditions import out_since, states_of
from inspections.rules.clocks import Clock
from inspections.rules.verdict import ItemState, usable
from inspections.wording import clock_name, reason
from register.models import Item
from register.rules.conditions import Condition
from register.wording import custody_name, lower_first

IN_SERVICE = "in service"
"""The word of the cover rule; anything else is the reason why not."""

_NO_DATE = (Clock("", date.max),)


@dataclass(frozen=True, slots=True)
class ClockDay:
    """A clock's name and the last day through which it is good; None where it is not known."""

    name: str
    last_day: date | None


@dataclass(frozen=True, slots=True)
class Standing:
    """`condition` is 'in service', or the words that say why the item is out whatever its dates.

    `out_from` is the moment from which it is so, where before it nothing kept the item from use.
    """

    condition: str
    clocks: tuple[ClockDay, ...]
    out_from: datetime | None = None

    @property
    def last_good_on(self) -> date | None:
        """Of the earliest clock; None where any is not known, or none is kept."""
        days = [clock.last_day for clock in self.clocks]
        known = [day for day in days if day is not None]
        return min(known) if known and len(known) == len(days) else None


UNKNOWN = Standing("not in the register", (ClockDay("inspection", None),))


def standings(items: Iterable[Item]) -> dict[int, Standing]:
    """By item, in a fixed number of queries. Items need their product loaded."""
    listed = list({item.pk: item for item in items}.values())
    since = _out_since(listed)
    return {pk: _standing(state, since.get(pk)) for pk, state in states_of(listed).items()}


def _out_since(items: list[Item]) -> dict[int, datetime]:
    """Of those that had been accepted by then: what never was in service was never good before."""
    since = out_since(items)
    accepted = {item.pk: item.accepted_on for item in items}
    return {pk: at for pk, at in since.items() if (day := accepted[pk]) and day <= at.date()}


def custody_words(item: Item) -> str:
    return lower_first(custody_name(item.custody))


def _standing(state: ItemState, since: datetime | None) -> Standing:
    condition = _condition(state)
    before = replace(state, condition=Condition.IN_SERVICE, quarantine_reason="")
    was_good = condition != IN_SERVICE and _condition(before) == IN_SERVICE
    return Standing(condition, _clocks(state.clocks), since if was_good else None)


def _condition(state: ItemState) -> str:
    """A pass for one use only is no promise for a rescue: the item counts as out."""
    dateless = replace(state, clocks=_NO_DATE, kit_problem="", kit_parts=())
    verdict = usable(dateless, date.min)
    condition = IN_SERVICE if verdict.usable else reason(verdict.code, verdict.facts)
    if verdict.usable and state.restricted_to:
        condition = f"passed only for {state.restricted_to}"
    return condition


def _clocks(found: tuple[Clock, ...]) -> tuple[ClockDay, ...]:
    if not found:
        return UNKNOWN.clocks
    return tuple(ClockDay(lower_first(clock_name(one.name)), one.last_day) for one in found)
