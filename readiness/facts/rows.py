"""The rows that decide on rescue cover at some sites, read at one moment in a fixed number of queries."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import NamedTuple, TypeVar

from django.db import connection, transaction
from django.db.models import Count, Prefetch, Q

from readiness.facts.standing import Standing, standings
from readiness.models import Competence, CoverPolicy, Drill, Permit, Plan, RotaEntry, Task, TaskSums
from register.models import Item, Kit, KitPart, Passage, Person, Shift, Site, Zone
from register.rules.conditions import AWAY, DESTROYED, LEFT, WITHDRAWN

ARREST_CLASSES = ("harness", "energy-absorbing-lanyard", "retractable", "guided-arrester")
"""Classes nobody wears but to be caught in a fall; on issue, they mean that somebody may."""

NOT_HERE = ("in-transit", "maker", "owner", "destroyed")
"""Custody that puts a kit elsewhere, whatever its site says: it covers nobody until scanned in."""


class OnRota(NamedTuple):
    """One entry of a rota: by far the most rows, so that none becomes an object of the database."""

    site_id: int
    person: Person
    shift_id: int
    zone: Zone
    day_on: date
    begins: time | None
    ends: time | None


Row = TypeVar("Row", Shift, Task, Kit, OnRota, Permit)


@dataclass(frozen=True, slots=True)
class SiteRows:
    """One site's rows for the days `first` to `last`, both counted.

    `site` is the row as it was at the moment of reading, with the version its facts had then.
    """

    site: Site
    first: date
    last: date
    policy: CoverPolicy
    shifts: tuple[Shift, ...]
    tasks: tuple[Task, ...]
    kits: tuple[Kit, ...]
    rota: Mapping[tuple[int, int], tuple[OnRota, ...]]
    """By (person, shift), in the order of the days."""
    people: tuple[Person, ...]
    competences: Mapping[int, tuple[Competence, ...]]
    passages: tuple[Passage, ...]
    standings: Mapping[int, Standing]
    arrest_items_on_issue: int
    permits: tuple[Permit, ...] = ()


@contextmanager
def snapshot() -> Iterator[None]:
    """One moment of the database for all that is read inside; nothing may be written."""
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "postgresql":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield
    else:
        with _reading(), transaction.atomic():
            yield


@contextmanager
def _reading() -> Iterator[None]:
    """SQLite's transactions are set to take the writer's lock at once; a reader needs none."""
    connection.ensure_connection()  # which sets the mode
    mode = getattr(connection, "transaction_mode", None)
    connection.transaction_mode = "DEFERRED"  # type: ignore[attr-defined]
    try:
        yield
    finally:
        connection.transaction_mode = mode  # type: ignore[attr-defined]


@snapshot()
def read(sites: Sequence[Site], first: date, last: date) -> list[SiteRows]:
    """The rows of each site, in the order of the sites."""
    sites = _as_they_are(sites)
    policy = CoverPolicy.objects.first() or CoverPolicy()
    shifts = _by_site(Shift.objects.filter(site__in=sites).order_by("begins", "pk"))
    tasks = _by_site(_tasks(sites, first, last))
    kits = _by_site(_kits(sites))
    rota = _by_site(_rota(sites, first, last))
    competences, passages = _competences(sites, first, last), _passages(sites)
    standing = standings(_judged(kits, tasks))
    issued, permits = _on_issue(sites), _by_site(_permits(sites, first))
    return [
        SiteRows(
            site=site,
            first=first,
            last=last,
            policy=policy,
            shifts=shifts[site.pk],
            tasks=tasks[site.pk],
            kits=kits[site.pk],
            rota=_by_person_and_shift(rota[site.pk]),
            people=_people(site, rota[site.pk], competences),
            competences=competences,
            passages=passages[site.pk],
            standings=standing,
            arrest_items_on_issue=issued.get(site.pk, 0),
            permits=permits[site.pk],
        )
        for site in sites
    ]


def _as_they_are(sites: Sequence[Site]) -> list[Site]:
    """Read before all else: where there is no snapshot, their version is behind, never ahead."""
    found = Site.objects.in_bulk([site.pk for site in sites])
    return [found.get(site.pk, site) for site in sites]


def _by_site(rows: Iterable[Row]) -> dict[int, tuple[Row, ...]]:
    found: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.site_id].append(row)
    return defaultdict(tuple, {site: tuple(held) for site, held in found.items()})


def _tasks(sites: Sequence[Site], first: date, last: date) -> Iterable[Task]:
    newest = Plan.objects.order_by("-version").prefetch_related(
        Prefetch("drills", Drill.objects.order_by("-drilled_on", "-pk"))
    )
    return (
        Task.objects.filter(site__in=sites, from_on__lte=last, to_on__gte=first)
        .select_related("zone", "site")
        .prefetch_related(
            "shifts",
            "exposures__person",
            Prefetch("plans", newest),
            Prefetch("sums", TaskSums.objects.newest_first()),
            Prefetch("rescue_anchors", Item.objects.select_related("product", "zone")),
        )
        .order_by("code")
    )


def _kits(sites: Sequence[Site]) -> Iterable[Kit]:
    """Those that are at the site; a kit on its way, away or finished is not."""
    return (
        Kit.objects.filter(item__site__in=sites, item__bound_for=None)
        .exclude(item__custody__in=NOT_HERE)
        .exclude(item__condition__in=[AWAY, DESTROYED, LEFT, WITHDRAWN])
        .select_related("item__zone", "item__product", "ability")
        .prefetch_related(
            "ability__locked_shifts",
            Prefetch("parts", KitPart.objects.select_related("item__product")),
        )
        .order_by("name")
    )


def _permits(sites: Sequence[Site], first: date) -> Iterable[Permit]:
    """Of the days read; a day more, because the sites' clocks differ."""
    begins = datetime.combine(first - timedelta(days=1), time(0), tzinfo=UTC)
    return Permit.objects.since(begins).filter(site__in=sites).select_related("task")


