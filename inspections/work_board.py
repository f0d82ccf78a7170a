"""The work ahead: what falls due, the hours there are, and a plan of visits that keeps every day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256

from django.core.cache import cache
from django.utils.translation import gettext as _

from inspections.models import Visit as AcceptedVisit
from inspections.rules.due_weeks import OVERDUE, UNKNOWN
from inspections.rules.levelling import level_what_fits
from inspections.rules.visit_plan import Ask, Plan, Visit, days_given_away
from inspections.rules.workload import Load, Week, taken_along, weeks_of, why_left_out
from inspections.work_facts import Capacity, Question, question_of, weeks_ahead
from inspections.work_wording import (
    classes_words,
    gap_words,
    left_out_words,
    nobody_words,
    short_words,
    time_words,
    week_words,
)
from register import clock
from register.models import Person, Site

PLANNED_WEEKS = 13
KEPT_SECONDS = 3600
TOLD = 6  # sentences of one kind; the table holds the rest


@dataclass(frozen=True, slots=True)
class Cell:
    """What one inspector is to do in one week: minutes planned and minutes there are."""

    name: str
    planned: int
    room: int

    @property
    def words(self) -> str:
        if not self.room:
            return ""
        facts = {"planned": time_words(self.planned), "room": time_words(self.room)}
        return _("%(planned)s of %(room)s") % facts

    @property
    def share(self) -> int:
        """Of a hundred."""
        return min(100, round(100 * self.planned / self.room)) if self.room else 0


@dataclass(frozen=True, slots=True)
class WeekRow:
    """One week: what falls due in it, the hours there are, and what the plan puts into it."""

    name: str
    number: int
    classes: str
    week: Week
    cells: tuple[Cell, ...]

    @property
    def needed(self) -> str:
        return time_words(self.week.needed)

    @property
    def available(self) -> str:
        return time_words(self.week.available)


@dataclass(frozen=True, slots=True)
class SiteRow:
    """What falls due at one site in all the weeks shown, and what is late there."""

    site: Site
    number: int
    time: str
    classes: str
    late: int


@dataclass(frozen=True, slots=True)
class Planned:
    """The plan with what it was made from; ``along`` is what is out of date and taken along."""

    question: Question
    plan: Plan
    left_out: tuple[int, ...]
    least_left_out: int
    along: dict[tuple[int, int], list[int]]
    each: Mapping[int, int]

    def minutes(self, key: int) -> int:
        return self.each[key]

    def day(self, visit: Visit) -> date:
        return self.question.begins + timedelta(days=visit.day)

    def of(self, person: int) -> list[Visit]:
        return [visit for visit in self.plan.visits if visit.inspector == person]

    def keys(self, visit: Visit) -> list[int]:
        """Everything to be inspected on the visit."""
        return [*visit.pieces, *self.along.get((visit.inspector, visit.day), ())]


def today_of(sites: Iterable[Site], moment: datetime) -> date:
    """The latest of the sites' own days: no visit is planned for a day that is over somewhere."""
    return max((clock.day_at(site, moment) for site in sites), default=moment.date())


def planned(sites: Sequence[Site], today: date, capacity: Capacity) -> Planned:
    """The plan of the next weeks; the same question is not worked out twice."""
    question = question_of(sites, today, 7 * PLANNED_WEEKS, capacity)
    key = "visits-" + sha256(repr(question.ask).encode()).hexdigest()
    found: tuple[Plan, tuple[int, ...], int] | None = cache.get(key)
    if found is None:
        found = level_what_fits(question.ask)
        cache.set(key, found, KEPT_SECONDS)
    plan, left_out, least = found
    along = taken_along(question.ask, plan.visits, question.late)
    each = {piece.key: piece.minutes for piece in (*question.ask.pieces, *question.late)}
    return Planned(question, plan, left_out, least, along, each)


def taken_hours(
    accepted: Iterable[AcceptedVisit], capacity: Capacity
) -> dict[tuple[int, date], tuple[int, int]]:
    """By inspector and day of an accepted visit: the minutes it takes, and those of the day."""
    hours = {one.person: one for one in capacity.hours}
    found = {}
    for visit in accepted:
        spent = sum(capacity.minutes[item.product.equipment_class] for item in visit.items.all())
        theirs = hours.get(visit.inspector_id)
        found[visit.inspector_id, visit.day_on] = spent, theirs.on(visit.day_on) if theirs else 0
    return found


