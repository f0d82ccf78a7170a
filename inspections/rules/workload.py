"""What inspecting there is to do, who may do it, and in which weeks their hours are too few."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from inspections.rules.due_weeks import week_of
from inspections.rules.hours_shared import most_placed
from inspections.rules.kinds import KINDS
from inspections.rules.visit_plan import Ask, Inspector, Piece, Spans, Visit
from register.rules.classes import CLASSES
from register.rules.lifespan import add_months

# Clocks that no inspection of ours moves: a life, a hire or a storage time ends; a service is bought.
NO_INSPECTION = frozenset(
    {"life-from-made", "life-from-first-use", "storage", "hire", "maker-service"}
)
INTERVAL_DAYS = 182
"""What a day given away is measured by: an interval of half a year."""

VISIT_MINUTES = 90
"""Way and setting up for one visit, until the employer says otherwise (common practice, no source)."""

SCARCE = 4
"""Where a site has so many usable of a class or fewer, but more than one, one stays that day."""


@dataclass(frozen=True, slots=True)
class Right:
    """A person may inspect these classes by these kinds from a day through a day; none named: all."""

    person: int
    classes: frozenset[str]
    kinds: frozenset[str]
    from_on: date
    through_on: date

    def covers(self, equipment_class: str, kind: str) -> bool:
        return (not self.classes or equipment_class in self.classes) and (
            not self.kinds or kind in self.kinds
        )


@dataclass(frozen=True, slots=True)
class Hours:
    """How long somebody inspects on a day, and on which days of the week (Monday is 0)."""

    person: int
    minutes: int
    weekdays: frozenset[int]

    def on(self, day: date) -> int:
        return self.minutes if day.weekday() in self.weekdays else 0


@dataclass(frozen=True, slots=True)
class Load:
    """Pieces of one class at one site that fall due in one week, for one kind of inspection."""

    week: int
    site: int
    equipment_class: str
    kind: str
    number: int


@dataclass(frozen=True, slots=True)
class Week:
    """One week if nothing is moved: the work that falls due, and the hours of who may do any of it.

    placed: how much of it they can do, each only what they are authorised for. nobody: classes due
    for which nobody who has hours is authorised that week.
    """

    week: int
    needed: int
    available: int
    placed: int
    nobody: tuple[str, ...]

    @property
    def short(self) -> int:
        return self.needed - self.placed


def kind_for(clock: str, equipment_class: str) -> str:
    """The kind of inspection that the governing clock asks for; '' where none would help.

    Without a clock on record the item waits for its periodic one.
    """
    if clock in NO_INSPECTION:
        return ""
    if clock in KINDS:
        return clock
    if clock == "notice":
        return "special"
    lifts = CLASSES[equipment_class].lifts_persons
    return "thorough-examination" if lifts else "detailed"


def weeks_due(good_on: date | None, months: int | None, today: date, weeks: int) -> list[int]:
    """The weeks in which it falls due, again and again if inspected on each due day.

    Out of date or not known it is due in a week of its own (see ``due_weeks``), and once.
    """
    first = week_of(good_on, today)
    if good_on is None or first < 0 or not months:
        return [first] if first < weeks else []
    found = [first]
    while found[-1] < weeks:
        found.append(week_of(add_months(good_on, months * len(found)), today))
    return found[:-1]


def need_of(equipment_class: str, kind: str) -> str:
    """What an inspector must hold, in one word."""
    return f"{equipment_class}/{kind}"


def weeks_of(
    loads: Iterable[Load],
    minutes: Mapping[str, int],
    hours: Sequence[Hours],
    rights: Sequence[Right],
    days_of: Sequence[Sequence[date]],
) -> list[Week]:
    """Each week of ``days_of``, which holds the days of the week that are still to come."""
    by_week: dict[int, list[Load]] = {}
    for load in loads:
        by_week.setdefault(load.week, []).append(load)
    return [
        _week(number, by_week.get(number, []), minutes, _able(hours, rights, days))
        for number, days in enumerate(days_of)
    ]


def _week(
    number: int,
    loads: Sequence[Load],
    minutes: Mapping[str, int],
    able: Mapping[int, tuple[int, Sequence[Right]]],
) -> Week:
    work: dict[tuple[str, str], int] = {}
    for load in loads:
        one = (load.equipment_class, load.kind)
        work[one] = work.get(one, 0) + load.number * minutes[load.equipment_class]
    times = [time for time, _ in able.values()]
    fits = [
        [any(right.covers(*one) for right in rights) for _, rights in able.values()] for one in work
    ]
    useful = [time for at, time in enumerate(times) if not work or any(row[at] for row in fits)]
    nobody = {one[0] for one, row in zip(work, fits, strict=True) if not any(row)}
    placed = most_placed(list(work.values()), times, fits)
    return Week(number, sum(work.values()), sum(useful), placed, tuple(sorted(nobody)))


def _able(
    hours: Sequence[Hours], rights: Sequence[Right], days: Sequence[date]
) -> dict[int, tuple[int, list[Right]]]:
    """By person: minutes on those days on which they hold any right, and the rights of the week."""
    found = {}
    for one in hours:
        theirs = [
            right
            for right in rights
            if right.person == one.person
            and any(right.from_on <= day <= right.through_on for day in days)
        ]
        time = sum(
            one.on(day)
            for day in days
            if any(right.from_on <= day <= right.through_on for right in theirs)
        )
        if time:
            found[one.person] = time, theirs
    return found


def inspectors_for(
    needs: Iterable[tuple[str, str]],
    hours: Sequence[Hours],
    rights: Sequence[Right],
    begins: date,
    days: int,
    taken: frozenset[tuple[int, date]] = frozenset(),
) -> tuple[Inspector, ...]:
    """Those with hours, day by day; days already taken by an accepted visit have none left."""
    wanted = sorted(set(needs))
    calendar = [begins + timedelta(days=n) for n in range(days)]
    found = []
    for one in hours:
        minutes = tuple(0 if (one.person, day) in taken else one.on(day) for day in calendar)
        mine = [right for right in rights if right.person == one.person]
        held = {need_of(*need): _spans(need, mine, begins, days) for need in wanted}
        held = {need: spans for need, spans in held.items() if spans}
        if any(minutes) and held:
            found.append(Inspector(one.person, minutes, held))
    return tuple(found)


def _spans(need: tuple[str, str], rights: Sequence[Right], begins: date, days: int) -> Spans:
    spans = [
        (max(0, (right.from_on - begins).days), min(days - 1, (right.through_on - begins).days))
        for right in rights
        if right.covers(*need)
    ]
    return tuple(sorted(span for span in spans if span[0] <= span[1]))


def why_left_out(ask: Ask, piece: Piece) -> str:
    """'nobody' authorised by its due day, 'no-hours' of those who are, else 'full'."""
    able = [
        (who, day) for who in ask.inspectors for day in range(piece.due + 1) if who.may(piece, day)
    ]
    if not able:
        return "nobody"
    return "full" if any(who.minutes[day] >= piece.minutes for who, day in able) else "no-hours"


def taken_along(
    ask: Ask, visits: Iterable[Visit], late: Sequence[Piece]
) -> dict[tuple[int, int], list[int]]:
    """What is out of date already, in the room that planned visits to its site leave, soonest first.

    By (inspector, day). No visit is made for it and nothing is moved.
    """
    people = {who.key: who for who in ask.inspectors}
    minutes = {piece.key: piece.minutes for piece in ask.pieces}
    waiting = sorted(late, key=lambda piece: (-piece.minutes, piece.key))
    found: dict[tuple[int, int], list[int]] = {}
    for visit in sorted(visits, key=lambda one: (one.day, one.inspector)):
        who = people[visit.inspector]
        room = who.minutes[visit.day] - sum(minutes[key] for key in visit.pieces)
        for piece in list(waiting):
            fits = piece.site == visit.site and piece.minutes <= room
            if fits and who.may(piece, visit.day):
                room -= piece.minutes
                waiting.remove(piece)
                found.setdefault((visit.inspector, visit.day), []).append(piece.key)
    return found
