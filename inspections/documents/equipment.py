"""The equipment record of one item (EN 365: what identifies it, its dates, its history)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext as _

from inspections import history, record
from inspections.conditions import verdict_at
from inspections.documents.naming import day_words, item_words, moment_at, why_not
from inspections.models import Inspection
from inspections.rules.verdict import Verdict
from inspections.wording import verdict_sentence, why_it_moves_no_date
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Statement,
    Table,
    Words,
)
from register.models import Item
from register.wording import condition_name, lower_first, shown_day

MOST = 150
"""Rows of each kind on one paper: more than an item gathers in forty years, and a bound on its time."""


def equipment_record(item: Item, at: datetime) -> Content:
    """All that is recorded of the item, the newest first; what was corrected is struck and legible."""
    verdict = verdict_at(item, at)
    through = shown_day(verdict.through) if verdict.usable and verdict.through else ""
    state = _("in date until %(day)s") % {"day": through} if through else _("do not use")
    return Content(
        title=_("Equipment record"),
        about=_("%(item)s: %(state)s") % {"item": item_words(item), "state": state},
        blocks=(
            _front(verdict),
            Identity(tuple(_identity(item))),
            *_dates(item),
            *_inspections(item),
            *_acts(item),
            Caution(
                _(
                    "It tells the record, not the thing: look at the item before each use. In date "
                    "does not mean fit."
                )
            ),
        ),
    )


def _front(verdict: Verdict) -> Block:
    if verdict.usable:
        return Statement(_("In date"), (verdict_sentence(verdict),))
    return Statement(_("DO NOT USE"), (why_not(verdict),), forbids=True)


def _identity(item: Item) -> list[tuple[str, str]]:
    tags = ", ".join(
        f"{tag} ({_('replaced')})" if tag.replaced_at else str(tag) for tag in item.tags.all()
    )
    where = f"{item.get_custody_display()}: {item.where}"
    return [
        (_("Tag"), tags or item.shown_code),
        *record.facts_shown(item),
        (_("Condition"), condition_name(item.condition)),
        (_("Where"), where),
    ]


def _dates(item: Item) -> list[Block]:
    lines = [
        f"{words} ({source})" if source else words for words, source in record.clock_lines(item)
    ]
    return [Heading(_("Dates")), *(Words(line) for line in lines)]


def _inspections(item: Item) -> list[Block]:
    found = record.inspections_of(item)
    if not found:
        return [Heading(_("Inspections")), Words(_("None on record."))]
    heads = (_("Day"), _("Kind"), _("Verdict"), _("Inspector"))
    rows = tuple(_row(one) for one in found[:MOST])
    return [Heading(_("Inspections")), Table(heads, rows, (2, 4, 4, 4)), *_cut(found)]


def _row(one: Inspection) -> Row:
    later = getattr(one, "superseded_by", None)
    lines = [one.note] if one.note else []
    for flaw in one.defects.all():
        told = f"{flaw.place}: {flaw.what}" if flaw.place else flaw.what
        grade = lower_first(flaw.get_grade_display())
        by = f" {day_words(flaw.danger_by_on)}" if flaw.danger_by_on else ""
        lines.append(f"{told} ({grade}{by}){'. ' + flaw.action if flaw.action else ''}")
    if later:
        lines.append(_("Corrected: %(reason)s") % {"reason": later.superseding_reason})
    elif why := why_it_moves_no_date(one.verdict, one.counts_not_because):
        lines.append(_("It moves no date: %(why)s.") % {"why": why})
    cells = (
        shown_day(one.performed_on),
        one.get_kind_display(),
        one.get_verdict_display(),
        one.inspector_name,
    )
    return Row(cells, struck=bool(later), under="\n".join(lines))


def _acts(item: Item) -> list[Block]:
    found = history.lines_of(item)
    if not found:
        return []
    rows = tuple(
        Row((moment_at(item.site, line.at), line.words, line.by), under="\n".join(line.notes))
        for line in found[:MOST]
    )
    heads = (_("When"), _("What"), _("By"))
    return [Heading(_("History")), Table(heads, rows, (3, 7, 4)), *_cut(found)]


def _cut(found: Sequence[object]) -> list[Block]:
    if len(found) <= MOST:
        return []
    told = _("The newest %(shown)d of %(all)d; the rest stands in the register.")
    return [Words(told % {"shown": MOST, "all": len(found)}, strong=True)]
