"""Usable or not on a day, the one reason that helps most, and what a verdict does to an item."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from inspections.rules.clocks import Clock, governing
from inspections.rules.item_facts import PASSES
from register.rules.conditions import CUSTODY_NOT_USABLE, Condition, Facts
from register.rules.texts import gettext_noop

Effect = Literal["none", "quarantine", "withdraw"]

VERDICTS: dict[str, str] = {
    "pass": gettext_noop("Pass"),
    "pass-with-conditions": gettext_noop("Pass with conditions"),
    "refer": gettext_noop("Refer to the maker or an engineer"),
    "fail": gettext_noop("Fail"),
    "not-presented": gettext_noop("Not presented"),
    "not-identified": gettext_noop("Not identified"),
    "not-accessible": gettext_noop("Not accessible"),
}
VERDICT_CHOICES: tuple[tuple[str, str], ...] = tuple(VERDICTS.items())

DEFECT_CLASSES: dict[str, str] = {
    "A": gettext_noop("Is a danger now"),
    "B": gettext_noop("Could become a danger by a date"),
    "C": gettext_noop("Observation"),
}
DEFECT_CLASS_CHOICES: tuple[tuple[str, str], ...] = tuple(DEFECT_CLASSES.items())

_BARRED_BY_CONDITION: dict[str, str] = {
    Condition.DESTROYED: "destroyed",
    Condition.WITHDRAWN: "withdrawn",
    Condition.QUARANTINED: "quarantined",
    Condition.NOT_LOCATED: "not-located",
    Condition.AWAY: "away",
    Condition.LEFT: "left",
    Condition.RECEIVED: "not-accepted",
    Condition.NEW: "not-registered",
}

# No inspection brings these back: naming another clock first would send someone to inspect in vain.
_FINAL = frozenset({"life-from-made", "life-from-first-use", "storage"})


@dataclass(frozen=True, slots=True)
class Verdict:
    """Usable on the day asked, and through which day; else the one reason not, as code and facts."""

    usable: bool
    through: date | None
    code: str
    facts: Facts = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemState:
    """What decides on use. kit_problem is the kit's own: 'seal-broken', 'seal-missing',
    'seal-unlike-record', 'part-missing' or ''; held_by is an open notice that keeps the item from
    use; restricted_to is the only use a pass with conditions left it.
    """

    condition: str
    custody: str
    clocks: tuple[Clock, ...]
    quarantine_reason: str = ""
    identity_in_doubt: bool = False
    held_by: HeldBy | None = None
    issued_elsewhere: bool = False
    kit_problem: str = ""
    kit_parts: tuple[KitPart, ...] = ()
    restricted_to: str = ""


@dataclass(frozen=True, slots=True)
class HeldBy:
    """A notice that means the item: its name, its kind, how certainly, and the first doubt."""

    notice: str
    kind: str
    certainty: str
    doubt: tuple[str, str] = ("", "")

    @property
    def facts(self) -> Facts:
        doubt, detail = self.doubt
        told = (("notice", self.notice), ("kind", self.kind), ("certainty", self.certainty))
        return (*told, ("doubt", doubt), ("detail", detail))


@dataclass(frozen=True, slots=True)
class KitPart:
    """A required part of a kit: its tag or role in words, and its own state."""

    name: str
    state: ItemState


def usable(state: ItemState, day: date) -> Verdict:
    """Whether the item can be used on the day, with the reason that a person can act on first.

    The last good day is the earliest of its clocks and of its kit parts; it counts to its end.
    """
    barred = (
        _barred_by_condition(state)
        or _barred_by_custody(state)
        or _barred_by_doubt(state)
        or _barred_by_kit(state, day)
        or _barred_by_clock(state.clocks, day)
    )
    if barred:
        return barred
    through, name = min(_ends(state))
    only_for = _only_for(state)
    restricted = (("restricted_to", only_for),) if only_for else ()
    code = "usable-restricted" if restricted else "usable"
    return Verdict(True, through, code, (("until", through.isoformat()), ("by", name), *restricted))


def _only_for(state: ItemState) -> str:
    """The uses to which the item is narrowed; a kit serves for no more than each of its parts."""
    every = (state.restricted_to, *(part.state.restricted_to for part in state.kit_parts))
    return "; ".join(dict.fromkeys(one for one in every if one))


def moves_clock(*, performed_by_authorised: bool, independent: bool, verdict: str) -> bool:
    """Whether an inspection counts: the right person, not judging their own work, and a pass."""
    return performed_by_authorised and independent and verdict in PASSES


def effect_of(verdict: str, *, authorised: bool) -> Effect:
    """What signing a verdict does to the item's condition: bad news takes effect from anyone."""
    if verdict == "fail":
        return "withdraw" if authorised else "quarantine"
    return "quarantine" if verdict in {"refer", "not-identified"} else "none"


