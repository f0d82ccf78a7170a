"""The report of a thorough examination: every particular of LOLER 1998, Schedule 1, in its order."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.documents.naming import day_words, item_words, made_words, moment_at
from inspections.models import Inspection, Report
from inspections.particulars import last_before
from inspections.rules.item_facts import PASSES
from inspections.rules.reports import FIRST, LOLER_1
from register import clock
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Row,
    Statement,
    Table,
    Words,
)
from register.wording import lower_first, shown_day

NONE = gettext_noop("none")
NOT_APPLICABLE = gettext_noop("not applicable")
NOT_SAID = gettext_noop("not said yet")

Tell = Callable[[Inspection, Report], str]


def examination(one: Inspection, _at: datetime) -> Content:
    """With the report that stands; what it does not say yet is told as not said."""
    report = one.reports.first() or Report(inspection=one)
    return Content(
        title=_("Report of thorough examination"),
        about=_about(one, report),
        blocks=tuple(_blocks(one, report)),
    )


def _about(one: Inspection, report: Report) -> str:
    facts = {
        "item": item_words(one.item),
        "verdict": lower_first(one.get_verdict_display()),
        "day": shown_day(one.performed_on),
        "next": shown_day(report.next_on) if report.next_on else "",
    }
    if report.next_on:
        return _("%(item)s: %(verdict)s, examined %(day)s, next by %(next)s") % facts
    return _("%(item)s: %(verdict)s, examined %(day)s") % facts


def _blocks(one: Inspection, report: Report) -> list[Block]:
    rows = tuple(
        Row((clause.number, _(clause.name), said_of_clause(clause.number, one, report)))
        for clause in LOLER_1
    )
    heads = (_("Clause"), _("Particular"), _("What is reported"))
    blocks: list[Block] = [_front(one, report), Table(heads, rows, (1.1, 4.2, 5))]
    seen = [flaw for flaw in one.defects.all() if flaw.grade == "C"]
    if seen or one.note:
        blocks.append(Heading(_("Observations")))
        blocks += [Words(_at_place(flaw.place, flaw.what)) for flaw in seen]
        blocks += [Words(one.note)] if one.note else []
    blocks += [Heading(_("Copies")), *(Words(line) for line in _copies(one, report))]
    blocks.append(Words(_("The clauses are those of Schedule 1, LOLER 1998 (SI 1998/2307).")))
    return [*blocks, Caution(_caution())]


def _caution() -> str:
    return _(
        "It says what was found on the day of the examination. It says nothing of what happened "
        "since: check before each use."
    )


def _front(one: Inspection, report: Report) -> Block:
    """A danger now stands first; so does a verdict that forbids use."""
    dangers = [flaw for flaw in one.defects.all() if flaw.grade == "A"]
    if dangers:
        lines = [
            _("A danger now: %(what)s") % {"what": _at_place(f.place, f.what)} for f in dangers
        ]
        if report.imminent:
            lines.append(_("Existing or imminent risk of serious personal injury."))
        return Statement(_("DO NOT USE"), tuple(lines), forbids=True)
    if one.verdict not in PASSES:
        return Statement(_("DO NOT USE"), (one.get_verdict_display(),), forbids=True)
    by = shown_day(report.next_on) if report.next_on else _(NOT_SAID)
    lines = [_("Next thorough examination by %(day)s") % {"day": by}]
    if one.restricted_to:
        lines.append(_("Only for: %(use)s") % {"use": one.restricted_to})
    return Statement(_("Safe to operate"), tuple(lines))


def _copies(one: Inspection, report: Report) -> list[str]:
    """LOLER 1998, regulation 10(1): the employer, the owner of hired equipment, and the enforcing
    authority where the risk is existing or imminent."""
    lines = [_("The employer: %(name)s") % {"name": report.employer_name or _(NOT_SAID)}]
    if one.item.owner:
        lines.append(_("The owner from whom it is hired: %(owner)s") % {"owner": one.item.owner})
    if report.imminent:
        lines.append(_("The enforcing authority, as soon as practicable"))
    return lines


def said_of_clause(number: str, one: Inspection, report: Report) -> str:
    """What is reported under one clause; never empty."""
    return _TOLD[number](one, report) or _(NOT_SAID)


def _identity(one: Inspection, _report: Report) -> str:
    item = one.item
    parts = [str(item.product), item_words(item)]
    if item.batch:
        parts.append(_("batch %(batch)s") % {"batch": item.batch})
    if item.size:
        parts.append(_("size %(size)s") % {"size": item.size})
    if item.product.standards:
        parts.append(item.product.standards)
    made = _("Date of manufacture: %(made)s") % {"made": made_words(item)}
    return "\n".join([", ".join(parts), made])


def _last(one: Inspection, _report: Report) -> str:
    day = last_before(one)
    return shown_day(day) if day else _("none on record")


def _is_first(_one: Inspection, report: Report) -> str:
    return _yes_or_no(report.occasion == FIRST) if report.occasion else ""


def _installed(one: Inspection, report: Report) -> str:
    if not report.occasion:
        return ""
    if report.occasion != FIRST:
        return _(NOT_APPLICABLE)
    well = _("installed correctly") if report.installed_well else _("not installed correctly")
    return f"{well}; {_safe_words(one)}"


def _occasion(slug: str) -> Tell:
    def told(_one: Inspection, report: Report) -> str:
        if report.occasion == FIRST:
            return _(NOT_APPLICABLE)
        return _yes_or_no(report.occasion == slug) if report.occasion else ""

    return told


def _safe(one: Inspection, report: Report) -> str:
    return _(NOT_APPLICABLE) if report.occasion == FIRST else _safe_words(one)


def _safe_words(one: Inspection) -> str:
    if one.verdict not in PASSES:
        return _("not safe to operate: %(verdict)s") % {
            "verdict": lower_first(one.get_verdict_display())
        }
    if one.restricted_to:
        return _("safe to operate, only for: %(use)s") % {"use": one.restricted_to}
    return _("safe to operate")


def _yes_or_no(yes: bool) -> str:  # noqa: FBT001 - the answer itself
    return _("yes") if yes else _("no")


def _at_place(place: str, what: str) -> str:
    return f"{place}: {what}" if place else what


def _defects(one: Inspection, _report: Report) -> str:
    found = [flaw for flaw in one.defects.all() if flaw.grade in ("A", "B")]
    lines = [
        f"{_at_place(flaw.place, flaw.what)} ({lower_first(flaw.get_grade_display())})"
        for flaw in found
    ]
    return "\n".join(lines) or _(NONE)


def _remedies(grade: str) -> Tell:
    def told(one: Inspection, report: Report) -> str:
        found = [flaw for flaw in one.defects.all() if flaw.grade == grade]
        if not found:
            return _(NOT_APPLICABLE)
        lines = [
            f"{flaw.what}: {report.remedies.get(str(flaw.pk)) or _(NOT_SAID)}"
            + (f" ({_('done')}: {flaw.action})" if flaw.action else "")
            for flaw in found
        ]
        return "\n".join(lines)

    return told


def _danger_by(one: Inspection, _report: Report) -> str:
    found = [flaw for flaw in one.defects.all() if flaw.grade == "B"]
    lines = [f"{flaw.what}: {day_words(flaw.danger_by_on)}" for flaw in found]
    return "\n".join(lines) or _(NOT_APPLICABLE)


def _next(one: Inspection, report: Report) -> str:
    if one.verdict not in PASSES:
        return _("not applicable: not to be used before a pass")
    return shown_day(report.next_on) if report.next_on else ""


def _author(one: Inspection, report: Report) -> str:
    if not report.author_address:
        return one.inspector_name
    works = (
        _("self-employed")
        if report.self_employed
        else _("employed by %(employer)s") % {"employer": report.author_employer}
    )
    lines = (f"{one.inspector_name}, {report.author_address}", report.qualifications, works)
    return "\n".join(line for line in lines if line)


def _signed(one: Inspection, report: Report) -> str:
    if report.made_at is None:
        return ""
    facts = {"who": one.inspector_name, "moment": moment_at(one.item.site, report.made_at)}
    told = _("not applicable: authenticated by its author, signed in as %(who)s, %(moment)s")
    return told % facts


def _made_on(one: Inspection, report: Report) -> str:
    if report.made_at is None:
        return ""
    return shown_day(clock.day_at(one.item.site, report.made_at))


def _for_whom(_one: Inspection, report: Report) -> str:
    return ", ".join(part for part in (report.employer_name, report.employer_address) if part)


_TOLD: dict[str, Tell] = {
    "1": _for_whom,
    "2": lambda _one, report: report.premises,
    "3": _identity,
    "4": _last,
    "5": lambda _one, report: report.safe_load,
    "6(a)": _is_first,
    "6(b)": _installed,
    "7(a)(i)": _occasion("six-months"),
    "7(a)(ii)": _occasion("twelve-months"),
    "7(a)(iii)": _occasion("scheme"),
    "7(a)(iv)": _occasion("exceptional"),
    "7(b)": _safe,
    "8(a)": _defects,
    "8(b)": _remedies("A"),
    "8(c)(i)": _danger_by,
    "8(c)(ii)": _remedies("B"),
    "8(d)": _next,
    "8(e)": lambda _one, report: report.tests or _(NONE),
    "8(f)": lambda one, _report: shown_day(one.performed_on),
    "9": _author,
    "10": _signed,
    "11": _made_on,
}
