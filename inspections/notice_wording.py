"""What a safety notice does to an item, and why it cannot be entered as it stands, in sentences."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.rules.notice_kinds import NOTICE_KINDS, OUTCOMES
from inspections.rules.notice_match import CERTAINTIES, Doubt, Rule
from register.rules.lifespan import PRECISIONS
from register.wording import lower_first, shown_day

_DOUBTS = {
    "serial-missing": gettext_noop("no serial on record"),
    "serial-unlike": gettext_noop(
        "serial %(detail)s is written to another pattern than those of the notice, or misread"
    ),
    "batch-unlike": gettext_noop("batch %(detail)s may be misread: compare letters and digits"),
    "batch-missing": gettext_noop("batch not recorded"),
    "made-missing": gettext_noop("made date not known"),
    "made-rough": gettext_noop("made date known only %(detail)s"),
    "sold-missing": gettext_noop("day of purchase not recorded"),
}

_HELD = {
    "stop-use": gettext_noop("held by safety notice %(notice)s, stop use"),
    "inspect-first": gettext_noop(
        "held by safety notice %(notice)s until it passes the special inspection"
    ),
}

_WRONG = {
    "empty": gettext_noop("“%(line)s” names no serial: use letters or digits."),
    "too-long": gettext_noop("“%(line)s…” is too long for a serial: give each range its own line."),
    "several": gettext_noop(
        "“%(line)s” holds more than one serial: write one a line, or a range such as A0990 to A1010."
    ),
    "unlike": gettext_noop(
        "“%(line)s”: its two ends are written to different patterns and cannot be compared. Write"
        " both as they stand on the label, or give a line for each pattern."
    ),
    "reversed": gettext_noop(
        "“%(line)s” ends before it begins. Write the lower serial first, or correct a misprint."
    ),
    "days-reversed": gettext_noop(
        "The days of %(line)s end before they begin. Give the earlier day first."
    ),
    "rule-empty": gettext_noop(
        "Nothing says which pieces are meant, so every item in the register would be held. Choose a"
        " product, or give serials, batches or days."
    ),
    "before-received": gettext_noop(
        "The last day of use comes before the day the notice was received. Check both; what may"
        " no longer be used at all is a “stop use” notice."
    ),
    "in-the-future": gettext_noop("The day it was received lies in the future."),
    "deadline-missing": gettext_noop(
        "“Use until a date” needs that date: give the last day of use."
    ),
    "deadline-not-for-this-kind": gettext_noop(
        "A last day of use does not go with “%(line)s”. Leave it empty, or choose another kind."
    ),
    "reference-known": gettext_noop(
        "Notice %(line)s is entered already. Open it in the list and revise it there."
    ),
    "reference-empty": gettext_noop("The issuer and the reference need letters or digits."),
}


def doubt_words(doubts: Iterable[Doubt]) -> str:
    """'made date known only to the year; batch not recorded'."""
    return "; ".join(_doubt(code, detail) for code, detail in doubts)


def _doubt(code: str, detail: str) -> str:
    if code == "made-rough":
        detail = lower_first(_(PRECISIONS[detail]))
    return _(_DOUBTS[code]) % {"detail": detail}


def held_words(facts: Mapping[str, str]) -> str:
    """Why an item is held, in small letters: the notice, how certainly, and what to do."""
    held = _(_HELD[facts["kind"]]) % {"notice": facts["notice"]}
    if facts["certainty"] == "certain":
        return held
    if not facts["doubt"]:
        return _("%(held)s (it may be one of those meant)") % {"held": held}
    words = {"held": held, "doubt": _doubt(facts["doubt"], facts["detail"])}
    return _("%(held)s (it may be one of those meant: %(doubt)s; read the label)") % words


def notice_problem(code: str, line: str = "") -> str:
    """Why a notice cannot be entered as it stands, and what to do."""
    return _(_WRONG[code]) % {"line": line}


def notice_kind_name(slug: str) -> str:
    return _(NOTICE_KINDS[slug].name)


def outcome_name(slug: str) -> str:
    return _(OUTCOMES[slug].name)


def certainty_name(slug: str) -> str:
    return _(CERTAINTIES[slug])


def rule_lines(rule: Rule) -> list[tuple[str, str]]:
    """What the notice says of the pieces it means, part by part."""
    products = [f"{one.maker} {one.model or _('(every model)')}" for one in rule.products]
    parts = (
        (_("Products"), ", ".join(products) or _("every product")),
        (_("Serials"), ", ".join(map(str, rule.serials))),
        (_("Batches"), ", ".join(sorted(rule.batches))),
        (_("Made"), days_words(rule.made_from_on, rule.made_through_on)),
        (_("Sold to us"), days_words(rule.sold_from_on, rule.sold_through_on)),
    )
    return [part for part in parts if part[1]]


def days_words(first: date | None, last: date | None) -> str:
    """'1 Jan 2023 to 31 Aug 2023', 'from 1 Jan 2023', 'until 31 Aug 2023' or ''."""
    if first and last:
        return _("%(first)s to %(last)s") % {"first": shown_day(first), "last": shown_day(last)}
    if first:
        return _("from %(day)s") % {"day": shown_day(first)}
    return _("until %(day)s") % {"day": shown_day(last)} if last else ""
