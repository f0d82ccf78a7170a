"""Codes and facts of the register's rules become names and sentences for people."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.formats import date_format, get_format
from django.utils.translation import get_language, gettext_lazy, gettext_noop
from django.utils.translation import gettext as _

from register.rules.classes import CLASSES, USE_CLASSES
from register.rules.conditions import (
    CONDITIONS,
    CUSTODY_KINDS,
    QUARANTINE_REASONS,
    Condition,
    Facts,
)

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise as StrPromise

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


def named(choices: Iterable[tuple[str, str]]) -> list[tuple[str, StrPromise]]:
    """The choices of a field, each by a name that is translated where it is shown."""
    return [(slug, gettext_lazy(name)) for slug, name in choices]


def shown_day(day: date, form: str = "DAY") -> str:
    """The day as people write it: '9 Mar 2026'; ``form`` is one of ``register.conf.formats``.

    Where no language is active, as in a worker, it is that of the settings.
    """
    return date_format(day, get_format(form, _language()))


def _language() -> str:
    return get_language() or settings.LANGUAGE_CODE


def shown_moment(there: datetime) -> str:
    """A moment by the clock it is given in: '9 Mar 2026, 14:05'."""
    return shown_day(there, "MOMENT")


def shown_number(amount: float) -> str:
    """At most two decimals, and none that say nothing: '6.75', '40'."""
    separator = str(get_format("DECIMAL_SEPARATOR", _language()))
    return fixed_number(amount, 2).rstrip("0").rstrip(separator)


def fixed_number(amount: float, decimals: int) -> str:
    """Rounded to so many decimals, all of them shown: '6.50'."""
    return f"{amount:.{decimals}f}".replace(".", str(get_format("DECIMAL_SEPARATOR", _language())))


def month_name(month: int) -> str:
    """'Mar'."""
    return shown_day(date(2000, month, 1), "MONTH_ALONE")


def lower_first(name: str) -> str:
    """A name set in the middle of a sentence."""
    return name[:1].lower() + name[1:]


def short_name(name: str) -> str:
    """'Huw P.': what is shown of a person where the whole name is not needed."""
    first, _between, last = name.strip().rpartition(" ")
    return f"{first.split()[0]} {last[:1]}." if first else last


def discreet(sentence: str, shortened: Mapping[str, str]) -> str:
    """With first name and initial in the place of each whole name, the longest name first."""
    for name in sorted(shortened, key=len, reverse=True):
        short = shortened[name]
        if short.endswith("."):  # one full stop ends the sentence as well
            sentence = sentence.replace(f"{name}.", short)
        sentence = sentence.replace(name, short)
    return sentence


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
