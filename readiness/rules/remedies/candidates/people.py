"""Acts on people: put on the shift, trained or refreshed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from readiness.rules.changes import PersonOn, TicketHeld
from readiness.rules.remedies.acts import Act, Step
from readiness.rules.remedies.candidates.kits import fit_kits
from readiness.rules.remedies.need import Need
from readiness.rules.situation import Person
from readiness.rules.timeline import PersonTime, Stay, Timeline
from readiness.rules.windows import Window, moment, without

MOST_PEOPLE = 3
REST = timedelta(hours=11)
"""Between two turns of duty (Working Time Regulations 1998, reg 10; from memory, to be verified)."""
HELD_FOR = timedelta(days=365)
COURSE_ENDS = time(17)
PEOPLE_REASONS = frozenset(
    {
        *("no-rescuer", "rescuer-lapsed", "rescuer-for-other-kit", "rescuer-is-exposed"),
        *("too-few-rescuers", "rescuer-out-of-reach", "contested", "rescue-too-slow"),
    }
)


@dataclass(frozen=True, slots=True)
class _Ticket:
    kind: str
    family: str = ""


def people_acts(need: Need, families: Iterable[str] = ()) -> Iterator[Act]:
    """`families` are those of kits that might be brought."""
    for ticket in _wanted(need, families):
        yield from _put_on(need, ticket)
        yield from _trained(need, ticket)


def _wanted(need: Need, brought: Iterable[str]) -> list[_Ticket]:
    """Rescuers on the families of the kits that would do; a first aider where none is near."""
    found = []
    if PEOPLE_REASONS & need.codes or "person" in need.hangs_on:
        families = sorted({*brought, *(kit.family for kit in fit_kits(need) if kit.family)})
        found = [_Ticket("rescuer", family) for family in families]
    if "no-first-aider" in need.codes or "person" in need.hangs_on:
        found.append(_Ticket("first aid"))
    return found


def _put_on(need: Need, ticket: _Ticket) -> Iterator[Act]:
    """In date, and off duty in these hours and for a rest before and after them, wherever they are."""
    ready = need.means.ready("person-on-shift")
    hours = without(need.hours, [(need.bench.first, ready)])
    if not hours:
        return
    through = hours[-1][1].astimezone(need.timeline.zone).date()
    stays = tuple(Stay(*one, need.task.zone) for one in hours)
    for person, home in _free(need, ticket, hours, through)[:MOST_PEOPLE]:
        yield Act(
            kind="person-on-shift",
            what=person.name,
            steps=(Step(need.site, ready, PersonOn(person, stays)),),
            cost=need.means.terms.cost("person-on-shift"),
            uses=frozenset({f"person {person.id}"}),
            facts={
                "person": person.name,
                "person_id": person.id,
                "ticket": ticket.family or ticket.kind,
                "from": "" if home == need.site else home,
                "hours": hours,
            },
        )


def _free(
    need: Need, ticket: _Ticket, hours: tuple[Window, ...], through: date
) -> list[tuple[Person, str]]:
    far = need.means.terms.travel_hours
    found: dict[str, tuple[Person, str]] = {}
    busy: set[str] = set()
    for site, timeline in need.bench.timelines.items():
        busy |= _may_hang(timeline, hours) if site != need.site else set()
        for one in timeline.people:
            if _on_duty(one, hours):
                busy.add(one.person.id)
            if _holds(one.person, ticket, through) and one.person.id not in found:
                found[one.person.id] = (one.person, site)
    free = [held for name, held in found.items() if name not in busy]
    return sorted(free, key=lambda held: (far(held[1], need.site), held[0].name))


def _on_duty(one: PersonTime, hours: tuple[Window, ...]) -> bool:
    return any(
        stay.begins < ends + REST and begins - REST < stay.ends
        for stay in one.stays
        for begins, ends in hours
    )


def _may_hang(timeline: Timeline, hours: tuple[Window, ...]) -> set[str]:
    """Who is named as exposed at that site in these hours, whatever its rota says."""
    return {
        name
        for one in timeline.tasks
        for work in one.works
        if any(work.begins < ends and begins < work.ends for begins, ends in hours)
        for name in work.exposed
    }


def _holds(person: Person, ticket: _Ticket, through: date) -> bool:
    return any(
        held.kind == ticket.kind and held.family == ticket.family and through <= held.valid_to
        for held in person.competences
    )


def _trained(need: Need, ticket: _Ticket) -> Iterator[Act]:
    """Those who are there anyway and may not be the ones hanging; the lapsed first."""
    for person in _there(need, ticket)[:2]:
        day, ready = _course(need, ticket)
        held = TicketHeld(person.id, ticket.kind, ticket.family, day, day + HELD_FOR)
        yield Act(
            kind="refresher",
            what=person.name,
            steps=(Step(need.site, ready, held),),
            cost=need.means.terms.cost("refresher"),
            uses=frozenset({f"training {person.id} {ticket.family or ticket.kind}"}),
            facts={
                "person": person.name,
                "person_id": person.id,
                "ticket": ticket.family or ticket.kind,
                "day": day,
            },
        )


def _there(need: Need, ticket: _Ticket) -> list[Person]:
    exposed = {
        name for probe in need.probes for task in probe.situation.tasks for name in task.exposed
    }
    found = [
        one.person
        for one in need.timeline.people
        if one.person.id not in exposed
        and _stays_in(one.stays, need.hours)
        and _misses(one.person, ticket, need)
    ]
    return sorted(found, key=lambda one: (not _ever(one, ticket), one.name))


def _stays_in(stays: Iterable[Stay], hours: tuple[Window, ...]) -> bool:
    """There in all the hours of the trouble."""
    there = [(stay.begins, stay.ends) for stay in stays]
    return not without(hours, there)


def _ever(person: Person, ticket: _Ticket) -> bool:
    return any(
        held.kind == ticket.kind and held.family == ticket.family for held in person.competences
    )


def _misses(person: Person, ticket: _Ticket, need: Need) -> bool:
    """Lapsed or lapsing, or a rescuer on another family; nobody is made a rescuer from nothing."""
    last = need.hours[-1][1].astimezone(need.timeline.zone).date()
    if _holds(person, ticket, last):
        return False
    return any(held.kind == ticket.kind for held in person.competences)


def _course(need: Need, ticket: _Ticket) -> tuple[date, datetime]:
    """The next course on record, else when the employer says one can be had."""
    zone = need.timeline.zone
    earliest = need.means.now.astimezone(zone).date() + timedelta(days=1)
    known = need.means.courses.get((ticket.kind, ticket.family), ())
    days = [day for day in known if day >= earliest]
    day = min(days) if days else need.means.ready("refresher").astimezone(zone).date()
    return day, moment(day, COURSE_ENDS, zone)
