"""States, missing keys, days and figures in words, and sentences with places to fill."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.cover import Answer
from register.wording import shown_day, shown_number

Facts = Mapping[str, Any]

_STATES = {
    "covered-with-backup": gettext_noop("Covered, with backup"),
    "covered-no-backup": gettext_noop("Covered, no backup"),
    "not-covered": gettext_noop("Not covered"),
    "not-assessed": gettext_noop("Not assessed"),
    "no-rescue-cover-needed": gettext_noop("No rescue cover needed"),
}

_MISSING = {
    "restraint.reach_m": gettext_noop("the longest the restraint lanyard can be set"),
    "restraint.deflection_m": gettext_noop("how far the restraint line gives, 0 m for a rigid one"),
    "restraint.edge_m": gettext_noop("the distance from the restraint anchor to the edge"),
    "heaviest_kg": gettext_noop("the heaviest person with tools, in kg"),
    "recovery": gettext_noop("whether the casualty is lowered or raised"),
    "lower_m": gettext_noop("the height to lower, in m"),
    "raise_m": gettext_noop("the height to raise, in m"),
    "clearance.required_m": gettext_noop("the clearance the system needs, in m"),
    "clearance.available_m": gettext_noop("the clearance available below, in m"),
    "exposed": gettext_noop("who is exposed"),
}


_CAUSES = {
    "kit": gettext_noop("Kits and their parts"),
    "anchor": gettext_noop("Rescue anchors"),
    "training": gettext_noop("Training and first aid"),
    "rota": gettext_noop("People on the rota"),
    "plan": gettext_noop("Rescue plans"),
    "drill": gettext_noop("Drills"),
    "other": gettext_noop("Two tasks after the same kit or people"),
}


def cause_kind(kind: str) -> str:
    """What a cause of lapse is about, as a heading."""
    return _(_CAUSES[kind])


def weekday_and_day(day: date) -> str:
    """'Fri 6 Mar 2026'."""
    return shown_day(day, "WEEKDAY_AND_DAY")


def state_name(state: str) -> str:
    return _(_STATES[state])


def missing_name(key: str) -> str:
    """What is not known, to be set after 'Missing:' or in a list."""
    return _(_MISSING[key])


def state_phrase(answer: Answer, names: Mapping[str, str]) -> str:
    """The state in a few words; `names` gives the shown name of an id that is not one itself."""
    if answer.state != "covered-no-backup":
        return state_name(answer.state)
    things = [names.get(thing.id, thing.id) for thing in answer.hangs_on]
    return _("Covered, no backup: hangs on %(things)s") % {"things": listed(things)}


def listed(words: list[str] | tuple[str, ...]) -> str:
    """'A, B and C'."""
    if len(words) <= 1:
        return "".join(words)
    return _("%(first)s and %(last)s") % {"first": ", ".join(words[:-1]), "last": words[-1]}


def plain(sentence: str) -> Callable[[Facts], str]:
    def worded(facts: Facts) -> str:
        return _(sentence) % {key: _word(value) for key, value in facts.items()}

    return worded


def _word(value: object) -> str:
    if isinstance(value, tuple):
        return listed([_word(one) for one in value])
    if isinstance(value, date):
        return weekday_and_day(value)
    if isinstance(value, int | float) and not isinstance(value, bool):
        return shown_number(value)
    return str(value)