def week_rows(
    loads: Sequence[Load],
    today: date,
    weeks: int,
    capacity: Capacity,
    plan: Planned | None,
    people: tuple[Iterable[Person], Mapping[tuple[int, date], tuple[int, int]]],
) -> list[WeekRow]:
    """A row a week; with a plan, a cell for each inspector, accepted visits and all."""
    days = weeks_ahead(today, weeks)
    found = weeks_of(loads, capacity.minutes, capacity.hours, capacity.rights, days)
    numbers: list[Counter[str]] = [Counter() for _ in days]
    for load in loads:
        if load.week >= 0:
            numbers[load.week][load.equipment_class] += load.number
    return [
        WeekRow(
            week_words(week.week, those[0]),
            many.total(),
            classes_words(many),
            week,
            tuple(_cell(person, plan, those, people[1]) for person in people[0]) if plan else (),
        )
        for week, those, many in zip(found, days, numbers, strict=True)
    ]


def _cell(
    person: Person,
    plan: Planned,
    days: Sequence[date],
    taken: Mapping[tuple[int, date], tuple[int, int]],
) -> Cell:
    begins, ask = plan.question.begins, plan.question.ask
    held = [taken[person.pk, day] for day in days if (person.pk, day) in taken]
    inside = {(day - begins).days for day in days if (day - begins).days < ask.days}
    own = next((who.minutes for who in ask.inspectors if who.key == person.pk), (0,) * ask.days)
    spent = sum(
        plan.minutes(key)
        for visit in plan.of(person.pk)
        if visit.day in inside
        for key in plan.keys(visit)
    )
    room = sum(own[day] for day in inside) + sum(one[1] for one in held)
    return Cell(person.name, spent + sum(one[0] for one in held), room)


def site_rows(sites: Sequence[Site], loads: Sequence[Load], capacity: Capacity) -> list[SiteRow]:
    """Sites with anything due, the most work first."""
    rows = []
    for site in sites:
        mine = [load for load in loads if load.site == site.pk]
        numbers: Counter[str] = Counter()
        for load in mine:
            if load.week >= 0:
                numbers[load.equipment_class] += load.number
        late = sum(load.number for load in mine if load.week in (OVERDUE, UNKNOWN))
        minutes = sum(capacity.minutes[slug] * number for slug, number in numbers.items())
        if mine:
            words = classes_words(numbers)
            rows.append(
                (-minutes, SiteRow(site, numbers.total(), time_words(minutes), words, late))
            )
    return [row for _, row in sorted(rows, key=lambda one: (one[0], one[1].site.name))]


def warnings_of(rows: Sequence[WeekRow], today: date) -> list[str]:
    """Weeks in which the hours fall short, and classes nobody may inspect, each told once."""
    days = weeks_ahead(today, len(rows))
    said: list[str] = []
    told: set[str] = set()
    for row in rows:
        week = row.week.week
        if fresh := [slug for slug in row.week.nobody if slug not in told]:
            told.update(fresh)
            said.append(nobody_words(fresh, days[week][0], week))
    most = TOLD + len(said)
    said += [short_words(days[row.week.week][0], row.week) for row in rows if row.week.short]
    return said[:most]


def plan_words(plan: Planned, visit_cost: int) -> dict[str, object]:
    """What the plan comes to, how good it is, and what it has no room for."""
    ask = plan.question.ask
    placed = sum(len(visit.pieces) for visit in plan.plan.visits)
    given = days_given_away(ask, plan.plan.visits)
    along = [key for keys in plan.along.values() for key in keys]
    return {
        "visits": len(plan.plan.visits),
        "placed": placed,
        "time": time_words(
            sum(plan.minutes(key) for visit in plan.plan.visits for key in visit.pieces)
        ),
        "days_given": given,
        "average": round(given / placed) if placed else 0,
        "gap": gap_words(plan.plan.visits_above(visit_cost), proven=plan.plan.proven),
        "left_out": _left_out(plan),
        "left_number": len(plan.left_out),
        "left_time": time_words(sum(plan.minutes(key) for key in plan.left_out)),
        "least": time_words(plan.least_left_out) if plan.least_left_out else "",
        "late": len(plan.question.late),
        "late_time": time_words(sum(piece.minutes for piece in plan.question.late)),
        "along": len(along),
    }


def _left_out(plan: Planned) -> list[str]:
    """A sentence for each class and reason, the soonest first."""
    ask: Ask = plan.question.ask
    out = set(plan.left_out)
    found: dict[tuple[str, str], list[int]] = {}
    for piece in ask.pieces:
        if piece.key in out:
            equipment_class = piece.need.split("/")[0]
            found.setdefault((equipment_class, why_left_out(ask, piece)), []).append(piece.due)
    order = sorted(found.items(), key=lambda one: (min(one[1]), one[0]))
    return [
        left_out_words(len(dues), slug, why, plan.question.begins + timedelta(days=min(dues)))
        for (slug, why), dues in order
    ]


def accepted_from(sites: Sequence[Site], today: date) -> list[AcceptedVisit]:
    """Visits accepted and still to come, with who and where."""
    rows = AcceptedVisit.objects.standing().filter(site__in=sites, day_on__gte=today)
    return list(rows.select_related("inspector", "site").prefetch_related("items__product"))
