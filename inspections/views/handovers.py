"""Receipts of issue, return and transfer: to be made, to be signed, and on paper."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from functools import partial
from itertools import groupby

from django.contrib import messages
from django.db.models import Exists, OuterRef, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.handovers import make_handover, sign_handover
from inspections.documents.handover import HANDOVER
from inspections.forms.handovers import SignForm
from register import clock
from register.access import fetch, needs, sites_for
from register.models import Handover, Movement
from register.refusal import Refusal
from register.rules.strokes import HEIGHT, WIDTH
from register.telling import kept, stamp_of
from register.views.paper_pages import paper_page

NEED = "handover.make"
FRESH = timedelta(hours=36)  # a receipt is made while both are still there, or the morning after
MADE = 30  # of the newest, shown
ROWS = Handover.objects.select_related("site", "to_site", "person", "made_by__person")


@dataclass(frozen=True, slots=True)
class Going:
    """Pieces that went one way together, with no receipt yet."""

    kind: str
    words: str
    movements: tuple[Movement, ...]


@needs(NEED)
def handover_list(request: HttpRequest) -> HttpResponse:
    """What has no receipt yet, and the receipts that were made."""
    made = ROWS.visible_to(request.user)  # type: ignore[arg-type]
    page = {"going": list(_going(_open_movements(request))), "made": made[:MADE]}
    return render(request, "inspections/handover_list.html", page)


def _open_movements(request: HttpRequest) -> QuerySet[Movement]:
    """Of the last day and a half, at the sites where the user may make a receipt; what has moved on
    since is no longer handed over."""
    later = Movement.objects.filter(item=OuterRef("item"), pk__gt=OuterRef("pk"))
    return (
        Movement.objects.filter(
            ~Exists(later),
            kind__in=Handover.Kind.values,
            from_site__in=sites_for(request.user, NEED),  # type: ignore[arg-type]
            at__gte=clock.now() - FRESH,
            receipt_line=None,
        )
        .select_related("item__product", "person", "from_site", "to_site")
        .order_by("kind", "from_site__name", "to_site__name", "person__name", "person", "pk")
    )


def _going(movements: QuerySet[Movement]) -> Iterator[Going]:
    for _way, group in groupby(movements, key=_way_of):
        found = tuple(group)
        yield Going(found[0].kind, _way_words(found[0]), found)


def _way_of(one: Movement) -> tuple[object, ...]:
    return one.kind, one.from_site_id, one.to_site_id, one.person_id


def _way_words(one: Movement) -> str:
    facts = {
        "site": one.from_site,
        "to": one.to_site or "",
        "person": one.person or _("nobody named"),
    }
    if one.kind == Handover.Kind.ISSUED:
        return _("Issued to %(person)s, %(site)s") % facts
    if one.kind == Handover.Kind.RETURNED:
        return _("Brought back by %(person)s, %(site)s") % facts
    return _("Sent from %(site)s to %(to)s") % facts


@require_POST
@needs(NEED)
def handover_new(request: HttpRequest) -> HttpResponse:
    """A receipt of the pieces that are ticked; then it is signed."""
    keys = [int(key) for key in request.POST.getlist("movement") if key.isdecimal()]
    chosen = list(_open_movements(request).filter(pk__in=keys))
    try:
        handover = make_handover(chosen, stamp=stamp_of(request))
    except Refusal as refusal:
        messages.error(request, refusal.sentence)
        return redirect("inspections:handover-list")
    return redirect("inspections:handover-sign", handover.pk)


@needs(NEED)
def handover_sign(request: HttpRequest, pk: int) -> HttpResponse:
    """The name of who takes, brings or sends; drawn too, where a script runs."""
    handover = fetch(ROWS, request.user, NEED, pk=pk)
    if handover.signed_at is not None:
        return redirect(handover)
    named = {"name": handover.person.name if handover.person else ""}
    form = SignForm(request.POST or None, initial=named)
    sign = partial(_sign, request, handover, form)
    if kept(request, form, sign, _("Signed. The receipt can be printed.")):
        return redirect(handover)
    page = {
        "handover": handover,
        "form": form,
        "lines": handover.lines.select_related("movement__item__product"),
        "box": {"width": WIDTH, "height": HEIGHT},
    }
    status = 422 if form.errors else 200
    return render(request, "inspections/handover_sign.html", page, status=status)


def _sign(request: HttpRequest, handover: Handover, form: SignForm) -> None:
    sign_handover(handover, **form.cleaned_data, stamp=stamp_of(request))


@needs("paper.issue")
def handover_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """What the receipt says; posted, the file."""
    handover = fetch(ROWS, request.user, "paper.issue", pk=pk)
    back = {"url": reverse("inspections:handover-list"), "words": _("Receipts")}
    return paper_page(request, HANDOVER.slug, handover, back)
