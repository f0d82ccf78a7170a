"""A site asked at one moment by its own clock: what is known, and what is answered."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from readiness.board.mornings import SiteMorning, site_mornings
from readiness.board.standings import Standing
from readiness.facts import timelines
from readiness.rules.cover import Answer
from readiness.rules.moments import Moments
from readiness.rules.situation import Situation
from readiness.rules.slices import Solver
from readiness.rules.spans import judged
from readiness.rules.statement import HORIZON_DAYS, Statement, state
from readiness.rules.windows import moment
from register.models import Site
from tests.factories import DAY

NOON = time(12)


def hour(site: Site, at: time = NOON, day: date = DAY) -> datetime:
    return moment(day, at, ZoneInfo(site.time_zone))


def situation(site: Site, day: date = DAY, at: time = NOON) -> Situation:
    """What is really there at that moment."""
    (timeline,) = timelines([site], day, day)
    return Moments(timeline).situation(hour(site, at, day))


def answers(site: Site, day: date = DAY, at: time = NOON) -> dict[str, Answer]:
    """Of every task at work at that moment."""
    return judged(situation(site, day, at), Solver())


def standing(site: Site, at: datetime) -> Standing:
    """Worked out from what the rows say now, however they came to say it."""
    day = at.astimezone(ZoneInfo(site.time_zone)).date()
    (timeline,) = timelines([site], day, day + timedelta(days=HORIZON_DAYS))
    return Standing(site, state(timeline, day, at))


def statement(site: Site, day: date = DAY, at: time = NOON) -> Statement:
    """Over the ninety days from the day."""
    return standing(site, hour(site, at, day)).statement


def morning(site: Site, day: date = DAY, at: time = time(6, 42)) -> SiteMorning:
    """The site on the morning page."""
    asked = hour(site, at, day)
    return site_mornings([standing(site, asked)], asked)[0]


def states_on(site: Site, task: str, count: int, day: date = DAY) -> tuple[str, ...]:
    """At noon of each of these days, asked alone."""
    found = [answers(site, day + timedelta(days=n)).get(task) for n in range(count)]
    return tuple(one.state if one else "not-worked" for one in found)
