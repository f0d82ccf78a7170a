"""What the schemes ask for, line by line, in words: for the page of the regime and the records."""

from __future__ import annotations

from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from inspections.rules.kinds import KINDS
from inspections.rules.occasions import EVENTS, PARTICULARS, RECORDS, UNTIL
from inspections.rules.schemes import BeforeUse, Retention, Scheme
from inspections.wording import either_kind, kind_name
from register.rules.classes import CLASSES, USE_CLASSES
from register.wording import class_name, lower_first, use_class_name

Row = dict[str, str]
Section = tuple[str, list[str], list[list[tuple[str, str]]]]

_STATUS = {
    "read": gettext_noop("read"),
    "read-2": gettext_noop("read second-hand"),
    "from memory, to be verified": gettext_noop("from memory, to be verified"),
    "common practice, no source": gettext_noop("common practice, no source"),
    "policy": gettext_noop("the employer’s own"),
}


class Sourced(Protocol):
    """Any line of a scheme: who says so, and how far that was checked."""

    @property
    def source(self) -> str: ...
    @property
    def status(self) -> str: ...


def own_interval_words(key: str, months: int) -> str:
    """'Harness, arduous use: 2 months' for 'harness/arduous'."""
    kind, _slash, use = key.partition("/")
    words = {
        "kind": class_name(kind) if kind != "*" else _("Every class"),
        "use": lower_first(use_class_name(use)) if use != "*" else _("all conditions of use"),
        "months": months_words(months),
    }
    return _("%(kind)s, %(use)s: %(months)s") % words


def months_words(months: int) -> str:
    return ngettext("%(n)d month", "%(n)d months", months) % {"n": months}


def classes_words(slugs: frozenset[str]) -> str:
    """The classes by name, or those left out where these are fewer."""
    named = [class_name(slug) for slug in CLASSES if slug in slugs]
    left_out = [lower_first(class_name(slug)) for slug in CLASSES if slug not in slugs]
    if not left_out:
        return _("Every class")
    if len(named) <= len(left_out):
        return ", ".join(named)
    return _("Every class but %(left_out)s") % {"left_out": ", ".join(left_out)}


def retention_words(line: Retention) -> str:
    """'Until the next is recorded, and at least 24 months'."""
    until = _(UNTIL[line.until])
    if line.months is None:
        return until
    months = months_words(line.months)
    if line.until == "months":
        return _("%(months)s %(until)s") % {"months": months, "until": until}
    return _("%(until)s, and at least %(months)s") % {"until": until, "months": months}


def particular_name(slug: str) -> str:
    """'Date of manufacture, where known'."""
    return _(PARTICULARS[slug])


def status_words(status: str) -> str:
    """How far the source of a line was checked."""
    return _(_STATUS[status])


def sections_of(scheme: Scheme) -> list[Section]:
    """Every section of the scheme that says something: its name, its columns, its rows."""
    found = [
        (_("How often"), [_("Inspection"), _("Classes"), _("Use"), _("Every")], _lines(scheme)),
        (_("Longest life"), [_("Classes"), _("From manufacture")], _lives(scheme)),
        (_("The user’s own check"), [_("Classes"), _("When")], _user_checks(scheme)),
        (_("Before first use"), [_("Classes"), _("Inspection")], _before_use(scheme)),
        (_("After an event"), [_("Event"), _("Classes"), _("Inspection")], _after(scheme)),
        (_("How long records are kept"), [_("Record"), _("Kept")], _retention(scheme)),
        (_("What a record must say"), [_("Particular"), _("Of")], _particulars(scheme)),
        (_("Who may inspect"), [_("Inspection"), _("Who")], _examiners(scheme)),
    ]
    sourced = [_("Source"), _("How known")]
    return [
        (name, heads, [list(zip(heads, row.values(), strict=True)) for row in rows])
        for name, columns, rows in found
        if rows and (heads := [*columns, *sourced])
    ]


def _row(line: Sourced, **cells: str) -> Row:
    return {**cells, "source": line.source, "status": status_words(line.status)}


def _kinds(kinds: frozenset[str]) -> str:
    if len(kinds) == len(KINDS):
        return _("Every inspection")
    return ", ".join(kind_name(slug) for slug in KINDS if slug in kinds)


def _lines(scheme: Scheme) -> list[Row]:
    return [
        _row(
            line.interval,
            kind=kind_name(line.kind),
            classes=classes_words(line.classes),
            uses=_uses(line.uses),
            months=months_words(line.interval.months),
        )
        for line in scheme.lines
    ]


def _uses(uses: frozenset[str]) -> str:
    if len(uses) == len(USE_CLASSES):
        return _("All")
    return ", ".join(use_class_name(slug) for slug in USE_CLASSES if slug in uses)


def _lives(scheme: Scheme) -> list[Row]:
    return [
        _row(
            life.interval,
            classes=classes_words(life.classes),
            months=months_words(life.interval.months),
        )
        for life in scheme.lives
    ]


def _user_checks(scheme: Scheme) -> list[Row]:
    return [
        _row(line, classes=classes_words(line.classes), when=line.when)
        for line in scheme.user_checks
    ]


def _before_use(scheme: Scheme) -> list[Row]:
    return [
        _row(line, classes=classes_words(line.classes), kinds=_before_words(line))
        for line in scheme.before_use
    ]


def _before_words(line: BeforeUse) -> str:
    """'Thorough examination, unless declared within 12 months'."""
    words = {"kinds": either_kind(line.kinds)}
    if line.unless_declared_months:
        words["months"] = months_words(line.unless_declared_months)
        return _("%(kinds)s, unless its declaration is no older than %(months)s") % words
    if line.unless_made_months:
        words["months"] = months_words(line.unless_made_months)
        return _("%(kinds)s, unless it was made no more than %(months)s before") % words
    return words["kinds"]


def _after(scheme: Scheme) -> list[Row]:
    return [
        _row(
            line,
            events=_words(line.events, EVENTS),
            classes=classes_words(line.classes),
            kinds=either_kind(line.kinds),
        )
        for line in scheme.after_events
    ]


def _retention(scheme: Scheme) -> list[Row]:
    return [
        _row(line, record=_(RECORDS[line.record]), kept=retention_words(line))
        for line in scheme.retention
    ]


def _particulars(scheme: Scheme) -> list[Row]:
    return [
        _row(line, what=particular_name(line.what), kinds=_kinds(line.kinds))
        for line in scheme.particulars
    ]


def _examiners(scheme: Scheme) -> list[Row]:
    return [_row(line, kinds=_kinds(line.kinds), who=line.who) for line in scheme.examiners]


def _words(slugs: frozenset[str], names: dict[str, str]) -> str:
    return ", ".join(_(name) for slug, name in names.items() if slug in slugs)
