"""What a calendar feed tells, compared with what it told before: what is new, changed, gone, past.

RFC 5545: an event keeps its UID; SEQUENCE rises whenever it changes (3.8.7.4), and what is called off
is told with STATUS:CANCELLED (3.8.1.11) rather than left out, since a program keeps what it once read.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta

CANCELLED_DAYS = 31
"""How long what was called off is told as such: a program that reads once a month still learns it."""

PAST_DAYS = 31
"""How long what is over stays in the calendar as it was told last."""


@dataclass(frozen=True, slots=True)
class Happening:
    """One visit or lapse, from a day through a day. `key` names it for as long as it is the same.

    `topic` is the kind of thing it is: where nothing is known of a topic, what was told of it stays.
    """

    key: str
    topic: str
    first_on: date
    last_on: date
    summary: str
    detail: str = ""
    place: str = ""
    link: str = ""


@dataclass(frozen=True, slots=True)
class Told:
    """A happening as the feed tells it; `gone_on` is the day on which it was found called off."""

    happening: Happening
    sequence: int = 0
    gone_on: date | None = None


def compared(
    told: Mapping[str, Told],
    now: Iterable[Happening],
    today: date,
    unknown: Collection[str] = (),
) -> dict[str, Told]:
    """What the feed tells from today on, by key; what is equal to before has not changed.

    What is over stays as it was. What is not found any more is called off, unless its topic is one
    of those of which nothing is known just now.
    """
    present = {one.key: one for one in now}
    found = {key: _again(told.get(key), one) for key, one in present.items()}
    for key, before in told.items():
        if key not in found:
            found[key] = _missing(before, today, unknown)
    return found


def _again(before: Told | None, now: Happening) -> Told:
    if before is None:
        return Told(now)
    if before.happening == now and before.gone_on is None:
        return before
    return Told(now, before.sequence + 1)


def _missing(before: Told, today: date, unknown: Collection[str]) -> Told:
    over = before.happening.last_on < today
    if before.gone_on is not None or over or before.happening.topic in unknown:
        return before
    return replace(before, sequence=before.sequence + 1, gone_on=today)


def shown(told: Iterable[Told], today: date) -> Iterator[Told]:
    """Those that still belong into the calendar, in the order of their days."""
    for one in sorted(told, key=lambda each: (each.happening.first_on, each.happening.key)):
        since = one.gone_on or one.happening.last_on
        kept = CANCELLED_DAYS if one.gone_on else PAST_DAYS
        if today <= since + timedelta(days=kept):
            yield one


def fitted(text: str, longest: int) -> str:
    """No longer than so many characters; what is cut off is shown to be."""
    return text if len(text) <= longest else text[: longest - 1].rstrip() + "…"
