"""What there is to mend with, from rows: terms, who may examine what and when, courses, promises."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from inspections.models import Authorisation
from inspections.wording import clock_name
from readiness.facts import timelines
from readiness.facts.sums_again import sums_redone
from readiness.models import CourseDate, Job, RemedyTerms, RotaEntry, SiteTravel, Task
from readiness.rules.remedies.bench import Bench
from readiness.rules.remedies.means import Means, Slot
from readiness.rules.remedies.terms import Terms
from readiness.rules.windows import midnight, moment
from register.models import Grant, Kit, Person, Role, Site
from register.wording import lower_first

HALF_DAYS = ((time(8), time(12)), (time(13), time(17)))
SATURDAY = 5
LOOK_AHEAD = 60  # days in which an examiner's next free half-day is looked for
LIVES = ("life-from-made", "life-from-first-use")
NOT_BY_LOOKING = ("hire", "notice")
KIT_KINDS, ANCHOR_KINDS = ("detailed", "kit-check"), ("detailed",)

DOERS = {
    Role.STORES: ("move-kit", "hire-kit"),
    Role.PLANNER: ("review-plan", "write-plan", "link-stop-work", "redo-sums"),
    Role.SUPERVISOR: (
        "stop",
        "person-on-shift",
        "drill",
        "move-place",
        "duplicate-key",
        "separate",
    ),
    Role.MANAGER: ("refresher", "first-call", "install-anchor", "change-task", "postpone"),
}
"""Whose job it is; where a site has nobody in the role, a manager's."""


def bench_of(sites: Sequence[Site], asked: Site, now: datetime, days: int) -> Bench:
    """The site asked about and every other that may give something, from now over the days."""
    zone = ZoneInfo(asked.time_zone)
    today = now.astimezone(zone).date()
    last = today + timedelta(days=days)
    found = {one.site: one for one in timelines(list(sites), today, last)}
    return Bench(found, now, midnight(last, zone))


def later_tasks(sites: Sequence[Site], bench: Bench) -> dict[str, tuple[str, ...]]:
    """By site, what is declared for after the days on the bench, and so is not on it."""
    found: dict[str, tuple[str, ...]] = {}
    rows = Task.objects.filter(site__in=sites, from_on__gte=bench.last.date()).order_by("code")
    for site, code in rows.values_list("site__code", "code"):
        if all(one.task.id != code for one in bench.timelines[site].tasks):
            found[site] = (*found.get(site, ()), code)
    return found


def means_of(sites: Sequence[Site], asked: Site, now: datetime) -> Means:
    """In a fixed number of queries."""
    promised = _promised()
    return Means(
        now=now,
        terms=terms_in_force(),
        examiners=dict(_examiners(asked, now, promised)),
        courses=_courses(now),
        doers=_doers(sites),
        promised=promised,
        lives=frozenset(lower_first(clock_name(one)) for one in LIVES),
        not_by_looking=frozenset(lower_first(clock_name(one)) for one in NOT_BY_LOOKING),
        redone=sums_redone(asked),
    )


def terms_in_force() -> Terms:
    own = {row.kind: (row.lead_hours, row.cost) for row in RemedyTerms.objects.all()}
    ways = SiteTravel.objects.select_related("start", "end")
    return Terms(own, {(way.start.code, way.end.code): way.hours for way in ways})


def _promised() -> frozenset[str]:
    """What open jobs take up, at whatever site."""
    held = Job.objects.open().values_list("uses", flat=True)
    return frozenset(name for uses in held for name in uses)


def _courses(now: datetime) -> dict[tuple[str, str], tuple[date, ...]]:
    found: dict[tuple[str, str], tuple[date, ...]] = {}
    for row in CourseDate.objects.filter(held_on__gte=now.date()):
        key = (row.kind, row.family)
        found[key] = (*found.get(key, ()), row.held_on)
    return found


def _doers(sites: Sequence[Site]) -> dict[tuple[str, str], tuple[str, str]]:
    """The first in the role at the site, then of those who hold it everywhere; managers last."""
    rows = Grant.objects.filter(role__in=list(DOERS), user__is_active=True)
    rows = rows.exclude(user__person=None).select_related("user__person").order_by("pk")
    held: dict[tuple[str, int | None], tuple[str, str]] = {}
    for row in rows:
        person = row.user.person
        if person is not None:
            held.setdefault((row.role, row.site_id), (str(person.pk), person.name))
    found: dict[tuple[str, str], tuple[str, str]] = {}
    for site in sites:
        for role, kinds in DOERS.items():
            asked = ((role, site.pk), (role, None), (Role.MANAGER, site.pk), (Role.MANAGER, None))
            who = next((held[key] for key in asked if key in held), ("", ""))
            found.update({(site.code, kind): who for kind in kinds})
    return found


