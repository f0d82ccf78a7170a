"""Every clock that runs on an item: its last good day, where it started and who says so."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from inspections.rules.item_facts import PASSES, InspectionFact, ItemFacts, has_passed
from inspections.rules.kinds import satisfies
from inspections.rules.schemes import (
    Interval,
    LastDayRule,
    Scheme,
    interval,
    last_day_rule,
    life_from_made,
    moved_lines,
)
from register.rules.classes import CLASSES
from register.rules.lifespan import add_months
from register.rules.texts import gettext_noop

# The inspections that run on a clock; only the periodic one is asked of every item.
_TIMED_KINDS = (
    *("detailed", "thorough-examination", "interim", "maker-service"),
    *("installation", "kit-check"),
)

INSPECTED_THERE = frozenset({"installation", "detailed", "thorough-examination"})

CLOCK_NAMES: dict[str, str] = {
    "detailed": gettext_noop("Periodic examination"),
    "thorough-examination": gettext_noop("Thorough examination"),
    "interim": gettext_noop("Interim inspection"),
    "maker-service": gettext_noop("Maker's service"),
    "installation": gettext_noop("Installation and proof test"),
    "kit-check": gettext_noop("Kit contents and seal check"),
    "inspector-date": gettext_noop("Date set by the inspector"),
    "defect": gettext_noop("Defect to be put right"),
    "life-from-made": gettext_noop("Life from manufacture"),
    "life-from-first-use": gettext_noop("Life from first use"),
    "storage": gettext_noop("Storage before first use"),
    "notice": gettext_noop("Safety notice"),
    "hire": gettext_noop("End of hire"),
}


@dataclass(frozen=True, slots=True)
class Clock:
    """One clock; last_day is itself a good day, and None means not usable until it is known.

    missing says what is not known: 'inspection', 'moved' (none since it was put up where it is),
    'made-date' or 'interval'.
    """

    name: str
    last_day: date | None
    start: date | None = None
    months: int | None = None
    source: str = ""
    missing: str = ""


def clocks(facts: ItemFacts, schemes: Sequence[Scheme]) -> tuple[Clock, ...]:
    """Every clock of the item, the ones not known first, then the earliest last day first.

    The order in which inspections were recorded makes no difference, nor does any stored due day:
    each clock is counted from the day an inspection was performed.
    """
    found = [
        *_inspection_clocks(facts, schemes),
        *_inspector_dates(facts.inspections),
        *_defect_clocks(facts.inspections),
        *_moved_clock(facts, schemes),
        *_life_clocks(facts, schemes),
        *_storage_clock(facts),
        *(Clock("notice", day, source="notice") for day in facts.notice_deadlines),
    ]
    if facts.hire_end_on:
        found.append(Clock("hire", facts.hire_end_on, source="hire"))
    return tuple(sorted(found, key=_urgency))


def governing(found: Iterable[Clock]) -> Clock:
    """The clock that ends first; one that is not known comes before every other."""
    return min(found, key=_urgency)


def last_day_after(performed_on: date, months: int, rule: LastDayRule) -> date:
    """The last good day after an inspection; see schemes.Scheme for the two rules."""
    due = add_months(performed_on, months)
    return due - timedelta(days=1) if rule == "day-before" else due


def if_passed(
    facts: ItemFacts,
    schemes: Sequence[Scheme],
    *,
    kind: str,
    on: date,
    covers_periodic: bool = False,
) -> Clock:
    """The clock that would govern if the item passed an inspection of the kind on that day."""
    passed = InspectionFact(
        kind=kind, performed_on=on, verdict="pass", counts=True, covers_periodic=covers_periodic
    )
    then = replace(facts, inspections=(*facts.inspections, passed))
    return governing(clocks(then, schemes))


def _urgency(clock: Clock) -> tuple[bool, date, str, date, str]:
    last = clock.last_day or date.min
    return clock.last_day is not None, last, clock.name, clock.start or date.min, clock.source


def _inspection_clocks(facts: ItemFacts, schemes: Sequence[Scheme]) -> list[Clock]:
    rule = last_day_rule(schemes)
    found = []
    for kind in _TIMED_KINDS:
        shortest = interval(
            schemes, facts.class_slug, facts.use_class, kind, own=_own_intervals(facts, kind)
        )
        if shortest:
            found.append(_inspection_clock(facts, kind, shortest, rule))
        elif kind == "detailed":
            found.append(Clock(kind, None, missing="interval"))
    return found


def _own_intervals(facts: ItemFacts, kind: str) -> list[Interval]:
    stated = {
        "detailed": (
            (facts.periodic_months, gettext_noop("maker")),
            (facts.own_months, gettext_noop("employer")),
        ),
        "maker-service": ((facts.service_months, gettext_noop("maker")),),
        "installation": ((facts.proof_test_months, gettext_noop("base material")),),
    }.get(kind, ())
    return [Interval(months, source, "stated") for months, source in stated if months]


def _inspection_clock(facts: ItemFacts, kind: str, allowed: Interval, rule: LastDayRule) -> Clock:
    start = _last_pass_on(facts.inspections, kind) or _fresh_since(facts)
    if start is None:
        return Clock(kind, None, None, allowed.months, allowed.source, "inspection")
    last = last_day_after(start, allowed.months, rule)
    return Clock(kind, last, start, allowed.months, allowed.source)


def _last_pass_on(inspections: Iterable[InspectionFact], kind: str) -> date | None:
    return max((one.performed_on for one in inspections if has_passed(one, kind)), default=None)


def _fresh_since(facts: ItemFacts) -> date | None:
    """The day new equipment's clocks start: its acceptance, or first use where that was earlier.

    The earlier day is the safe one: stock that waits on a shelf is examined in time too. Nothing
    starts without an acceptance on record, and an installed item starts with its installation.
    """
    if CLASSES[facts.class_slug].installed:
        return None
    accepted = [one.performed_on for one in facts.inspections if has_passed(one, "acceptance")]
    if facts.accepted_on:
        accepted.append(facts.accepted_on)
    if not accepted:
        return None
    return min(accepted + ([facts.first_used_on] if facts.first_used_on else []))


def _inspector_dates(inspections: Sequence[InspectionFact]) -> list[Clock]:
    """Last days written by an inspector, each until a later pass stands in for that inspection."""
    return [
        Clock("inspector-date", one.valid_until_on, one.performed_on, source=one.kind)
        for one in inspections
        if one.valid_until_on
        and has_passed(one, one.kind)
        and not _passed_since(inspections, one.performed_on, _stands_in_for(one))
    ]


def restrictions(inspections: Sequence[InspectionFact]) -> tuple[str, ...]:
    """The uses to which passes have narrowed the item, oldest first, each until a later pass stands
    in for that inspection: a look at the seal does not lift what an examination has said.

    Anyone's word narrows; only a pass that counts widens again.
    """
    found = [
        one
        for one in sorted(inspections, key=lambda one: (one.performed_on, one.restricted_to))
        if one.restricted_to
        and one.verdict in PASSES
        and not _passed_since(inspections, one.performed_on, _stands_in_for(one))
    ]
    return tuple(dict.fromkeys(one.restricted_to for one in found))


def _stands_in_for(one: InspectionFact) -> str:
    periodic = satisfies(one.kind, "detailed", covers_periodic=one.covers_periodic)
    return "detailed" if periodic and one.kind != "thorough-examination" else one.kind


def _defect_clocks(inspections: Sequence[InspectionFact]) -> list[Clock]:
    """Days by which a defect could become a danger; anyone's word counts.

    Only a later pass of detailed strength ends one: bad news needs no authority, good news does.
    """
    return [
        Clock("defect", day, one.performed_on, source=one.kind)
        for one in inspections
        for day in one.danger_by
        if not _passed_since(inspections, one.performed_on, "detailed")
        and not _passed_since(inspections, one.performed_on, "thorough-examination")
    ]


def _passed_since(inspections: Iterable[InspectionFact], day: date, kind: str) -> bool:
    return any(has_passed(one, kind) and one.performed_on > day for one in inspections)


def _moved_clock(facts: ItemFacts, schemes: Sequence[Scheme]) -> list[Clock]:
    """Put up anew, it is inspected there before use, whatever was found where it hung before."""
    if facts.fixed_on is None or not CLASSES[facts.class_slug].installed:
        return []
    found = [one for one in facts.inspections if one.performed_on >= facts.fixed_on]
    lines = moved_lines(schemes, facts.class_slug)
    wanted = [(line.kinds, line.source) for line in lines] or [(INSPECTED_THERE, "")]
    return [
        Clock("installation", None, facts.fixed_on, source=source, missing="moved")
        for kinds, source in wanted
        if not any(has_passed(one, one.kind) and one.kind in kinds for one in found)
    ]


def _life_clocks(facts: ItemFacts, schemes: Sequence[Scheme]) -> list[Clock]:
    used = facts.first_used_on or facts.made_on
    stated = facts.life_from_made_months
    own = [Interval(stated, gettext_noop("maker"), "stated")] if stated else []
    made = life_from_made(schemes, facts.class_slug, own=own)
    in_use = facts.life_from_first_use_months
    found = [_life_clock("life-from-made", facts.made_on, made.months, made.source)] if made else []
    return found + ([_life_clock("life-from-first-use", used, in_use)] if in_use else [])


def _storage_clock(facts: ItemFacts) -> list[Clock]:
    """Storage life stays on an item that was put into use too late, and goes when in time."""
    if not facts.storage_months:
        return []
    clock = _life_clock("storage", facts.made_on, facts.storage_months)
    used_in_time = clock.last_day and facts.first_used_on and facts.first_used_on <= clock.last_day
    return [] if used_in_time else [clock]


def _life_clock(
    name: str, start: date | None, months: int, source: str = gettext_noop("maker")
) -> Clock:
    if start is None:
        return Clock(name, None, None, months, source, "made-date")
    return Clock(name, add_months(start, months), start, months, source)
