"""The people of the demo: who they are, what they may do, what they can, and when they are there."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

from django.conf import settings
from django.contrib.auth.hashers import make_password

from inspections.actions.authorising import Evidence, authorise
from inspections.actions.work_settings import set_hours
from readiness.actions.people import record_competence
from readiness.actions.rota import put_on_rota
from readiness.demo.places import EMPLOYER
from readiness.demo.world import BEGAN, SATURDAY, World, table
from readiness.models import FAMILIES, Competence
from register.demo_logins import DEMO_LOGINS, DEMO_PASSWORD
from register.models import Grant, Person, User
from register.rules.classes import CLASSES

HEADS = 140
AS_GUEST = "Fenwater Scaffolding"  # a subcontractor, invented like all the others
SHARES = {
    "ashby": 5,
    "corrick": 34,
    "skelhope": 25,
    "hollin": 14,
    "pellow": 9,
    "northmere": 13,
}
# fmt: off
FIRST = (
    "Alva", "Bertil", "Ceri", "Davin", "Elsbet", "Farid", "Gwil", "Hanne", "Idris", "Jonna", "Kasper", "Liesl",
    "Mabli", "Nils", "Orla", "Pia", "Quill", "Rasmus", "Senan", "Tove", "Ulla", "Vigo", "Wilma", "Yorath", "Zofia",
)
LAST = (
    "Abney", "Bexter", "Carrow", "Dunsop", "Eskild", "Farleigh", "Garth", "Hesket", "Ingram", "Jessop", "Kell", "Lorton",
    "Mardale", "Netherby", "Ousby", "Pooley", "Raisbeck", "Sedbury", "Tarlow", "Ulpha", "Wasdal", "Yealand",
)
# fmt: on
INSPECT = {  # hours a day, days of the week; the rest of their week goes to other duties
    "Huw Penry": (5, (1, 3)),
    "Dilip Nair": (6, (4,)),
}
FIXED_ANCHORS = ("anchor", "horizontal-lifeline")
ROTA_DAYS = range(-1, 36)
FIRST_AID_DAYS, RESCUER_DAYS = 1095, 365


def make_people(world: World) -> None:
    """Rows, logins, authorisations, tickets and the rota, in this order."""
    named = table("people")
    for row in named:
        _person(world, row["name"], row.get("site"), EMPLOYER)
    _make_logins(world)
    crew = list(_crew(world, HEADS - len(named)))
    _authorise(world)
    for row in [*named, *crew]:
        _tickets(world, row)
    _rota(world, named, ROTA_DAYS)
    _rota_of_crew(world, crew)


def _person(world: World, name: str, site: str | None, employer: str) -> None:
    home = world.sites[site] if site else None
    world.people[name] = Person.objects.create(name=name, employer=employer, home_site=home)


def hashed_password() -> str:
    """Of the demo logins; outside the demo one that opens nothing."""
    return make_password(DEMO_PASSWORD if settings.DEMO else None)


def _make_logins(world: World) -> None:
    password = hashed_password()
    for login in DEMO_LOGINS:
        user = User.objects.create(
            username=login.username, password=password, person=world.people[login.name]
        )
        Grant.objects.create(
            user=user, role=login.role, site=world.sites[login.site] if login.site else None
        )
        world.users[login.username] = user


def _crew(world: World, count: int) -> Iterator[dict[str, Any]]:
    """Those who fill the shifts; a rescue ticket of theirs is always out of date."""
    names = [f"{first} {last}" for first in FIRST for last in LAST]
    world.chance.shuffle(names)
    sites = [site for site, share in SHARES.items() for _ in range(share)]
    for number, name in enumerate(names[:count]):
        site = sites[number * len(sites) // count]
        employer = AS_GUEST if number % 9 == 4 else EMPLOYER  # noqa: PLR2004 - every ninth
        _person(world, name, site, employer)
        yield {"name": name, "site": site, "tickets": _crew_tickets(world)}


def _crew_tickets(world: World) -> list[tuple[str, int]]:
    lot = world.chance.random()
    if lot < 0.2:  # noqa: PLR2004 - one in five
        return [(world.chance.choice(list(FAMILIES)), -world.chance.randint(5, 300))]
    return [("first aid", world.chance.randint(-90, 900))] if lot < 0.4 else []  # noqa: PLR2004


def _authorise(world: World) -> None:
    """Huw for everything but fixed anchors, Dilip for those; the manager gives both."""
    at = world.moment(-BEGAN)
    years = {"from_on": world.on(-BEGAN), "through_on": world.on(300)}
    given = (
        (
            "Huw Penry",
            [slug for slug in CLASSES if slug not in FIXED_ANCHORS],
            "Examiner's course",
            "answers to the operations manager; uses none of it",
        ),
        ("Dilip Nair", list(FIXED_ANCHORS), "Anchor tester's course", "fits no anchors himself"),
    )
    for name, classes, basis, independence in given:
        who, stamp = world.people[name], world.stamp("oyelaran", at)
        authorise(
            who,
            classes=classes,
            kinds=[],
            evidence=Evidence(basis, independence),
            stamp=stamp,
            **years,
        )
        hours, weekdays = INSPECT[name]
        set_hours(who, minutes_a_day=60 * hours, weekdays=weekdays, stamp=stamp.again())


def _tickets(world: World, row: dict[str, Any]) -> None:
    for what, days_left in row.get("tickets", ()):
        aid = what == "first aid"
        held_for = FIRST_AID_DAYS if aid else RESCUER_DAYS
        ticket = Competence(
            person=world.people[row["name"]],
            kind="first aid" if aid else "rescuer",
            family="" if aid else what,
            from_on=world.on(days_left - held_for),
            through_on=world.on(days_left),
            provider="Wold Training" if aid else "Highline School",
        )
        recorded = world.moment(max(days_left - held_for, -BEGAN), 16)
        record_competence(ticket, stamp=world.stamp("oyelaran", recorded))


def _rota(world: World, rows: list[dict[str, Any]], numbers: Sequence[int]) -> None:
    """Each on their own shift and zone on each of these days."""
    places: dict[tuple[str, str, str], list[Person]] = defaultdict(list)
    for row in rows:
        if row.get("shift"):
            places[row["site"], row["shift"], row["zone"]].append(world.people[row["name"]])
    for (site, shift, zone), people in places.items():
        put_on_rota(
            world.sites[site],
            people=people,
            days=[world.on(n) for n in numbers],
            shift=world.shifts[site, shift],
            zone=world.zones[site, zone],
            stamp=world.stamp("oyelaran", world.moment(-8, 15)),
        )


def _rota_of_crew(world: World, crew: list[dict[str, Any]]) -> None:
    """Weekdays of every other week, each at a zone and on a shift of their own site."""
    for row in crew:
        row["shift"] = world.chance.choice([name for at, name in world.shifts if at == row["site"]])
        row["zone"] = world.chance.choice([code for at, code in world.zones if at == row["site"]])
    weekdays = [n for n in ROTA_DAYS if world.on(n).weekday() < SATURDAY]
    for turn in (0, 1):
        numbers = [n for n in weekdays if world.on(n).isocalendar().week % 2 == turn]
        _rota(world, [row for n, row in enumerate(crew) if n % 2 == turn], numbers)
