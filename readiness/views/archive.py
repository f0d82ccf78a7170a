"""The whole register as an archive, for administrators of every site."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from readiness.archive import contents
from readiness.tasks import ARCHIVE
from register.access import demand_everywhere, may_everywhere, needs
from register.asking_again import asks_again
from register.refusal import Refusal
from register.views.errands import send_off

COMMANDS = ("manage.py take_archive FILE.zip", "manage.py bring_archive FILE.zip")


@needs("archive.take")
@asks_again
def archive(request: HttpRequest) -> HttpResponse:
    """What is in it and what stays; made in the background once it is asked for."""
    if request.method == "POST":
        demand_everywhere(request.user, "archive.take")
        try:
            return send_off(request, ARCHIVE, {}, [])
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
    page = {
        "may_take": may_everywhere(request.user, "archive.take"),
        "left_out": sorted({**contents.LEFT_OUT, **contents.COLUMNS_LEFT_OUT}.items()),
        "tables": len(contents.TAKEN),
        "commands": COMMANDS,
    }
    return render(request, "readiness/archive.html", page)
