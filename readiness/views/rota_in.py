"""Bringing in a rota, as lines or as a calendar."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext_noop
from django.views.decorators.http import require_POST

from inspections.views.files_in import (
    Desk,
    apply_page,
    blank_page,
    file_page,
    leftover_page,
    list_page,
    undo_page,
)
from readiness.bringing_in import apply_rota_in_background, plan_rota_in_background
from readiness.intake.rota.columns import HEADINGS, ROTA
from readiness.intake.rota.way import ROTA_WAY
from register.access import needs

NEED = "rota.edit"
# fmt: off
_WORDS = {
    "name": gettext_noop("As it stands in the register. Who is not clearly named is absent."),
    "number": gettext_noop("Your own number of the person, if you use one."),
    "employer": gettext_noop("For whom they work."),
    "site": gettext_noop("The site’s name or code."),
    "day": gettext_noop("The day on which the shift begins, such as 4 Mar 2026."),
    "shift": gettext_noop("The shift’s name; or leave it and give hours."),
    "begins": gettext_noop("Such as 06:00, by the clock on site."),
    "ends": gettext_noop("Such as 18:00; before the other it is on the day after."),
    "zone": gettext_noop("The zone from which they start."),
}
# fmt: on
DESK = Desk(
    way=ROTA_WAY,
    need=NEED,
    at="readiness:rota-in",
    title=gettext_noop("Bring in a rota"),
    about=gettext_noop(
        "One line a person and day, or a calendar (.ics) with its recurring events for the next two"
        " months. Who is not clearly named counts as absent. Nobody is put in two places at once."
    ),
    caution=gettext_noop("Cover counts on these people from here on: see that they will be there."),
    label=gettext_noop("Rota or calendar"),
    suffixes=".xlsx,.ods,.xls,.csv,.ics",
    plan_later=plan_rota_in_background.enqueue,
    apply_later=apply_rota_in_background.enqueue,
    blank=tuple((ROTA.fields[slug].name, _WORDS[slug]) for slug in HEADINGS),
)


@needs(NEED)
def rota_in(request: HttpRequest) -> HttpResponse:
    """The rotas so far, and the next one."""
    return list_page(request, DESK)


@needs(NEED)
def rota_in_file(request: HttpRequest, pk: int) -> HttpResponse:
    """One rota as it stands."""
    return file_page(request, DESK, pk)


@needs(NEED)
@require_POST
def rota_in_apply(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept the rota."""
    return apply_page(request, DESK, pk)


@needs(NEED)
@require_POST
def rota_in_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take its people off again."""
    return undo_page(request, DESK, pk)


@needs(NEED)
def rota_in_leftover(request: HttpRequest, pk: int) -> HttpResponse:
    """The lines that stayed out."""
    return leftover_page(request, DESK, pk)


@needs(NEED)
def rota_in_blank(request: HttpRequest) -> HttpResponse:
    """An empty workbook to fill in."""
    return blank_page(request, DESK)
