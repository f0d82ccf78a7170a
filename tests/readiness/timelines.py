"""Sites over time, built for one test each: one task, and what serves it from when until when."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from readiness.rules.situation import (
    Anchor,
    Clearance,
    Competence,
    Drill,
    Kit,
    Person,
    Plan,
    Task,
)
from readiness.rules.timeline import AnchorTime, KitTime, PersonTime, Stay, TaskTime, Timeline, Work
from readiness.rules.windows import ALWAYS, Window, moment

ZONE = ZoneInfo("Europe/London")
DAY = date(2026, 3, 9)
FAMILY = "controlled descent"


def at(hours: str, day: date = DAY) -> datetime:
    """A moment by the clock on site."""
    return moment(day, time.fromisoformat(hours), ZONE)


def whole(day: date = DAY) -> Window:
    return (at("00:00", day), at("00:00", day + timedelta(days=1)))


def kit(name: str = "RK-05", **known: object) -> Kit:
    usual = Kit(
        id=name,
        zone="deck",
        family=FAMILY,
        functions=frozenset({"lower"}),
        max_load_kg=150,
        max_height_m=60,
    )
    return replace(usual, **known)  # type: ignore[arg-type]


def rescuer(name: str, *stays: Window, through: date = date.max, aid: bool = True) -> PersonTime:
    held = [Competence("rescuer", through, FAMILY)]
    held += [Competence("first aid", date.max)] if aid else []
    person = Person(id=name, name=name, zone="deck", competences=tuple(held))
    return PersonTime(person, tuple(Stay(*window, "deck") for window in stays))


def first_aider(name: str, *stays: Window) -> PersonTime:
    """No rescuer, so that what is said of rescuers stands alone."""
    aid = Person(id=name, name=name, zone="deck", competences=(Competence("first aid", date.max),))
    return PersonTime(aid, tuple(Stay(*one, "deck") for one in stays))


def worker(name: str = "Wren", *stays: Window) -> PersonTime:
    return PersonTime(
        Person(id=name, name=name, zone="deck"), tuple(Stay(*one, "deck") for one in stays)
    )


def anchor(name: str = "AN-1", **known: object) -> Anchor:
    return replace(Anchor(id=name, zone="deck", due=date.max), **known)  # type: ignore[arg-type]


def task(name: str = "T1", **known: object) -> Task:
    usual = Task(
        id=name,
        zone="deck",
        starts_on=date.min,
        ends_on=date.max,
        system="arrest",
        exposed=(),
        heaviest_kg=100,
        lightest_kg=70,
        recovery="lower",
        lower_m=18,
        stranded=1,
        clearance=Clearance(5, 9),
        rescue_anchors=("AN-1",),
        plan=Plan("Lower", DAY - timedelta(days=30), 15, Drill(DAY - timedelta(days=30), 6)),
    )
    return replace(usual, **known)  # type: ignore[arg-type]


def worked(one: Task, *hours: Window, exposed: tuple[str, ...] = ("Wren",)) -> TaskTime:
    return TaskTime(one, tuple(Work(*window, exposed) for window in hours))


def site(
    tasks: list[TaskTime],
    kits: list[KitTime],
    people: list[PersonTime],
    anchors: list[AnchorTime] | None = None,
) -> Timeline:
    usual = [AnchorTime(anchor())] if anchors is None else anchors
    return Timeline(
        site="corrick",
        zone=ZONE,
        kits=tuple(kits),
        people=tuple(people),
        anchors=tuple(usual),
        tasks=tuple(tasks),
    )


def there(one: Kit, *here: Window) -> KitTime:
    return KitTime(one, here=here or ALWAYS)
