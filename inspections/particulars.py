"""What the schemes ask of one inspection's record: how long it is kept, and what it must say."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.models import Inspection, Report
from inspections.regime import regime_in_force
from inspections.regime_wording import particular_name, retention_words, status_words
from inspections.report_wording import occasion_words
from inspections.rules.clocks import last_day_after
from inspections.rules.item_facts import PASSES
from inspections.rules.occasions import record_of
from inspections.rules.schemes import interval, kept_until, last_day_rule
from register import clock
from register.wording import shown_day

_NONE = gettext_noop("none")


@dataclass(frozen=True, slots=True)
class Said:
    """One particular, what the record says of it ('' where it does not hold it), and who asks."""

    name: str
    value: str
    source: str
    status: str


@dataclass(frozen=True, slots=True)
class Kept:
    """One rule on how long the record is kept, and through which day, where that is known."""

    words: str
    through: date | None
    source: str
    status: str


def kept_of(one: Inspection) -> list[Kept]:
    """How long each chosen scheme asks for this record to be kept; a corrected one is kept too."""
    later = Inspection.objects.standing().filter(
        item=one.item_id, kind=one.kind, performed_on__gt=one.performed_on
    )
    then = later.order_by("recorded_at").values_list("recorded_at", flat=True).first()
    made_on, next_on = one.recorded_at.date(), then.date() if then else None
    return [
        Kept(
            retention_words(line),
            kept_until(line, made_on=made_on, next_made_on=next_on),
            line.source,
            status_words(line.status),
        )
        for scheme in regime_in_force().schemes
        for line in scheme.retention
        if line.record == record_of(one.kind)
    ]


def said_of(one: Inspection) -> list[Said]:
    """Each particular once, in the order of the schemes, with what the record holds."""
    found: dict[str, Said] = {}
    report = one.reports.first()
    for line in (line for scheme in regime_in_force().schemes for line in scheme.particulars):
        if one.kind in line.kinds and line.what not in found:
            value = _value(line.what, one, report)
            status = status_words(line.status)
            found[line.what] = Said(particular_name(line.what), value, line.source, status)
    return list(found.values())


def _value(what: str, one: Inspection, report: Report | None) -> str:
    """As the report that was brought in states it; as the report that its author made here; else
    what the record itself holds."""
    stated = _as_stated(one, what)
    if stated:
        return stated
    if report is not None and what in _REPORTED:
        return _REPORTED[what](report)
    return _VALUES[what](one) if what in _VALUES else ""


def _as_stated(one: Inspection, what: str) -> str:
    """In the words of the examiner's own report, where it says so."""
    return str(one.particulars.get(what, ""))


def _identity(one: Inspection) -> str:
    item = one.item
    words = {"tag": item.shown_code, "product": item.product, "serial": item.serial}
    return _("%(product)s, serial %(serial)s, tag %(tag)s") % words


def _made(one: Inspection) -> str:
    first, last = one.item.made_first_on, one.item.made_last_on
    if first is None or last is None:
        return _("not known")
    return shown_day(first) if first == last else f"{shown_day(first)} – {shown_day(last)}"


def _first_used(one: Inspection) -> str:
    return shown_day(one.item.first_used_on) if one.item.first_used_on else _("not yet used")


def _last(one: Inspection) -> str:
    day = last_before(one)
    return shown_day(day) if day else _("none on record")


def _rating(one: Inspection) -> str:
    most = one.item.product.max_user_kg
    return _("%(kg)d kg") % {"kg": most} if most else ""


def _defects(one: Inspection) -> str:
    return "; ".join(f"{flaw.grade}: {flaw.what}" for flaw in one.defects.all()) or _(_NONE)


def _danger_by(one: Inspection) -> str:
    days = [flaw.danger_by_on for flaw in one.defects.all() if flaw.danger_by_on]
    return ", ".join(shown_day(day) for day in days) or _(_NONE)


def _action(one: Inspection) -> str:
    return "; ".join(flaw.action for flaw in one.defects.all() if flaw.action) or _(_NONE)


def _safe(one: Inspection) -> str:
    if one.verdict in PASSES:
        return _("yes") if one.counts else _("passed, but the pass does not count")
    return one.get_verdict_display()


def _next_due(one: Inspection) -> str:
    """By the regime in force now; a pass with a shorter day of its own has that."""
    if one.verdict not in PASSES or not one.counts:
        return _(_NONE)
    day = latest_next(one)
    return shown_day(day) if day else ""


def latest_next(one: Inspection) -> date | None:
    """The last day that the regime in force, the inspector and a danger to come leave until the next
    of its kind; None where none of them says a day."""
    schemes, item = regime_in_force().schemes, one.item
    allowed = interval(schemes, item.product.equipment_class, item.use_class, one.kind)
    days = [one.good_until_on, *(flaw.danger_by_on for flaw in one.defects.all())]
    if allowed:
        days.append(last_day_after(one.performed_on, allowed.months, last_day_rule(schemes)))
    return min((day for day in days if day), default=None)


def last_before(one: Inspection) -> date | None:
    """The day of the one of its kind before it that still stands."""
    earlier = Inspection.objects.standing().filter(
        item=one.item_id, kind=one.kind, performed_on__lt=one.performed_on
    )
    return earlier.order_by("-performed_on").values_list("performed_on", flat=True).first()


_VALUES: dict[str, Callable[[Inspection], str]] = {
    "premises": lambda one: one.site.name if one.site else "",
    "identity": _identity,
    "description": lambda one: f"{one.item.product.kind_name}, {one.item.product}",
    "made-on": _made,
    "first-used-on": _first_used,
    "performed-on": lambda one: shown_day(one.performed_on),
    "performed-at": lambda one: f"{shown_day(one.performed_on)}, {one.performed_at:%H:%M} UTC",
    "report-made-on": lambda one: shown_day(one.recorded_at.date()),
    "last-performed-on": _last,
    "safe-working-load": _rating,
    "occasion": lambda one: one.get_kind_display(),
    "safe-to-operate": _safe,
    "defects": _defects,
    "repairs": _action,
    "action-taken": _action,
    "danger-by": _danger_by,
    "next-due": _next_due,
    "inspector": lambda one: one.inspector_name,
    "signatory": lambda one: str(one.recorded_by) if one.recorded_by else "",
}


def _after_installation(report: Report) -> str:
    if report.installed_well is None:
        return _("not applicable")
    return _("installed correctly") if report.installed_well else _("not installed correctly")


def _works_for(report: Report) -> str:
    return _("self-employed") if report.self_employed else report.author_employer


def _made_on(report: Report) -> str:
    return shown_day(clock.day_at(report.inspection.item.site, report.made_at))


_REPORTED: dict[str, Callable[[Report], str]] = {
    "for-whom": lambda report: f"{report.employer_name}, {report.employer_address}",
    "premises": lambda report: report.premises,
    "report-made-on": _made_on,
    "safe-working-load": lambda report: report.safe_load or _rating(report.inspection),
    "occasion": lambda report: (
        occasion_words(report.occasion) if report.occasion else report.inspection.get_kind_display()
    ),
    "after-installation": _after_installation,
    "further-action": lambda report: report.further or _(_NONE),
    "tests": lambda report: report.tests or _(_NONE),
    "inspector-qualifications": lambda report: ", ".join(
        part for part in (report.author_address, report.qualifications) if part
    ),
    "inspector-employer": _works_for,
}