def _rota(sites: Sequence[Site], first: date, last: date) -> list[OnRota]:
    """People and zones are read once each, not with every entry."""
    entries = RotaEntry.objects.filter(site__in=sites, day_on__range=(first, last))
    rows = list(
        entries.order_by("day_on", "person__name", "pk").values_list(
            "site_id", "person_id", "shift_id", "zone_id", "day_on", "begins", "ends"
        )
    )
    people = Person.objects.in_bulk({row[1] for row in rows})
    zones = Zone.objects.in_bulk({row[3] for row in rows})
    return [
        OnRota(site, people[person], shift, zones[zone], day, begins, ends)
        for site, person, shift, zone, day, begins, ends in rows
    ]


def _by_person_and_shift(
    rota: Iterable[OnRota],
) -> dict[tuple[int, int], tuple[OnRota, ...]]:
    found: dict[tuple[int, int], list[OnRota]] = defaultdict(list)
    for entry in rota:
        found[entry.person.pk, entry.shift_id].append(entry)
    return {key: tuple(held) for key, held in found.items()}


def _competences(
    sites: Sequence[Site], first: date, last: date
) -> dict[int, tuple[Competence, ...]]:
    """By person: of all on the rota, and of those who belong to the sites, there or not."""
    there = RotaEntry.objects.filter(site__in=sites, day_on__range=(first, last))
    rows = Competence.objects.filter(
        Q(person__in=there.values("person")) | Q(person__home_site__in=sites)
    )
    found: dict[int, list[Competence]] = defaultdict(list)
    for row in rows.select_related("person").order_by("person__name", "from_on", "pk"):
        found[row.person_id].append(row)
    return {person: tuple(held) for person, held in found.items()}


def _passages(sites: Sequence[Site]) -> dict[int, tuple[Passage, ...]]:
    found: dict[int, list[Passage]] = defaultdict(list)
    for row in Passage.objects.filter(start__site__in=sites).select_related("start", "end"):
        found[row.start.site_id].append(row)
    return defaultdict(tuple, {site: tuple(held) for site, held in found.items()})


def _judged(
    kits: Mapping[int, tuple[Kit, ...]], tasks: Mapping[int, tuple[Task, ...]]
) -> list[Item]:
    """Every item whose condition and clocks bear on cover: kits, their parts, rescue anchors."""
    every_kit = [kit for held in kits.values() for kit in held]
    parts = [part.item for kit in every_kit for part in kit.parts.all() if part.item]
    every_task = [task for held in tasks.values() for task in held]
    anchors = [anchor for task in every_task for anchor in task.rescue_anchors.all()]
    return [*(kit.item for kit in every_kit), *parts, *anchors]


def _on_issue(sites: Sequence[Site]) -> dict[int, int]:
    """How many pieces of arrest equipment people hold, by site."""
    issued = Item.objects.filter(
        site__in=sites, custody="person", product__equipment_class__in=ARREST_CLASSES
    )
    counted = issued.order_by().values("site").annotate(pieces=Count("pk"))
    return dict(counted.values_list("site", "pieces"))


def _people(
    site: Site, rota: tuple[OnRota, ...], competences: Mapping[int, tuple[Competence, ...]]
) -> tuple[Person, ...]:
    """Who is on the rota, and who belongs here with a competence but is not on it."""
    found = {entry.person.pk: entry.person for entry in rota}
    for held in competences.values():
        person = held[0].person
        if person.home_site_id == site.pk:
            found.setdefault(person.pk, person)
    return tuple(sorted(found.values(), key=lambda person: (person.name, person.pk)))
