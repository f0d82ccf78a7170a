"""What a line of a signed round may become, how lines are counted, and what its signature does.

No database and no clock, so that a phone that keeps a round without a connection is held to the same
cases. A line is 'expected' until somebody has the item in the hand; nothing but an act of that person
moves it, and the signature never turns 'expected' into 'seen'.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from inspections.rules.kinds import KINDS
from register.rules.texts import gettext_noop

EXPECTED = "expected"
SEEN = "seen"
OUT = "out"
NOT_PRESENTED = "not-presented"
UNKNOWN = "unknown"
ELSEWHERE = "elsewhere"

LINE_STATES: dict[str, str] = {
    EXPECTED: gettext_noop("Not seen yet"),
    SEEN: gettext_noop("Looked at"),
    OUT: gettext_noop("Out of use"),
    NOT_PRESENTED: gettext_noop("Not presented"),
    UNKNOWN: gettext_noop("Not on the register"),
    ELSEWHERE: gettext_noop("Belongs to another site"),
}
LINE_STATE_CHOICES: tuple[tuple[str, str], ...] = tuple(LINE_STATES.items())

_BECOMES = {
    "pass": SEEN,
    "pass-with-conditions": SEEN,
    "fail": OUT,
    "refer": OUT,
    "not-identified": OUT,
    "not-presented": NOT_PRESENTED,
    "not-accessible": NOT_PRESENTED,
}
_IN_HAND = frozenset({SEEN, OUT})
_WORST_FIRST = (OUT, SEEN, NOT_PRESENTED, EXPECTED, UNKNOWN, ELSEWHERE)

UNSIGNED = "unsigned"
DROPPED = "round-dropped"
MAY_STAY_UNSIGNED = timedelta(hours=24)


def state_after(verdict: str) -> str:
    """What a line is once this verdict is given on it."""
    return _BECOMES[verdict]


def takes(state: str, verdict: str) -> bool:
    """Whether a line in this state takes the verdict; else the look gets a line of its own.

    What was not there may still turn up. What was in the hand once stays told as it was: a second
    look stands beside the first.
    """
    return verdict in _BECOMES and state in (EXPECTED, NOT_PRESENTED)


def contradicts(states: Iterable[str], verdict: str) -> bool:
    """Whether 'not there' is said of an item that was in the hand in this very round."""
    return _BECOMES.get(verdict) == NOT_PRESENTED and bool(_IN_HAND & set(states))


def at_signing(state: str) -> str:
    """What the signature makes of a line: 'on the list' becomes 'not presented', never 'seen'."""
    return NOT_PRESENTED if state == EXPECTED else state


def a_pass_mends(code: str, clock: str) -> bool:
    """Whether what keeps an item out is only that an inspection was due: a pass, once signed, ends it.

    An ended life, a quarantine, a notice or a missing part are not mended by looking.
    """
    return code in ("clock-passed", "clock-unknown") and clock in KINDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line as it is counted. ``key`` is the item, or the text where no item is known."""

    key: str
    state: str
    listed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """Each item once. ``done`` is of the ``listed``; ``out`` counts those beside the list as well."""

    listed: int
    done: int
    out: int
    not_seen: int
    not_presented: int
    besides: int
    unknown: int
    elsewhere: int

    @property
    def in_hand(self) -> int:
        """How many items were looked at, on the list or not."""
        return self.done + self.besides


def tally(lines: Iterable[Line]) -> Tally:
    """The counts of a round, whatever the order of its lines.

    An item with several lines counts once, by the worst: no second look makes what is out good.
    """
    states: dict[str, set[str]] = {}
    listed = set()
    for line in lines:
        states.setdefault(line.key, set()).add(line.state)
        if line.listed:
            listed.add(line.key)
    worst = {key: next(s for s in _WORST_FIRST if s in found) for key, found in states.items()}
    on_list = [state for key, state in worst.items() if key in listed]
    return Tally(
        listed=len(listed),
        done=sum(state in _IN_HAND for state in on_list),
        out=sum(state == OUT for state in worst.values()),
        not_seen=on_list.count(EXPECTED),
        not_presented=sum(state == NOT_PRESENTED for state in worst.values()),
        besides=sum(s in _IN_HAND for key, s in worst.items() if key not in listed),
        unknown=sum(UNKNOWN in found for found in states.values()),
        elsewhere=sum(ELSEWHERE in found for found in states.values()),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """What decides whether a round can be signed.

    ``own``: whoever signs is its inspector. ``unwritten``: how many are out by a first tap whose
    defect is not written down yet.
    """

    is_open: bool
    own: bool
    told: int
    unwritten: int
    stated: bool


def why_not_signed(ready: Ready) -> str | None:
    """Why the round cannot be signed, as a code; None where it can."""
    checks = (
        ("round-closed", not ready.is_open),
        ("round-of-another", not ready.own),
        ("nothing-done", not ready.told),
        ("words-missing", bool(ready.unwritten)),
        ("not-stated", not ready.stated),
    )
    return next((code for code, holds in checks if holds), None)


def is_overdue_for_signing(began_at: datetime, moment: datetime) -> bool:
    """Whether an open round has stayed unsigned for longer than a day (common practice, no source)."""
    return moment - began_at > MAY_STAY_UNSIGNED


def with_look(lines: tuple[Line, ...], key: str, verdict: str) -> tuple[Line, ...] | None:
    """The lines after one more look; None where the verdict contradicts what was in the hand."""
    mine = [line for line in lines if line.key == key]
    if contradicts((line.state for line in mine), verdict):
        return None
    taking = next((line for line in mine if takes(line.state, verdict)), None)
    if taking is None:
        return (*lines, Line(key=key, state=state_after(verdict)))
    place = lines.index(taking)
    looked = Line(key=key, state=state_after(verdict), listed=taking.listed)
    return (*lines[:place], looked, *lines[place + 1 :])
