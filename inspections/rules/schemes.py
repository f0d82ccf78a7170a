"""What a jurisdiction asks for, each line with its source, and the strictest of several."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from inspections.rules.occasions import events_of
from register.rules.lifespan import add_months
from register.rules.texts import gettext_noop

LastDayRule = Literal["inclusive", "day-before"]

# How far the source of a line was checked.
STATUSES = (
    gettext_noop("read"),
    gettext_noop("read-2"),
    gettext_noop("from memory, to be verified"),
    gettext_noop("common practice, no source"),
    gettext_noop("policy"),
)


@dataclass(frozen=True, slots=True)
class Interval:
    """The longest time between two inspections of a kind, and who says so."""

    months: int
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Line:
    """One rule: these classes in these uses have this kind of inspection within the interval.

    name and shortens bind lines of one file: a line that shortens another is checked to do so.
    """

    classes: frozenset[str]
    uses: frozenset[str]
    kind: str
    interval: Interval
    name: str = ""
    shortens: str = ""


@dataclass(frozen=True, slots=True)
class Life:
    """The longest life from manufacture of these classes, whatever the maker says."""

    classes: frozenset[str]
    interval: Interval


@dataclass(frozen=True, slots=True, kw_only=True)
class UserCheck:
    """When the user looks at these classes; no clock, it is told on the page."""

    classes: frozenset[str]
    when: str
    source: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BeforeUse:
    """An inspection before first use, unless declared or made within so many months of it.

    With neither, it is always asked for.
    """

    classes: frozenset[str]
    kinds: frozenset[str]
    source: str
    status: str
    unless_declared_months: int | None = None
    unless_made_months: int | None = None

    def spares(self, on: date, declared_on: date | None, made_on: date | None) -> bool:
        """Whether first use on the day needs no inspection because the equipment is new enough."""
        limits = (
            (declared_on, self.unless_declared_months),
            (made_on, self.unless_made_months),
        )
        return any(day and months and on <= add_months(day, months) for day, months in limits)


@dataclass(frozen=True, slots=True, kw_only=True)
class AfterEvent:
    """After any of the events, one of the kinds comes before the item is used again."""

    classes: frozenset[str]
    events: frozenset[str]
    kinds: frozenset[str]
    source: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Retention:
    """How long a record is kept: until the next of its kind, while the item is operated, or no
    more than the months; where until and months are both given, the later of the two."""

    record: str
    until: str
    months: int | None
    source: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Particular:
    """Something that the record of these kinds must say."""

    kinds: frozenset[str]
    what: str
    source: str
    status: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Examiner:
    """Who may inspect, in the words of the source."""

    kinds: frozenset[str]
    who: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Scheme:
    """One jurisdiction, or one standard, or the employer's customary practice.

    last_day_rule: 'inclusive' where the day after n months is the last good day, 'day-before'
    where equipment must have been examined less than n months before it is used.
    """

    slug: str
    name: str
    last_day_rule: LastDayRule
    last_day_source: str
    lines: tuple[Line, ...] = ()
    lives: tuple[Life, ...] = ()
    user_checks: tuple[UserCheck, ...] = ()
    before_use: tuple[BeforeUse, ...] = ()
    after_events: tuple[AfterEvent, ...] = ()
    retention: tuple[Retention, ...] = ()
    particulars: tuple[Particular, ...] = ()
    examiners: tuple[Examiner, ...] = ()


def interval(
    schemes: Iterable[Scheme],
    class_slug: str,
    use_class: str,
    kind: str,
    *,
    own: Iterable[Interval] = (),
) -> Interval | None:
    """The shortest interval of all schemes and of own (the maker's, the employer's); None if none.

    Nothing here can lengthen an interval: a scheme or an employer only ever adds candidates.
    """
    found = [
        line.interval
        for scheme in schemes
        for line in scheme.lines
        if line.kind == kind and class_slug in line.classes and use_class in line.uses
    ]
    return min((*found, *own), key=lambda one: (one.months, one.source), default=None)


def life_from_made(
    schemes: Iterable[Scheme], class_slug: str, *, own: Iterable[Interval] = ()
) -> Interval | None:
    """The shortest life from manufacture that the schemes or the maker leave; None if none does."""
    found = [
        life.interval for scheme in schemes for life in scheme.lives if class_slug in life.classes
    ]
    return min((*found, *own), key=lambda one: (one.months, one.source), default=None)


def last_day_rule(schemes: Iterable[Scheme]) -> LastDayRule:
    """The strictest of the schemes an item is under."""
    strict = any(scheme.last_day_rule == "day-before" for scheme in schemes)
    return "day-before" if strict else "inclusive"


def needed_before_use(
    schemes: Iterable[Scheme],
    class_slug: str,
    on: date,
    *,
    declared_on: date | None,
    made_on: date | None,
    passed: Iterable[str],
) -> list[BeforeUse]:
    """The lines that stand between the item and first use on the day; passed are kinds passed."""
    kinds = set(passed)
    return [
        line
        for scheme in schemes
        for line in scheme.before_use
        if class_slug in line.classes
        and not line.kinds & kinds
        and not line.spares(on, declared_on, made_on)
    ]


def asked_after(schemes: Iterable[Scheme], class_slug: str, reason: str) -> Iterator[AfterEvent]:
    """The lines that a quarantine for the reason calls in; each must be met on its own."""
    events = events_of(reason)
    for scheme in schemes:
        for line in scheme.after_events:
            if class_slug in line.classes and line.events & events:
                yield line


def moved_lines(schemes: Iterable[Scheme], class_slug: str) -> list[AfterEvent]:
    """The lines that ask for an inspection where equipment was put up anew."""
    return [
        line
        for scheme in schemes
        for line in scheme.after_events
        if class_slug in line.classes and "moved" in line.events
    ]


def kept_until(line: Retention, *, made_on: date, next_made_on: date | None) -> date | None:
    """The day through which a record made on the day is kept; None while that is not known.

    'Until the next or two years, whichever is later' (LOLER 1998, regulation 11) is the later.
    """
    if line.until == "end":
        return None
    months_end = add_months(made_on, line.months) if line.months else made_on
    if line.until == "next":
        return max(next_made_on, months_end) if next_made_on else None
    return months_end
