"""What each line of a rota would do, by the rota's own rules. Who is not clearly named is absent."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from inspections.intake.ways import Line
from readiness.actions.rota import clash_of
from readiness.intake.people import Known, People, Who, found, in_order
from readiness.intake.rota.answers import Answered, site_named
from readiness.intake.rota.stated import Stated
from readiness.intake.rota.wording import said_of, told_of
from readiness.models import RotaEntry
from readiness.rules.windows import hours_of
from register.intake.keys import name_key
from register.intake.rows import Problem
from register.models import Person, Shift, Site, Zone
from register.wording import shown_day

_DAY = timedelta(days=1)
_AHEAD = timedelta(days=366)
_PARTS = re.compile(r"\s*(?:[,;/&+|:()\[\]\n]|\s[-–—]\s|\band\b|\bi\b|\boraz\b)\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Put:
    """Whom, where and when, as the rota's act takes it."""

    person: int
    site: int
    day: date
    shift: int
    zone: int
    own_hours: tuple[time | None, time | None] = (None, None)


class _Out(Exception):
    """Why a line stays out; args[0] is the problem."""


@dataclass(slots=True, kw_only=True)
class Judge:
    """on: the day of the import. held: what is on the rota, by person."""

    on: date
    answered: Answered
    people: People
    sites: list[Site]
    shifts: dict[int, list[Shift]]
    zones: dict[int, list[Zone]]
    held: dict[int, list[RotaEntry]]
    _planned: dict[int, list[tuple[RotaEntry, int]]] = field(
        default_factory=lambda: defaultdict(list)
    )

    def lines(self, every: Iterable[Stated]) -> list[Line]:
        return [line for one in every for line in self._of(one)]

    def _of(self, one: Stated) -> Iterable[Line]:
        people, against = self._named(one)
        if one.is_off and one.day:
            yield _line(one, "off", said_of("off", day=shown_day(one.day)))
            return
        if against:
            yield _line(one, "absent", told_of(against))
            return
        for person in people:
            try:
                yield self._put(one, person)
            except _Out as reason:
                yield _line(one, "out", told_of(reason.args[0]), about=person.name)

    def _named(self, one: Stated) -> tuple[list[Known], Problem | None]:
        """By the person's column; of a calendar by whole names between marks of its own words."""
        if one.who.name or one.who.number:
            hit = found(one.who, self.people)
            return ([hit.person], None) if hit.person else ([], hit.problem)
        parts = [part.strip() for part in _PARTS.split(one.words) if part.strip()]
        named = [found(Who(part), self.people) for part in parts]
        people = [hit.person for hit in named if hit.person]
        twice = next((hit.problem for hit in named if _is_of_two(hit.problem)), None)
        if twice or not people:
            return [], twice or Problem("nobody-clear", "summary", {"value": one.words})
        return list({person.pk: person for person in people}.values()), None

    def _put(self, one: Stated, person: Known) -> Line:
        if one.problems:
            raise _Out(one.problems[0])
        site = self._site(one)
        day, hours = _when(one, ZoneInfo(site.time_zone))
        self._refuse_day(day, person)
        if day < self.on:
            return _line(one, "past", said_of("past", day=shown_day(day)), about=person.name)
        shift, day, own = self._shift(one, site, day, hours)
        entry = RotaEntry(
            person=Person(pk=person.pk, name=person.name),
            site=site,
            day_on=day,
            shift=shift,
            zone=self._zone(one, site),
            begins=own[0],
            ends=own[1],
        )
        return self._against_others(one, entry)

    def _refuse_day(self, day: date, person: Known) -> None:
        if day > self.on + _AHEAD:
            raise _Out(Problem("far-ahead", "day", {"value": shown_day(day)}))

    def _site(self, one: Stated) -> Site:
        named = site_named(one.site, self.sites) if one.site else None
        if named:
            return named
        kept = self.answered.site_of(one.site)
        site = next((each for each in self.sites if each.pk == kept), None)
        if site is None:
            code = "site-unknown" if one.site else "site-missing"
            raise _Out(Problem(code, "site", {"value": one.site}))
        return site

    def _zone(self, one: Stated, site: Site) -> Zone:
        zones = self.zones.get(site.pk, [])
        if one.zone:
            key = name_key(one.zone)
            fits = [each for each in zones if key in {name_key(each.name), name_key(each.code)}]
            if len(fits) != 1:
                facts = {"value": one.zone, "site": site.name}
                raise _Out(Problem("zone-unknown", "zone", facts))
            return fits[0]
        kept = self.answered.zone_of(site.pk)
        zone = next((each for each in zones if each.pk == kept), None)
        if zone is None:
            raise _Out(Problem("zone-missing", "zone", {"site": site.name}))
        return zone

    def _shift(
        self, one: Stated, site: Site, day: date, hours: tuple[time, time] | None
    ) -> tuple[Shift, date, tuple[time | None, time | None]]:
        """The shift, the day on which it begins, and the hours where they are not the shift's."""
        shifts = self.shifts.get(site.pk, [])
        if one.shift:
            shifts = self._called(one, site, shifts)
        if hours is None:
            if not one.shift:
                raise _Out(Problem("no-hours", "shift"))
            return shifts[0], day, (None, None)
        return _fitting(shifts, site, day, hours)

    def _called(self, one: Stated, site: Site, shifts: Sequence[Shift]) -> list[Shift]:
        wanted = {name_key(one.shift), name_key(self.answered.shift_of(one.shift))} - {""}
        fits = [each for each in shifts if name_key(each.name) in wanted]
        if not fits:
            facts = {"value": one.shift, "site": site.name, "shifts": _listed(shifts)}
            raise _Out(Problem("shift-unknown", "shift", facts))
        return fits

    def _against_others(self, one: Stated, entry: RotaEntry) -> Line:
        """The same again, or in the way of what is on the rota or comes before it in the file."""
        facts = {"day": shown_day(entry.day_on), "shift": entry.shift.name}
        pk, about = entry.person_id, entry.person.name
        for held in self.held.get(pk, []):
            if (held.day_on, held.shift_id) == (entry.day_on, entry.shift_id):
                same = (held.zone_id, held.begins, held.ends) == (
                    *(entry.zone_id, entry.begins, entry.ends),
                )
                code = "known" if same else "differs"
                return _line(one, code, said_of(code, **facts), about=about)
        for planned, line in self._planned[pk]:
            if _is_same(planned, entry):
                return _line(one, "twice", said_of("twice", line=line), about=about)
        others = [*self.held.get(pk, []), *(planned for planned, _line_ in self._planned[pk])]
        clash = next(filter(None, (clash_of(entry, other) for other in others)), None)
        if clash:
            return _line(one, "out", clash.sentence, about=about)
        self._planned[pk].append((entry, one.line))
        return _goes_in(one, entry)


