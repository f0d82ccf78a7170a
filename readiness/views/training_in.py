"""Bringing in a training matrix."""

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
from readiness.bringing_in import apply_training_in_background, plan_training_in_background
from readiness.intake.training.columns import HEADINGS, TRAINING
from readiness.intake.training.way import TRAINING_WAY
from register.access import needs

NEED = "competence.record"
# fmt: off
_WORDS = {
    "name": gettext_noop("As it stands in the register."),
    "number": gettext_noop("Your own number of the person, if you use one."),
    "employer": gettext_noop("For whom they work."),
    "training": gettext_noop("One line for each training of each person."),
    "taken_on": gettext_noop("The day, such as 4 Mar 2026."),
    "through_on": gettext_noop("The last day it is valid. Nothing else about the person: no birth date, telephone or medical."),
    "provider": gettext_noop("Who trained them."),
}
# fmt: on
DESK = Desk(
    way=TRAINING_WAY,
    need=NEED,
    at="readiness:training-in",
    title=gettext_noop("Bring in a training matrix"),
    about=gettext_noop(
        "People down and trainings across, or one line a training. People are known by name and"
        " employer or by staff number; a name like another is shown, and never merged. Birth dates,"
        " telephones and medicals are not even read."
    ),
    caution=gettext_noop(
        "Accepted on the strength of this file: nobody has seen the tickets by it."
    ),
    label=gettext_noop("Training matrix"),
    plan_later=plan_training_in_background.enqueue,
    apply_later=apply_training_in_background.enqueue,
    blank=tuple((TRAINING.fields[slug].name, _WORDS[slug]) for slug in HEADINGS),
)


@needs(NEED)
def training_in(request: HttpRequest) -> HttpResponse:
    """The matrices so far, and the next one."""
    return list_page(request, DESK)


@needs(NEED)
def training_in_file(request: HttpRequest, pk: int) -> HttpResponse:
    """One matrix as it stands."""
    return file_page(request, DESK, pk)


@needs(NEED)
@require_POST
def training_in_apply(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept the matrix."""
    return apply_page(request, DESK, pk)


@needs(NEED)
@require_POST
def training_in_undo(request: HttpRequest, pk: int) -> HttpResponse:
    """Take its tickets back."""
    return undo_page(request, DESK, pk)


@needs(NEED)
def training_in_leftover(request: HttpRequest, pk: int) -> HttpResponse:
    """The lines that stayed out."""
    return leftover_page(request, DESK, pk)


@needs(NEED)
def training_in_blank(request: HttpRequest) -> HttpResponse:
    """An empty workbook to fill in."""
    return blank_page(request, DESK)
