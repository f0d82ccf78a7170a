"""Verdicts, clocks and kinds become names and the one sentence that is shown on site."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.notice_wording import held_words
from inspections.rules.clocks import CLOCK_NAMES, Clock
from inspections.rules.item_facts import PASSES
from inspections.rules.kinds import KINDS
from inspections.rules.verdict import DEFECT_CLASSES, VERDICTS, Verdict
from register.rules.conditions import Facts
from register.wording import (
    class_name,
    custody_name,
    lower_first,
    quarantine_reason,
    shown_day,
)

# Why not, without the words 'do not use' before it.
_REASONS = {
    "destroyed": gettext_noop("destroyed according to the register; check the mark"),
    "withdrawn": gettext_noop("withdrawn for good"),
    "not-located": gettext_noop("recorded as not located; report that it was found"),
    "away": gettext_noop("away for service and not yet back through quarantine"),
    "left": gettext_noop("no longer ours; receive and accept it before use"),
    "not-accepted": gettext_noop("received but not yet accepted into service"),
    "not-registered": gettext_noop("not in the register"),
    "issued-elsewhere": gettext_noop(
        "issued elsewhere at the same time; find out which one this is"
    ),
    "identity-in-doubt": gettext_noop("identity in doubt"),
}

_PASSED = {
    "inspector-date": gettext_noop("the inspector passed it only until %(day)s"),
    "defect": gettext_noop("a defect had to be put right by %(day)s"),
    "life-from-made": gettext_noop("its life from manufacture ended on %(day)s"),
    "life-from-first-use": gettext_noop("its life from first use ended on %(day)s"),
    "storage": gettext_noop("its time in storage before first use ended on %(day)s"),
    "notice": gettext_noop("a safety notice allows its use only until %(day)s"),
    "hire": gettext_noop("its hire ended on %(day)s"),
}
_PASSED_INSPECTION = gettext_noop("%(name)s was due by %(day)s")

_MISSING = {
    "inspection": gettext_noop("no %(name)s that counts is on record"),
    "moved": gettext_noop("it was put up where it is and not inspected there since"),
    "made-date": gettext_noop(
        "%(name)s cannot be worked out: the date of manufacture is not known"
    ),
    "interval": gettext_noop("no interval for %(name)s is set for this equipment"),
}

_KIT_PROBLEMS = {
    "seal-broken": gettext_noop("the seal is broken"),
    "seal-missing": gettext_noop("the seal is missing"),
    "seal-unlike-record": gettext_noop("the seal number is not the one on record"),
    "part-missing": gettext_noop("a required part is missing"),
}

_CONTRADICTIONS = {
    "pass-with-danger": gettext_noop(
        "A defect is marked as a danger now, so the item cannot pass. Fail it, refer it, or correct "
        "the class of the defect."
    ),
    "defect-without-day": gettext_noop(
        "A defect is marked as one that could become a danger. Give the day by which it could."
    ),
}

_NOT_COUNTING = {
    "no-inspector": gettext_noop("your login is linked to no person in the register"),
    "kind-moves-nothing": gettext_noop("this kind of look moves no date, whoever does it"),
    "not-authorised": gettext_noop("you are not authorised for this class and kind today"),
    "holds-the-item": gettext_noop(
        "the item is or was last on issue to you, and nobody passes their own"
    ),
}

# The same, for whoever reads the record.
_NOT_MOVING = {
    "no-inspector": gettext_noop("it is not on record who inspected it"),
    "kind-moves-nothing": gettext_noop("this kind of look moves no date, whoever does it"),
    "unsigned": gettext_noop("it waits for the signature of its round"),
    "round-dropped": gettext_noop("its round was never signed"),
    "not-in-service": gettext_noop("the workbook did not have it in service"),
    "not-authorised": gettext_noop(
        "the inspector was not authorised for this class and kind on that day"
    ),
    "holds-the-item": gettext_noop(
        "the item was or had last been on issue to the inspector, and nobody passes their own"
    ),
}

# What to do with an item in the hand that is not to be used, by the code of the verdict.
_DO = {
    "not-located": gettext_noop("Hand it to the stores and say where you found it."),
    "destroyed": gettext_noop("Hand it to the stores: it should not exist any more."),
    "left": gettext_noop("Hand it to the stores: it is not on loan to anybody here."),
    "held-by-notice": gettext_noop(
        "Keep it apart and give it to the stores: they read its label and settle the notice."
    ),
    "not-accepted": gettext_noop("Leave it with the stores until they have accepted it."),
}
_DO_OTHERWISE = gettext_noop(
    "Mark it so that nobody takes it by mistake, and give it to the stores."
)


def would_not_count_sentence(code: str, kind: str, equipment_class: str) -> str:
    """Told before a pass that would be kept and move no clock."""
    if code == "not-authorised":
        facts = {
            "kind": lower_first(kind_name(kind)),
            "name": lower_first(class_name(equipment_class)),
        }
        return (
            _(
                "You are not authorised for %(name)s (%(kind)s) today: your pass would be kept but not"
                " count. A fail takes it out all the same."
            )
            % facts
        )
    return _("Your pass would be kept but not count: %(why)s.") % {"why": _(_NOT_COUNTING[code])}


def not_counted_sentence(code: str) -> str:
    """Told after a pass that was kept and moved no clock."""
    if code == "unsigned":
        return _("passed, waits for the signature of the round")
    if code == "round-dropped":
        return _("passed, but it does not count: the round was never signed")
    return _("kept, but it does not count: %(why)s") % {"why": _(_NOT_COUNTING[code])}


def why_it_moves_no_date(verdict: str, not_because: str) -> str:
    """'' for a pass that counts; else why no date moved, for whoever reads the record."""
    if not_because:
        return _(_NOT_MOVING[not_because])
    return "" if verdict in PASSES else _("only a pass moves dates")


def pace_sentence(median: int, quick: int) -> str:
    """'Middle time of a pass: 2 min 40 s; 4 took under 20 s.'"""
    minutes, seconds = divmod(median, 60)
    took = _("%(minutes)d min %(seconds)d s") if minutes else _("%(seconds)d s")
    facts = {"took": took % {"minutes": minutes, "seconds": seconds}, "quick": quick}
    if not quick:
        return _("Middle time of a pass: %(took)s.") % facts
    return _("Middle time of a pass: %(took)s; %(quick)d took under 20 s.") % facts


def what_to_do(code: str) -> str:
    """What somebody with the item in the hand does, by the code of the verdict."""
    return _(_DO.get(code, _DO_OTHERWISE))


def verdict_sentence(verdict: Verdict) -> str:
    """'OK to use until 14 Aug 2026', or 'DO NOT USE: ' and the one reason."""
    if not verdict.usable or verdict.through is None:
        return _("DO NOT USE: %(reason)s") % {"reason": reason(verdict.code, verdict.facts)}
    day = shown_day(verdict.through)
    if verdict.code == "usable-restricted":
        use = dict(verdict.facts)["restricted_to"]
        return _("OK to use for %(use)s only, until %(day)s") % {"use": use, "day": day}
    return _("OK to use until %(day)s") % {"day": day}


def reason(code: str, facts: Facts) -> str:
    """Why an item cannot be used, in small letters, to stand after a colon."""
    known = dict(facts)
    if code in _REASONS:
        return _(_REASONS[code])
    if code == "kit-part":
        (_part, name), (_why, inner), *rest = facts
        return _("%(part)s in this kit: %(why)s") % {
            "part": name,
            "why": reason(inner, tuple(rest)),
        }
    return {
        "quarantined": _quarantined,
        "custody": _in_custody,
        "held-by-notice": held_words,
        "kit-problem": _kit_problem,
        "clock-passed": _clock_passed,
        "clock-unknown": _clock_unknown,
    }[code](known)


def clock_name(slug: str) -> str:
    """'Periodic examination', 'Life from manufacture' ..."""
    return _(CLOCK_NAMES[slug])


def kind_name(slug: str) -> str:
    """'Thorough examination', 'Pre-use check' ..."""
    return _(KINDS[slug].name)


def verdict_name(slug: str) -> str:
    """'Pass', 'Not presented' ..."""
    return _(VERDICTS[slug])


def defect_class_name(slug: str) -> str:
    """'Is a danger now' for A, and so on."""
    return _(DEFECT_CLASSES[slug])


def contradiction_sentence(code: str) -> str:
    """Why a verdict cannot be signed with these defects, and what to do."""
    return _(_CONTRADICTIONS[code])


def clock_sentence(clock: Clock) -> str:
    """'Periodic examination: until 14 Aug 2026 (6 months from 14 Feb 2026)'."""
    name = clock_name(clock.name)
    if clock.last_day is None:
        facts = {"clock": clock.name, "missing": clock.missing}
        return _("%(name)s: not known: %(why)s") % {"name": name, "why": _clock_unknown(facts)}
    until = _("%(name)s: until %(day)s") % {"name": name, "day": shown_day(clock.last_day)}
    if clock.months is None or clock.start is None:
        return until
    length = ngettext("%(n)d month", "%(n)d months", clock.months) % {"n": clock.months}
    run = _("%(length)s from %(day)s") % {"length": length, "day": shown_day(clock.start)}
    return f"{until} ({run})"


def _quarantined(facts: dict[str, str]) -> str:
    why = lower_first(quarantine_reason(facts["reason"]))
    return _("in quarantine: %(why)s") % {"why": why}


def _in_custody(facts: dict[str, str]) -> str:
    return lower_first(custody_name(facts["custody"]))


def _kit_problem(facts: dict[str, str]) -> str:
    return _(_KIT_PROBLEMS[facts["problem"]])


def _clock_passed(facts: dict[str, str]) -> str:
    words = _(_PASSED.get(facts["clock"], _PASSED_INSPECTION))
    day = shown_day(date.fromisoformat(facts["last_day"]))
    return words % {"name": lower_first(clock_name(facts["clock"])), "day": day}


def _clock_unknown(facts: dict[str, str]) -> str:
    return _(_MISSING[facts["missing"]]) % {"name": lower_first(clock_name(facts["clock"]))}


def examine_first_sentence(item: str, kinds: frozenset[str], source: str) -> str:
    """What has to come before first use, and who says so."""
    facts = {"item": item, "kinds": either_kind(kinds), "source": source}
    return _("%(item)s: before first use it has to pass: %(kinds)s. %(source)s.") % facts


def no_pass_since_sentence(item: str, kinds: frozenset[str], source: str) -> str:
    """What has to be passed before a quarantine ends, and where a text asks for it, which."""
    facts = {"item": item, "kinds": either_kind(kinds), "source": source}
    if source:
        return _("%(item)s stays in quarantine until it passes: %(kinds)s. %(source)s.") % facts
    return _("%(item)s stays in quarantine until it passes one of: %(kinds)s.") % facts


def either_kind(kinds: frozenset[str]) -> str:
    """'Thorough examination' or 'Periodic examination or Thorough examination'."""
    return _(" or ").join(kind_name(slug) for slug in KINDS if slug in kinds)
