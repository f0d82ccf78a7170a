"""The kinds of safety notice, the ways in which one ends for an item, and what each way ends."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.texts import gettext_noop

ACKNOWLEDGE_WITHIN_DAYS = 2  # then the holder is reminded; common practice, no source


@dataclass(frozen=True, slots=True)
class NoticeKind:
    """holds: nothing it means is used. deadline: 'needed', 'may' or 'none' for a last day of use."""

    slug: str
    name: str
    holds: bool
    deadline: str


_KINDS = (
    NoticeKind("stop-use", gettext_noop("Stop use"), True, "none"),
    NoticeKind("inspect-first", gettext_noop("Inspect before further use"), True, "may"),
    NoticeKind("use-until", gettext_noop("Use until a date"), False, "needed"),
    NoticeKind("information", gettext_noop("Information"), False, "none"),
)
NOTICE_KINDS: dict[str, NoticeKind] = {kind.slug: kind for kind in _KINDS}
NOTICE_KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in _KINDS)
HOLDING_KINDS: tuple[str, ...] = tuple(one.slug for one in _KINDS if one.holds)


@dataclass(frozen=True, slots=True)
class Outcome:
    """How a notice ended for one item.

    kinds: the notices it is for. needs_pass: a special inspection, passed since, is its evidence.
    lifts_hold, lifts_deadline: what it ends; a withdrawn item stays held should it ever come back.
    """

    slug: str
    name: str
    kinds: frozenset[str]
    needs_pass: bool = False
    lifts_hold: bool = False
    lifts_deadline: bool = False


_ALL = frozenset(NOTICE_KINDS)
_ACTED_ON = _ALL - {"information"}
_OUTCOMES = (
    Outcome(
        "special-passed",
        gettext_noop("Special inspection passed"),
        frozenset({"inspect-first"}),
        True,
        True,
    ),
    Outcome(
        "put-right", gettext_noop("Put right by the maker and passed"), _ACTED_ON, True, True, True
    ),
    Outcome("not-ours", gettext_noop("Not one of those meant"), _ALL, False, True, True),
    Outcome("withdrawn", gettext_noop("Withdrawn for good"), _ACTED_ON),
    Outcome("noted", gettext_noop("Read and noted"), frozenset({"information"})),
)
OUTCOMES: dict[str, Outcome] = {outcome.slug: outcome for outcome in _OUTCOMES}
OUTCOME_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in _OUTCOMES)


def outcomes_for(kind: str) -> tuple[Outcome, ...]:
    """The ways in which a notice of this kind can end for an item."""
    return tuple(one for one in _OUTCOMES if kind in one.kinds)


def deadline_problem(kind: str, *, given: bool) -> str:
    """'deadline-missing', 'deadline-not-for-this-kind' or ''."""
    wanted = NOTICE_KINDS[kind].deadline
    if wanted == "needed" and not given:
        return "deadline-missing"
    return "deadline-not-for-this-kind" if wanted == "none" and given else ""
