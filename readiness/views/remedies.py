"""What to do about a task that is not covered, or hangs on one thing."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.jobs import give_out
from readiness.board.jobs import job_rows
from readiness.board.remedies import (
    HORIZONS,
    USUAL_DAYS,
    WAYS,
    Question,
    found_for,
    given_of,
    mark_of,
    question,
    remedy_board,
)
from readiness.board.troubles import joint_rows, trouble_rows
from readiness.models import Job, Task
from readiness.rules.remedies import RemedySet
from register.access import fetch, may, needs, sites_for
from register.clock import now
from register.models import Site
from register.telling import stamp_of, told_to

TASKS = Task.objects.select_related("site", "zone")


def _days(request: HttpRequest) -> int:
    """How far ahead, as the address asks."""
    asked = request.GET.get("days", "") or request.POST.get("days", "")
    return int(asked) if asked in {str(days) for days in HORIZONS} else USUAL_DAYS


def _asked(request: HttpRequest, site: Site) -> Question:
    donors = list(sites_for(request.user, "cover.see"))
    return question(site, donors, now(), _days(request))


@needs("cover.see")
def task_remedies(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """The stop, the design, then three sets of acts, each solved with it applied."""
    chosen = fetch(TASKS, request.user, "cover.see", site__code=site, code=task)
    shown = {
        "task": chosen,
        "board": remedy_board(_asked(request, chosen.site), chosen.code),
        "jobs": job_rows(
            Job.objects.open().filter(task=chosen).select_related("who", "site"), now()
        ),
        "days": _days(request),
        "horizons": HORIZONS,
        "may_accept": may(request.user, "remedy.accept", chosen.site),
        "may_plan": may(request.user, "task.edit", chosen.site),
    }
    return render(request, "readiness/task_remedies.html", shown)


@needs("cover.see")
def site_remedies(request: HttpRequest, site: str) -> HttpResponse:
    """All troubles of the site, each with the way to what can be done about it."""
    place = fetch(Site.objects.all(), request.user, "cover.see", code=site)
    asked = _asked(request, place)
    shown = {
        "site": place,
        "rows": trouble_rows(asked),
        "joint": joint_rows(asked),
        "days": _days(request),
        "horizons": HORIZONS,
    }
    return render(request, "readiness/site_remedies.html", shown)


@require_POST
@needs("remedy.accept")
def remedies_accept(request: HttpRequest, site: str, task: str) -> HttpResponse:
    """Give the set out as jobs, if it is still what it was when it was shown."""
    chosen = fetch(TASKS, request.user, "remedy.accept", site__code=site, code=task)
    asked = _asked(request, chosen.site)
    accepted = _still_there(asked, chosen.code, request.POST.get("mark", ""))
    if accepted is None:
        messages.error(request, _("The facts have changed since. Look at the sets again."))
        return redirect("readiness:task-remedies", site, task)
    with told_to(request, _("Given out. The answer changes only when each is done and recorded.")):
        give_out(chosen, given=given_of(accepted, asked), stamp=stamp_of(request))
    return redirect("readiness:task-remedies", site, task)


def _still_there(asked: Question, task: str, mark: str) -> RemedySet | None:
    _given, found = found_for(asked, task)
    sets = [getattr(found, way) for way in WAYS]
    return next((one for one in sets if one is not None and mark_of(one) == mark), None)