def _is_of_two(problem: Problem | None) -> bool:
    return problem is not None and problem.code == "person-of-two"


def _is_same(one: RotaEntry, other: RotaEntry) -> bool:
    return (one.day_on, one.shift_id, one.zone_id, one.begins, one.ends) == (
        *(other.day_on, other.shift_id, other.zone_id, other.begins, other.ends),
    )


def _when(one: Stated, zone: ZoneInfo) -> tuple[date, tuple[time, time] | None]:
    """The day, and the hours by the clock on site."""
    if one.moments is None:
        if one.day is None:
            raise _Out(Problem("no-day", "day"))
        return one.day, one.hours
    begins, ends = one.moments
    if not isinstance(begins, datetime) or not isinstance(ends, datetime):
        raise _Out(Problem("all-day", "begins_at"))
    here, there = (_on_site(moment, zone) for moment in (begins, ends))
    if there - here > _DAY or there <= here:
        raise _Out(Problem("too-long", "ends_at"))
    return here.date(), (here.time(), there.time())


def _on_site(moment: datetime, zone: ZoneInfo) -> datetime:
    """A moment without a zone is by the clock on site (RFC 5545, 3.3.5, form 1)."""
    return moment.replace(tzinfo=zone) if moment.tzinfo is None else moment.astimezone(zone)


def _fitting(
    shifts: Sequence[Shift], site: Site, day: date, hours: tuple[time, time]
) -> tuple[Shift, date, tuple[time | None, time | None]]:
    """The one shift within whose hours these lie; hours after midnight may be the evening's shift."""
    zone, fits = ZoneInfo(site.time_zone), []
    comes, goes = hours_of(day, *hours, zone)
    for shift in shifts:
        for first in (day, day - _DAY):
            begins, ends = hours_of(first, shift.begins, shift.ends, zone)
            if begins <= comes and goes <= ends:
                fits.append((shift, first))
    told = {"hours": f"{hours[0]:%H:%M}–{hours[1]:%H:%M}", "site": site.name}
    exact = [each for each in fits if (each[0].begins, each[0].ends) == hours]
    chosen = exact if len(exact) == 1 else fits
    if not chosen:
        raise _Out(Problem("no-shift", "begins", {**told, "shifts": _listed(shifts)}))
    if len(chosen) > 1:
        names = _listed([shift for shift, _first in chosen])
        raise _Out(Problem("two-shifts", "begins", {**told, "shifts": names}))
    shift, first = chosen[0]
    own = (
        None if hours[0] == shift.begins else hours[0],
        None if hours[1] == shift.ends else hours[1],
    )
    return shift, first, own


def _listed(shifts: Iterable[Shift]) -> str:
    return ", ".join(f"{one.name} ({one.hours})" for one in shifts) or "–"


def _goes_in(one: Stated, entry: RotaEntry) -> Line:
    facts = {
        "day": shown_day(entry.day_on),
        "shift": entry.shift.name,
        "site": entry.site.name,
        "zone": entry.zone.name,
    }
    own = (entry.begins, entry.ends)
    if own != (None, None):
        begins, ends = own[0] or entry.shift.begins, own[1] or entry.shift.ends
        said = said_of("in-hours", hours=f"{begins:%H:%M}–{ends:%H:%M}", **facts)
    else:
        said = said_of("in", **facts)
    put = Put(entry.person_id, entry.site_id, entry.day_on, entry.shift_id, entry.zone_id, own)
    return _line(one, "in", said, put, about=entry.person.name)


def _line(one: Stated, list_name: str, said: str, put: Put | None = None, about: str = "") -> Line:
    about = about or in_order(one.about)
    return Line(sheet=one.sheet, line=one.line, about=about, list=list_name, said=said, act=put)