@dataclass(frozen=True, slots=True)
class _Examiner:
    person: Person
    given: tuple[Authorisation, ...]
    away: frozenset[date]
    """Days on which the rota has them at another site than the one asked about."""

    def may(self, classes: Iterable[str], kinds: Iterable[str], on: date) -> bool:
        """Authorised for every class by every kind on that day, and still employed."""
        if self.person.left_on is not None and self.person.left_on <= on:
            return False
        return all(
            any(_gives(one, each, kind, on) for one in self.given)
            for each in classes
            for kind in kinds
        )


def _gives(one: Authorisation, equipment_class: str, kind: str, on: date) -> bool:
    if not one.from_on <= on <= one.through_on:
        return False
    return (not one.classes or equipment_class in one.classes) and (
        not one.kinds or kind in one.kinds
    )


def _examiners(site: Site, now: datetime, promised: frozenset[str]) -> Iterator[tuple[str, Slot]]:
    terms = terms_in_force()
    people = _nearest_first(site, now, terms)
    now += timedelta(hours=terms.lead_hours("examine-kit"))
    kits = Kit.objects.filter(item__site=site).select_related("item__product")
    for kit in kits.prefetch_related("parts__item__product"):
        parts = [part.item.product.equipment_class for part in kit.parts.all() if part.item]
        wanted = {kit.item.product.equipment_class, *parts}
        if slot := _slot(people, wanted, KIT_KINDS, (site, now, promised)):
            yield f"kit {kit.name}", slot
    for task in Task.objects.filter(site=site).prefetch_related("rescue_anchors__product"):
        for anchor in task.rescue_anchors.all():
            wanted = {anchor.product.equipment_class}
            if slot := _slot(people, wanted, ANCHOR_KINDS, (site, now, promised)):
                yield f"anchor {anchor.code}", slot


def _nearest_first(site: Site, now: datetime, terms: Terms) -> list[_Examiner]:
    given: dict[int, list[Authorisation]] = {}
    rows = Authorisation.objects.filter(through_on__gte=now.date())
    people: dict[int, Person] = {}
    for row in rows.select_related("person__home_site").order_by("pk"):
        given.setdefault(row.person_id, []).append(row)
        people[row.person_id] = row.person
    away: dict[int, set[date]] = {}
    entries = RotaEntry.objects.filter(person__in=people, day_on__gte=now.date())
    for person, home, at, day in entries.values_list(
        "person", "person__home_site", "site", "day_on"
    ):
        if at not in {home, site.pk}:
            away.setdefault(person, set()).add(day)
    found = [
        _Examiner(one, tuple(given[pk]), frozenset(away.get(pk, ()))) for pk, one in people.items()
    ]
    return sorted(found, key=lambda one: (_hours_to(one.person, site, terms), one.person.name))


def _hours_to(person: Person, site: Site, terms: Terms) -> float:
    """Who belongs to no site travels as long as a kit does."""
    home = person.home_site.code if person.home_site else ""
    return terms.travel_hours(home, site.code)


def _slot(
    people: Iterable[_Examiner],
    classes: set[str],
    kinds: tuple[str, ...],
    asked: tuple[Site, datetime, frozenset[str]],
) -> Slot | None:
    """The next free half-day of the nearest who may examine all of it; nobody may: None."""
    site, now, promised = asked
    for examiner in people:
        person = examiner.person
        for begins, ends in _half_days(site, now):
            day = begins.astimezone(ZoneInfo(site.time_zone)).date()
            slot = Slot(str(person.pk), person.name, begins, ends)
            if (
                examiner.may(classes, kinds, day)
                and day not in examiner.away
                and slot.is_free(site.code, promised)
            ):
                return slot
    return None


def _half_days(site: Site, after: datetime) -> Iterator[tuple[datetime, datetime]]:
    """Mornings and afternoons of weekdays by the clock on site, those that begin after the moment."""
    zone = ZoneInfo(site.time_zone)
    first = after.astimezone(zone).date()
    for n in range(LOOK_AHEAD):
        day = first + timedelta(days=n)
        for begins, ends in HALF_DAYS if day.weekday() < SATURDAY else ():
            window = moment(day, begins, zone), moment(day, ends, zone)
            if window[0] >= after:
                yield window
