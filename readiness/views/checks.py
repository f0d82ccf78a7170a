"""Kept checks of cover for a permit to work: keep one, look at one again, know of what was lost."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from readiness.actions.checks import keep_check, know_change
from readiness.board.checks import address_of, look_again, qr_of
from readiness.board.losses import changes_to_tell
from readiness.forms.checks import CheckForm
from readiness.models import CoverChange, CoverCheck, Task
from readiness.rules.windows import hours_of
from readiness.views.days import asked_day, shift_for
from readiness.wording.checks import time_words
from register import clock
from register.access import fetch, may, needs, open_page
from register.models import Site
from register.rules.tags import read
from register.telling import kept, stamp_of, told_to
from register.throttling import once_more

TASKS = Task.objects.select_related("site", "zone")
LOOKS_AN_HOUR = 60
"""From one address of a network without signing in: plenty at a gate, far too few to guess with."""
CHECKS = CoverCheck.objects.select_related(
    "site", "task__zone", "made_by__person", "permit__signed_by__person"
)


@needs("check.keep")
def check_keep(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Keep the answer for one shift; the running one from now on."""
    chosen = fetch(TASKS, request.user, "check.keep", site__code=site, code=task)
    shift = shift_for(request, list(chosen.shifts.all()), chosen.site)
    begun = {"on": asked_day(request) or clock.today(chosen.site), "shift": shift}
    form = CheckForm(request.POST or None, task=chosen, initial=begun)
    made: list[CoverCheck] = []
    if form.is_valid():
        begins, ends = _hours(form, chosen.site)
        keep = partial(keep_check, chosen, begins_at=begins, ends_at=ends, stamp=stamp_of(request))
        reference = form.cleaned_data["permit_reference"]
        act = partial(_into, made, partial(keep, permit_reference=reference))
        if kept(request, form, act, _("Kept. Write its reference on the permit, or print it.")):
            return redirect(made[0])
    shown = {"task": chosen, "form": form}
    return render(request, "readiness/check_keep.html", shown, status=422 if form.errors else 200)


def _into(made: list[CoverCheck], keep: partial[CoverCheck]) -> None:
    made.append(keep())


def _hours(form: CheckForm, site: Site) -> tuple[datetime, datetime]:
    shift, now = form.cleaned_data["shift"], clock.now()
    begins, ends = hours_of(
        form.cleaned_data["on"], shift.begins, shift.ends, ZoneInfo(site.time_zone)
    )
    running = begins < now < ends
    return (now.replace(second=0, microsecond=0) if running else begins, ends)


@open_page("whoever holds the paper must know whether it still holds; it names no person")
@never_cache
def cover_check(request: HttpRequest, reference: str) -> HttpResponse:
    """Judged anew each time it is opened; names only for those with a role at the site."""
    if not _may_look(request):
        return _no_check(request, reference, "throttled", 429)
    typed = read(reference)
    if typed.code is None:
        return _no_check(request, reference, "mistyped", 404)
    check = CHECKS.filter(reference=typed.code).first()
    if check is None:
        return _no_check(request, reference, "unknown", 404)
    known = may(request.user, "cover.see", check.site_id)
    shown = {
        "check": check,
        "seen": look_again(check, clock.now()),
        "known": known,
        "permit": (permit := getattr(check, "permit", None)),
        "signed": time_words(permit.signed_at, check.site) if permit else "",
        "may_sign": may(request.user, "permit.sign", check.site_id),
        "qr": qr_of(check),
        "address": address_of(check),
    }
    return render(request, "readiness/cover_check.html", shown)


def _may_look(request: HttpRequest) -> bool:
    signed_in = request.user.is_authenticated
    return signed_in or once_more(f"check-{request.META.get('REMOTE_ADDR', '')}", LOOKS_AN_HOUR)


def _no_check(request: HttpRequest, reference: str, problem: str, status: int) -> HttpResponse:
    shown = {"reference": reference[:20], "problem": problem}
    return render(request, "readiness/cover_check.html", shown, status=status)


def to_be_told(request: HttpRequest, sites: Sequence[Site]) -> dict[str, object]:
    """What a page of these sites shows of cover that was lost, and where this user answers for it."""
    changes = changes_to_tell(sites, clock.now())
    lost_at = {one.change.site_id for one in changes}
    return {
        "changes": changes,
        "may_know": {site for site in lost_at if may(request.user, "change.know", site)},
    }


@require_POST
@needs("change.know")
def change_known(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody answerable for the site knows that cover was lost."""
    change = fetch(CoverChange.objects.select_related("site"), request.user, "change.know", pk=pk)
    with told_to(request, _("Noted. Tell those who are at work.")):
        know_change(change, stamp=stamp_of(request))
    return redirect(change.site)