def effect_at_first_tap(verdict: str) -> Effect:
    """What choosing a verdict does before it is signed: anything bad quarantines at once."""
    return "quarantine" if verdict in {"fail", "refer", "not-identified"} else "none"


def contradiction(verdict: str, defects: tuple[tuple[str, date | None], ...]) -> str | None:
    """Why the defects (class and day by which) forbid the verdict, as a code; None where they fit.

    The classes of LOLER 1998 reg 10: a danger now cannot pass, one to come must have its day.
    """
    if any(found == "B" and by is None for found, by in defects):
        return "defect-without-day"
    if verdict in PASSES and any(found == "A" for found, _ in defects):
        return "pass-with-danger"
    return None


def _barred(code: str, *facts: tuple[str, str]) -> Verdict:
    return Verdict(False, None, code, facts)


def _barred_by_condition(state: ItemState) -> Verdict | None:
    if state.condition == Condition.IN_SERVICE:
        return None
    code = _BARRED_BY_CONDITION[state.condition]
    if code == "quarantined":
        return _barred(code, ("reason", state.quarantine_reason))
    return _barred(code)


def _barred_by_custody(state: ItemState) -> Verdict | None:
    if state.custody in CUSTODY_NOT_USABLE or not state.custody:
        return _barred("custody", ("custody", state.custody))
    return _barred("issued-elsewhere") if state.issued_elsewhere else None


def _barred_by_doubt(state: ItemState) -> Verdict | None:
    if state.held_by:
        return _barred("held-by-notice", *state.held_by.facts)
    return _barred("identity-in-doubt") if state.identity_in_doubt else None


def _barred_by_kit(state: ItemState, day: date) -> Verdict | None:
    if state.kit_problem:
        return _barred("kit-problem", ("problem", state.kit_problem))
    for part in state.kit_parts:
        own = usable(part.state, day)
        if not own.usable:
            return _barred("kit-part", ("part", part.name), ("why", own.code), *own.facts)
    return None


def _ends(state: ItemState) -> list[tuple[date, str]]:
    """The last good day of the item and of each part, with the clock or the part it comes from."""
    first = governing(state.clocks)
    parts = [(min(_ends(part.state))[0], part.name) for part in state.kit_parts]
    return [(first.last_day or date.min, first.name), *parts]


def _barred_by_clock(found: tuple[Clock, ...], day: date) -> Verdict | None:
    if not found:
        return _barred("clock-unknown", ("clock", "detailed"), ("missing", "interval"))
    passed = [clock for clock in found if clock.last_day and clock.last_day < day]
    if passed:
        return _passed_clock([clock for clock in passed if clock.name in _FINAL] or passed)
    first = governing(found)
    if first.last_day is None:
        return _barred("clock-unknown", ("clock", first.name), ("missing", first.missing))
    return None


def _passed_clock(passed: list[Clock]) -> Verdict:
    first = governing(passed)
    last = first.last_day.isoformat() if first.last_day else ""
    return _barred("clock-passed", ("clock", first.name), ("last_day", last))
