"""Jobs given out: mine, and those of my sites."""

from __future__ import annotations

from functools import partial

from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from readiness.actions.jobs import drop_job, finish_job
from readiness.board.jobs import job_rows
from readiness.models import Job
from register.access import fetch, may, needs, sites_for
from register.clock import now
from register.telling import stamp_of, told_to

JOBS = Job.objects.select_related("site", "lender", "task__site", "who", "item")
MOST_ENDED = 20


@needs("job.see")
def job_list(request: HttpRequest) -> HttpResponse:
    """Open ones by the moment by which they are due, then the last that ended."""
    sites = sites_for(request.user, "job.see")
    rows = JOBS.filter(Q(site__in=sites) | Q(lender__in=sites))
    person = getattr(request.user, "person_id", None)
    opened = job_rows(rows.filter(state=Job.State.OPEN), now())
    shown = {
        "mine": [one for one in opened if person is not None and one.job.who_id == person],
        "others": [one for one in opened if person is None or one.job.who_id != person],
        "ended": rows.exclude(state=Job.State.OPEN).order_by("-ended_at")[:MOST_ENDED],
        "may_end": may(request.user, "job.end"),
    }
    return render(request, "readiness/job_list.html", shown)


@require_POST
@needs("job.end")
def job_end(request: HttpRequest, pk: int) -> HttpResponse:
    """Done (once the register holds the evidence), or dropped with a reason."""
    job = fetch(JOBS, request.user, "job.end", pk=pk)
    said = request.POST.get("said", "")[:200]
    dropped = request.POST.get("how") == "dropped"
    end = partial(drop_job if dropped else finish_job, job, said=said, stamp=stamp_of(request))
    with told_to(request, (_("The job is dropped.") if dropped else _("The job is done."))):
        end()
    return redirect("readiness:job-list")
