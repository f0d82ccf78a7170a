"""How the register itself runs: what nobody would see going wrong, the ledger, and the metrics."""

from __future__ import annotations

from hmac import compare_digest

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from register import clock
from register.access import needs, open_page
from register.actions.ledger import make_checkpoint
from register.metrics import CONTENT_TYPE, measured
from register.models import BackUp, Checkpoint
from register.tasks import VERIFYING, ask
from register.telling import stamp_of, told_to
from register.watching import look

SHOWN = 10


@needs("running.see")
def running(request: HttpRequest) -> HttpResponse:
    shown = {
        "watched": look(clock.now()),
        "backups": BackUp.objects.all()[:SHOWN],
        "checkpoints": Checkpoint.objects.all()[:SHOWN],
    }
    return render(request, "register/running.html", shown)


@require_POST
@needs("ledger.verify")
def ledger_verify(request: HttpRequest) -> HttpResponse:
    """Read every chain in the background; the result is a text."""
    stamp = stamp_of(request)
    return redirect(ask(VERIFYING, {}, by=request.user, sites=[], stamp=stamp))  # type: ignore[arg-type]


@require_POST
@needs("ledger.verify")
def checkpoint_make(request: HttpRequest) -> HttpResponse:
    with told_to(request, _("The checkpoint is made. Print it, or keep it elsewhere.")):
        make_checkpoint(at=clock.now())
    return redirect("register:running")


@open_page("a scraper asks it with the secret of METRICS_TOKEN, and without it is told nothing")
def metrics(request: HttpRequest) -> HttpResponse:
    """Numbers for a monitoring system, in the text format that Prometheus reads; no name in them."""
    given = request.headers.get("Authorization", "").removeprefix("Bearer ")
    token = settings.METRICS_TOKEN
    if not token or not compare_digest(given.encode(), token.encode()):
        return HttpResponse(status=401, headers={"WWW-Authenticate": "Bearer"})
    return HttpResponse(measured(clock.now()), content_type=CONTENT_TYPE)
