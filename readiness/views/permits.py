"""Signing a permit to work on a kept check of cover, handing it back, and cancelling it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.permits import cancel_permit, close_permit, sign_permit
from readiness.models import CoverCheck, Permit
from register.access import fetch, needs
from register.telling import stamp_of, told_to

CHECKS = CoverCheck.objects.select_related("site", "task")


@require_POST
@needs("permit.sign")
def permit_sign(request: HttpRequest, reference: str) -> HttpResponse:
    """What the check names is kept for its task from now on."""
    check = fetch(CHECKS, request.user, "permit.sign", reference=reference)
    with told_to(request, _("Signed. Its kit, people and anchor are kept for these hours.")):
        sign_permit(check, stamp=stamp_of(request))
    return redirect(check)


@require_POST
@needs("permit.sign")
def permit_close(request: HttpRequest, reference: str) -> HttpResponse:
    """The work is done."""
    check = fetch(CHECKS, request.user, "permit.sign", reference=reference)
    permit = get_object_or_404(Permit, cover_check=check)
    with told_to(request, _("Handed back. What it kept is free again.")):
        close_permit(permit, stamp=stamp_of(request))
    return redirect(check)


@require_POST
@needs("permit.sign")
def permit_cancel(request: HttpRequest, reference: str) -> HttpResponse:
    """The work must not go on under this permit."""
    check = fetch(CHECKS, request.user, "permit.sign", reference=reference)
    permit = get_object_or_404(Permit, cover_check=check)
    with told_to(request, _("Cancelled. Tell those who are at work.")):
        cancel_permit(permit, because=request.POST.get("because", ""), stamp=stamp_of(request))
    return redirect(check)
