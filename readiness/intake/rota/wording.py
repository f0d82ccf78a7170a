"""What stands against a line of a rota, and what it does, in sentences."""

from __future__ import annotations

from django.utils.translation import gettext, gettext_noop

from readiness.intake.training.wording import PEOPLE
from register.intake.rows import Problem
from register.intake.wording import CODES, problem_told

# fmt: off
_PROBLEMS: dict[str, str] = {
    **PEOPLE,
    "person-unknown": gettext_noop("{value} is not in the register, so nobody counts by this line. Enter them, or correct the name."),
    "person-near": gettext_noop("{value} is not in the register; {peers} is, and may be the same person. Correct the name: who is not clearly named counts as absent."),
    "nobody-clear": gettext_noop("“{value}” names nobody of the register clearly, so nobody counts by it."),
    "no-day": gettext_noop("There is no day. Write it as 4 Mar 2026."),
    "no-hour": gettext_noop("“{value}” is no time of day. Write it as 06:00."),
    "no-hours": gettext_noop("Neither a shift nor hours are given."),
    "all-day": gettext_noop("The event lasts all day: give it the hours in which the person is there."),
    "too-long": gettext_noop("The event lasts longer than a day. Put in one for each shift."),
    "site-unknown": gettext_noop("“{value}” is none of your sites. Write the site’s name or code, or say in the questions which it is."),
    "site-missing": gettext_noop("No site is named. Say in the questions which it is."),
    "zone-unknown": gettext_noop("“{value}” is no zone of {site}."),
    "zone-missing": gettext_noop("Say in the questions from which zone of {site} people start."),
    "shift-unknown": gettext_noop("“{value}” is no shift of {site}, which has {shifts}. Say in the questions which it is, or give the hours."),
    "no-shift": gettext_noop("No shift of {site} runs so: {hours}. It has {shifts}."),
    "two-shifts": gettext_noop("The hours {hours} lie within more than one shift of {site}: {shifts}. Name the shift."),
    "far-ahead": gettext_noop("{value} is more than a year ahead. Look the day up."),
}
_FEED: dict[str, str] = {
    "feed-not-https": gettext_noop("The address must begin with https:// and name a host, on the usual port."),
    "feed-with-password": gettext_noop("Leave a user name and password out of the address: ask for a private address instead."),
    "feed-no-host": gettext_noop("There is no such host. Look at the address."),
    "feed-private": gettext_noop("The address leads into a private network, and nothing is fetched from there."),
    "feed-no-answer": gettext_noop("The calendar did not answer as it should."),
    "feed-redirects": gettext_noop("The calendar sends on and on. Give the address at which it ends."),
    "feed-slow": gettext_noop("The calendar took too long to answer."),
    "feed-too-big": gettext_noop("The calendar is larger than 5 MB. Choose one that holds the rota alone."),
}
_SAID: dict[str, str] = {
    "in": gettext_noop("On {day}, {shift} at {site}, from {zone}."),
    "in-hours": gettext_noop("On {day}, {shift} at {site}, {hours}, from {zone}."),
    "known": gettext_noop("On the rota already: {day}, {shift}."),
    "differs": gettext_noop("On the rota of {day}, {shift}, from another zone or with other hours. Take that off first."),
    "past": gettext_noop("{day} is over. Nothing is changed."),
    "off": gettext_noop("Not there on {day}."),
    "twice": gettext_noop("The same as on line {line}."),
}
# fmt: on


def said_of(code: str, **facts: object) -> str:
    return gettext(_SAID[code]).format(**facts)


def feed_told(code: str) -> str:
    """Why a followed calendar gave no good answer."""
    return gettext(_FEED[code])


def told_of(problem: Problem) -> str:
    """What keeps it out, and what to do."""
    if problem.code in CODES and problem.code not in _PROBLEMS:
        return problem_told(problem)
    return gettext(_PROBLEMS[problem.code]).format(**problem.facts)
