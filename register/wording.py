"""Codes and facts of the register's rules become names and sentences for people."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from register.rules.classes import CLASSES, USE_CLASSES
from register.rules.conditions import (
    CONDITIONS,
    CUSTODY_KINDS,
    QUARANTINE_REASONS,
    Condition,
    Facts,
)

_MONTHS = (
    gettext_noop("Jan"),
    gettext_noop("Feb"),
    gettext_noop("Mar"),
    gettext_noop("Apr"),
    gettext_noop("May"),
    gettext_noop("Jun"),
    gettext_noop("Jul"),
    gettext_noop("Aug"),
    gettext_noop("Sep"),
    gettext_noop("Oct"),
    gettext_noop("Nov"),
    gettext_noop("Dec"),
)

_EVIDENCE = {
    "condition-told": gettext_noop("the owner told of its condition"),
    "declaration": gettext_noop("the declaration of conformity on file"),
    "delivery-reference": gettext_noop("the delivery reference"),
    "dispatch-reference": gettext_noop("the dispatch reference"),
    "instructions": gettext_noop("the maker's instructions present"),
    "label-checked": gettext_noop("the label checked against the packing note"),
    "last-custodian": gettext_noop("the last known custodian"),
    "last-inspection": gettext_noop("evidence of the last inspection"),
    "last-inspection-travels": gettext_noop("a copy of the last inspection to go with it"),
    "made-date": gettext_noop("the date of manufacture"),
    "method": gettext_noop("how it is destroyed"),
    "owner": gettext_noop("the owner"),
    "pass-after-quarantine": gettext_noop("a pass from an inspection made after the quarantine"),
    "photographs": gettext_noop("photographs before and after, with the label"),
    "product": gettext_noop("the product"),
    "quarantine-reason": gettext_noop("the reason for quarantine"),
    "reason": gettext_noop("the reason"),
    "recipient": gettext_noop("who receives it"),
    "rejection-note": gettext_noop("why the delivery is rejected"),
    "search-note": gettext_noop("where it was searched for"),
    "serial": gettext_noop("the maker's serial as marked"),
    "service-certificate": gettext_noop("the service certificate, or 'returned unrepaired'"),
    "two-people": gettext_noop("a competent person and a manager, who both agree"),
    "where-found": gettext_noop("where and when it was found"),
    "withdrawal-ground": gettext_noop("a failed inspection, the end of life or an event"),
    "witness": gettext_noop("a witness who is not the one who destroys it"),
    "written-reason": gettext_noop("the reason in writing"),
}

_REFUSALS = {
    "condition-unchanged": gettext_noop("%(item)s is already in this condition: %(from_name)s."),
    "destroyed-for-ever": gettext_noop(
        "%(item)s was destroyed%(since)s. Nothing about it can change; if another item carries this "
        "mark, quarantine that item as 'identity in doubt' and tell a manager."
    ),
    "withdrawn-stays-withdrawn": gettext_noop(
        "%(item)s was withdrawn%(since)s; a withdrawn item never returns to service. Destroy it, or "
        "if it was withdrawn in error a competent person and a manager can together quarantine it."
    ),
    "left-withdrawn": gettext_noop(
        "%(item)s was withdrawn when it left%(since)s; a withdrawn item never returns to service. "
        "Refuse the delivery and tell the owner."
    ),
    "quarantine-first": gettext_noop(
        "%(item)s cannot go straight back into service (%(from_name)s). Take it into quarantine; "
        "a competent person can release it after an inspection."
    ),
    "receive-first": gettext_noop(
        "%(item)s cannot go into service (%(from_name)s). Receive it first, then accept it."
    ),
    "withdraw-first": gettext_noop(
        "%(item)s cannot be destroyed yet (%(from_name)s). Withdraw it first."
    ),
    "change-not-allowed": gettext_noop(
        "%(item)s cannot change from '%(from_name)s' to '%(to_name)s'. Look at its history for what "
        "it can change to."
    ),
}


def shown_day(day: date) -> str:
    """The day as people write it: '9 Mar 2026'."""
    return f"{day.day} {_(_MONTHS[day.month - 1])} {day.year}"


def month_name(month: int) -> str:
    """'Mar'."""
    return _(_MONTHS[month - 1])


def lower_first(name: str) -> str:
    """A name set in the middle of a sentence."""
    return name[:1].lower() + name[1:]


def condition_name(condition: str) -> str:
    """'In service', 'Withdrawn for good' ..."""
    known = Condition(condition)
    return _(CONDITIONS[known]) if known else _("Not in the register")


def quarantine_reason(slug: str) -> str:
    """'Arrested a fall', 'Label unreadable' ...; a reason not known is said to be so."""
    return _(QUARANTINE_REASONS[slug]) if slug in QUARANTINE_REASONS else _("Reason not recorded")


def custody_name(slug: str) -> str:
    """'In stores', 'In transit' ...; a custody not known is said to be so."""
    return _(CUSTODY_KINDS[slug]) if slug in CUSTODY_KINDS else _("Whereabouts not recorded")


def class_name(slug: str) -> str:
    """'Harness', 'Low-stretch rope' ..."""
    return _(CLASSES[slug].name)


def use_class_name(slug: str) -> str:
    """'Normal use', 'Arduous use' ..."""
    return _(USE_CLASSES[slug])


def evidence_needed(evidence: tuple[str, ...]) -> str:
    """What a change needs, in one line."""
    return ", ".join(_(_EVIDENCE[slug]) for slug in evidence)


def refusal_sentence(
    code: str, facts: Facts, *, item: str = "", since_on: date | None = None
) -> str:
    """The sentence for a refused change of condition.

    item is its mark as shown; since_on is the day it came into the condition it is in.
    """
    known = dict(facts)
    return _(_REFUSALS[code]) % {
        "item": item or _("This item"),
        "since": _(" on %(day)s") % {"day": shown_day(since_on)} if since_on else "",
        "from_name": _condition_in(known, "from"),
        "to_name": _condition_in(known, "to"),
    }


def _condition_in(facts: Mapping[str, str], key: str) -> str:
    return lower_first(condition_name(facts[key])) if key in facts else ""
