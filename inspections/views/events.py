"""What happened to equipment: the list, one event with what is still open, and what is added."""

from __future__ import annotations

import uuid
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.events import add_account, record_event
from inspections.actions.undoing import agree_release_of_hold, ask_release_of_hold
from inspections.conditions import verdicts_of
from inspections.forms.events import AccountForm, AgreeForm, AskForm, EventForm
from inspections.lists.found import events_shown
from inspections.models import Event
from inspections.outcomes import outcomes_of
from inspections.views.rounds import time_at
from inspections.wording import verdict_sentence
from register import clock
from register.access import fetch, may, needs
from register.telling import kept, stamp_of

SHOWN = 100


@needs("event.see")
def event_list(request: HttpRequest) -> HttpResponse:
    """The latest events, and how much of each is still out."""
    counted = events_shown(request.user)  # type: ignore[arg-type]
    page = {
        "rows": [(one, clock.day_at(one.site, one.happened_at)) for one in counted[:SHOWN]],
        "may_record": may(request.user, "event.record"),
        "may_record_arrest": may(request.user, "arrest.record"),
    }
    return render(request, "inspections/event_list.html", page)


@needs("event.record")
def event_new(request: HttpRequest) -> HttpResponse:
    """Say what happened to what; all of it is out with the one press."""
    form = EventForm(request.POST or None, user=request.user, now=clock.now())
    made: list[Event] = []

    def act() -> None:
        told = form.cleaned_data
        stamp = stamp_of(request)
        made.append(record_event(told["site"], items=told["items"], told=form.told(), stamp=stamp))

    if kept(request, form, act, _("All of it is out of use. Put it where nobody takes it.")):
        return redirect(made[0])
    return render(request, "inspections/event_new.html", {"form": form})


@needs("event.see")
def event_detail(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """What was in it, what has become of each, and what was told."""
    event = _event(request, "event.see", pk)
    if event.kind == "arrest":
        return redirect(event)
    return render(request, "inspections/event_detail.html", page_of(request, event, may_know=True))


@needs("event.record")
def event_account(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """Later words beside the first, and more of what was in it."""
    event = _event(request, "event.record", pk)
    form = AccountForm(request.POST or None, user=request.user)
    if kept(
        request,
        form,
        lambda: add_account(event, stamp=stamp_of(request), **form.cleaned_data),
        _("Added. What was told before stands beside it."),
    ):
        return redirect(event)
    page = {"form": form, "event": event}
    return render(request, "inspections/event_account.html", page)


@needs("hold.release")
def event_release(request: HttpRequest, pk: uuid.UUID) -> HttpResponse:
    """A manager and a competent person let the evidence go: one asks here, the other agrees."""
    event = _event(request, "hold.release", pk)
    hold = event.hold
    if hold is None or hold.released_at:
        return redirect(event)
    is_second = hold.asked_by is not None and hold.asked_by != request.user
    form = (AgreeForm if is_second else AskForm)(request.POST or None)

    def act() -> None:
        if is_second:
            agree_release_of_hold(hold, stamp=stamp_of(request))
        else:
            ask_release_of_hold(hold, stamp=stamp_of(request), **form.cleaned_data)

    said = (
        _("The evidence is released.") if is_second else _("Asked. A second person has to agree.")
    )
    if kept(request, form, act, said):
        return redirect(event)
    page = {"form": form, "event": event, "hold": hold, "is_second": is_second}
    return render(request, "inspections/event_release.html", page)


def page_of(request: HttpRequest, event: Event, *, may_know: bool) -> dict[str, Any]:
    """What the page of any event shows; who holds what only to those who may know."""
    lines = {
        line.item_id: line for line in event.lines.select_related("item", "cleared_by__person")
    }
    items = list(event.items.with_product())
    verdicts = verdicts_of(items, clock.today(event.site))
    ends = outcomes_of(event, items)
    rows = [
        (
            lines[item.pk],
            item,
            item.where if may_know else item.place_name,
            ends[item.pk],
            verdict_sentence(verdicts[item.pk]),
        )
        for item in items
    ]
    return {
        "event": event,
        "rows": rows,
        "open_count": sum(not outcome for outcome in ends.values()),
        "accounts": event.accounts.select_related("by__person"),
        "may_record": may(request.user, "event.record", event.site),
        "may_clear": may(request.user, "item.release", event.site),
        "may_release": may(request.user, "hold.release", event.site),
        "day": clock.day_at(event.site, event.happened_at),
        "time": time_at(event.site, event.happened_at),
    }


def _event(request: HttpRequest, need: str, pk: uuid.UUID) -> Event:
    rows = Event.objects.select_related(
        *("site", "zone", "recorded_by__person", "hold__asked_by__person")
    )
    return fetch(rows, request.user, need, pk=pk)
