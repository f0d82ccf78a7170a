"""The report of an inspection: the particulars of the Work at Height Regulations 2005, Schedule 7."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.utils.translation import gettext as _

from inspections.documents.examination import NONE, NOT_SAID
from inspections.documents.naming import item_words, made_words, moment_at
from inspections.models import Inspection, Report
from inspections.rules.item_facts import PASSES
from inspections.rules.reports import WAHR_7
from inspections.wording import why_it_moves_no_date
from register import clock
from register.documents.content import Block, Caution, Content, Row, Statement, Table, Words
from register.wording import condition_name, lower_first, shown_day


def inspection_report(one: Inspection, _at: datetime) -> Content:
    """With the report that stands; what it does not say yet is told as not said."""
    report = one.reports.first() or Report(inspection=one)
    facts = {
        "item": item_words(one.item),
        "kind": lower_first(one.get_kind_display()),
        "verdict": lower_first(one.get_verdict_display()),
        "day": shown_day(one.performed_on),
    }
    return Content(
        title=_("Inspection report"),
        about=_("%(item)s: %(kind)s, %(verdict)s, %(day)s") % facts,
        blocks=tuple(_blocks(one, report)),
    )


def _blocks(one: Inspection, report: Report) -> list[Block]:
    rows = tuple(
        Row((clause.number, _(clause.name), _TOLD[clause.number](one, report) or _(NOT_SAID)))
        for clause in WAHR_7
    )
    heads = (_("No."), _("Particular"), _("What is reported"))
    more = [_("Kind of inspection: %(kind)s") % {"kind": one.get_kind_display()}]
    if one.note:
        more.append(one.note)
    if report.made_at:
        day = shown_day(clock.day_at(one.item.site, report.made_at))
        more.append(_("Date of the report: %(day)s") % {"day": day})
    return [
        _front(one),
        Table(heads, rows, (0.6, 4.2, 5.2)),
        *(Words(line) for line in more),
        Words(
            _(
                "The particulars are those of Schedule 7, Work at Height Regulations 2005 "
                "(SI 2005/735)."
            )
        ),
        Caution(
            _(
                "It says what was found on that day. It says nothing of what happened since: check "
                "before each use."
            )
        ),
    ]


def _front(one: Inspection) -> Block:
    dangers = [flaw.what for flaw in one.defects.all() if flaw.grade == "A"]
    if dangers or one.verdict not in PASSES:
        said = (one.get_verdict_display(), *dangers)
        return Statement(_("DO NOT USE"), said, forbids=True)
    lines = [_("Only for: %(use)s") % {"use": one.restricted_to}] if one.restricted_to else []
    if not one.counts:
        why = why_it_moves_no_date(one.verdict, one.counts_not_because)
        lines.append(_("It moves no date: %(why)s.") % {"why": why})
    return Statement(one.get_verdict_display(), tuple(lines))


def _description(one: Inspection, _report: Report) -> str:
    item = one.item
    made = _("Date of manufacture: %(made)s") % {"made": made_words(item)}
    return f"{item.product}, {item_words(item)}\n{made}"


def _when(one: Inspection, _report: Report) -> str:
    moment = moment_at(one.item.site, one.performed_at)
    return f"{moment} ({one.item.site.time_zone})"


def _matters(one: Inspection, _report: Report) -> str:
    lines = [
        f"{flaw.place}: {flaw.what}" if flaw.place else flaw.what for flaw in one.defects.all()
    ]
    grades = [lower_first(flaw.get_grade_display()) for flaw in one.defects.all()]
    return "\n".join(f"{line} ({grade})" for line, grade in zip(lines, grades, strict=True)) or _(
        NONE
    )


def _done(one: Inspection, _report: Report) -> str:
    """What was done about each defect, and what the verdict itself did."""
    lines = [f"{flaw.what}: {flaw.action}" for flaw in one.defects.all() if flaw.action]
    if one.verdict not in PASSES:
        out = "withdrawn" if one.verdict == "fail" and one.counts else "quarantined"
        lines.append(_("Taken out of use: %(how)s") % {"how": lower_first(condition_name(out))})
    return "\n".join(lines) or _(NONE)


def _further(one: Inspection, report: Report) -> str:
    lines = [
        f"{flaw.what}: {report.remedies[str(flaw.pk)]}"
        for flaw in one.defects.all()
        if report.remedies.get(str(flaw.pk))
    ]
    if report.further:
        lines.append(report.further)
    return "\n".join(lines) or _(NONE)


def _who(one: Inspection, report: Report) -> str:
    return f"{one.inspector_name}, {report.position or _(NOT_SAID)}"


def _for_whom(_one: Inspection, report: Report) -> str:
    return ", ".join(part for part in (report.employer_name, report.employer_address) if part)


_TOLD: dict[str, Callable[[Inspection, Report], str]] = {
    "1": _for_whom,
    "2": lambda _one, report: report.premises,
    "3": _description,
    "4": _when,
    "5": _matters,
    "6": _done,
    "7": _further,
    "8": _who,
}
