"""What phones sent and nobody could simply take: a person decides; and a saved queue is brought in."""

from __future__ import annotations

import json
import uuid
from dataclasses import replace
from datetime import datetime
from functools import partial
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.forms.sent import DropEventForm, QueueForm
from inspections.models import SyncEvent
from inspections.models.sync import SyncEventQuerySet
from inspections.phone_wording import clock_differs_sentence, sent_name
from inspections.round_board import time_at
from inspections.sync.deciding import accept_event, drop_event
from inspections.sync.queue_file import bring_in
from inspections.sync.taking_in import LATER, Answer
from inspections.views.sync import sender_of
from register import clock
from register.access import demand, may, needs
from register.refusal import Refusal
from register.telling import kept, stamp_of
from register.wording import shown_day

MOST_SHOWN = 200


@needs("sync.see")
def sent_list(request: HttpRequest) -> HttpResponse:
    """What waits for a decision, the oldest first; nothing of it was lost, nothing of it was done."""
    rows = _seen(request).undecided().order_by("received_at", "pk")
    shown = [
        {"event": row, "name": _name(row), "clock": clock_differs_sentence(row.told)}
        for row in rows[:MOST_SHOWN]
    ]
    page = {"rows": shown, "more": max(0, rows.count() - len(shown))}
    return render(request, "inspections/sent_list.html", page)


@needs("sync.decide")
def sent_decide(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """One of them: done after all, by the ordinary act, or dropped with a reason."""
    row = get_object_or_404(_seen(request), pk=pk)
    demand(request.user, "sync.decide", row.site_id)
    user: Any = request.user
    if request.method == "POST" and "accept" in request.POST:
        try:
            accept_event(row, by=user, may=partial(may, user), stamp=stamp_of(request))
        except Refusal as refusal:
            messages.error(request, refusal.sentence)
            return redirect(row)
        messages.success(request, _("It is on record now."))
        return redirect("inspections:sent-list")
    form = DropEventForm(request.POST or None)
    said = _("Dropped. It stays readable, with your reason.")
    if kept(
        request,
        form,
        lambda: drop_event(row, stamp=stamp_of(request), **form.cleaned_data),
        said,
    ):
        return redirect("inspections:sent-list")
    page = {"event": row, "form": form, **_words(row)}
    return render(request, "inspections/sent_decide.html", page)


@needs("sync.send")
def sent_upload(request: HttpRequest) -> HttpResponse:
    """A queue that a phone saved to a file, taken in by the same code as what it sends itself."""
    form = QueueForm(request.POST or None, request.FILES or None)
    answers: list[Answer] = []
    if form.is_valid():
        sender = replace(sender_of(request, {"device": "file"}), from_file=True)
        try:
            answers = bring_in(form.cleaned_data["queue"].read(), sender)
        except Refusal as refusal:
            form.add_error("queue", refusal.sentence)
    told = [answer for answer in answers if answer.outcome != "applied"]
    done = len(answers) - len(told)
    later = any(answer.outcome == LATER for answer in answers)
    words = ngettext("%(n)d event is on record.", "%(n)d events are on record.", done)
    page = {"form": form, "answers": told, "brought": words % {"n": done} if answers else ""}
    return render(request, "inspections/sent_upload.html", {**page, "later": later})


def _seen(request: HttpRequest) -> SyncEventQuerySet:
    rows = SyncEvent.objects.visible_to(request.user)
    return rows.select_related("item__product", "site", "by__person", "made_by__person")


def _readable(row: SyncEvent) -> str:
    """What was sent, line by line; as it came where it cannot be read."""
    try:
        return json.dumps(json.loads(row.raw), indent=2, ensure_ascii=False)
    except ValueError:
        return row.raw


def _words(row: SyncEvent) -> dict[str, object]:
    """What was sent, in words and as it came, with its times."""
    times = {
        name: _when(row, getattr(row, f"{name}_at")) for name in ("claimed", "received", "settled")
    }
    words = {"name": _name(row), "clock": clock_differs_sentence(row.told), "raw": _readable(row)}
    return {**times, **words, "open": row.outcome in SyncEvent.UNDECIDED}


def _name(row: SyncEvent) -> str:
    return sent_name(row.kind, row.item.shown_code if row.item else "", row.verdict)


def _when(row: SyncEvent, moment: datetime | None) -> str:
    """By the clock of the site, else of the server."""
    if moment is None:
        return ""
    if row.site is None:
        return f"{shown_day(moment.date())}, {moment:%H:%M} UTC"
    return f"{shown_day(clock.day_at(row.site, moment))}, {time_at(row.site, moment)}"
