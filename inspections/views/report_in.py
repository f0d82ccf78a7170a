"""Bringing in what an inspection company sends."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_POST

from inspections.intake.reports.columns import HEADINGS, REPORT
from inspections.intake.reports.way import REPORT_WAY
from inspections.tasks import apply_report_in_background, plan_report_in_background
from inspections.views.files_in import (
    Desk,
    apply_page,
    blank_page,
    file_page,
    leftover_page,
    list_page,
    undo_page,
)
from register.access import needs

NEED = "inspection.enter-paper"
# fmt: off
_WORDS = {
    "serial": gettext_noop("As marked on the label, zeros and all."),
    "tag": gettext_noop("Our tag or your own mark, if it is on the piece."),
    "product": gettext_noop("The maker’s type or model. It is compared, and never guessed from."),
    "maker": gettext_noop("As on the label."),
    "class": gettext_noop("Such as harness, connector or retractable."),
    "performed": gettext_noop("The day, such as 4 Mar 2026."),
    "kind": gettext_noop("Such as periodic examination or thorough examination."),
    "verdict": gettext_noop("Pass, pass with conditions, refer, fail, not presented."),
    "examiner": gettext_noop("Who examined it. A pass counts if they are in the register and authorised."),
    "employer": gettext_noop("For whom the examiner works."),
    "number": gettext_noop("Of the report or certificate."),
    "defect": gettext_noop("What is wrong, in the examiner’s words."),
    "grade": gettext_noop("A is a danger now, B could become one by a date, C an observation."),
    "danger_by": gettext_noop("For B, the day."),
    "action": gettext_noop("What was done about it."),
    "next_due": gettext_noop("If the examiner sets a shorter date than ours, it stands."),
    "remarks": gettext_noop("Anything else. Nothing about people’s health."),
}
# fmt: on
DESK = Desk(
    way=REPORT_WAY,
    need=NEED,
    at="inspections:report-in",
    title=gettext_noop("Bring in a report"),
    about=gettext_noop(
        "What an inspection company sends, as a workbook or .csv: one line an item. Each line is"
        " matched by serial, then by mark, and nothing is guessed. A fail acts as soon as you accept;"
        " a pass counts only from an examiner whom the register knows."
    ),
    caution=gettext_noop(
        "Accepted on the strength of this file: you are relying on that examiner’s competence."
    ),
    label=gettext_noop("Report"),
    plan_later=plan_report_in_background.enqueue,
    apply_later=apply_report_in_background.enqueue,
    blank=tuple((REPORT.fields[slug].name, _WORDS[slug]) for slug in HEADINGS),
)


@needs(NEED)
def report_in(request: HttpRequest) -> HttpResponse:
    """The reports so far, and the next one."""
    return list_page(request, DESK)


@needs(NEED)
def report_in_file(request: HttpRequest, pk: int) -> HttpResponse:
    """One report as it stands."""
    return file_page(request, DESK, pk)


@needs(NEED)
@require_POST
def report_in_apply(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept the report."""
    return apply_page(request, DESK, pk)


@needs(NEED)
@require_POST
def report_in_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take its passes back."""
    return undo_page(request, DESK, pk)


@needs(NEED)
def report_in_leftover(request: HttpRequest, pk: int) -> HttpResponse:
    """The lines that stayed out."""
    return leftover_page(request, DESK, pk)


@needs(NEED)
def report_in_blank(request: HttpRequest) -> HttpResponse:
    """An empty workbook for an examiner to fill in."""
    return blank_page(request, DESK)
