"""One item of a fall that was not in the load path after all."""

from __future__ import annotations

import uuid

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from inspections.actions.clearing import clear_of_load
from inspections.forms.events import ClearForm
from inspections.models import Event
from register.access import fetch, needs
from register.asking_again import asks_again
from register.models import Item
from register.telling import kept, stamp_of


@needs("item.release")
@asks_again
def event_clear(request: HttpRequest, pk: uuid.UUID, code: str) -> HttpResponse:
    """It stays in quarantine; it need not be destroyed."""
    event = fetch(Event.objects.select_related("site"), request.user, "item.release", pk=pk)
    item = fetch(Item.objects.with_product(), request.user, "item.release", code=code)
    line = get_object_or_404(event.lines.select_related("event"), item=item)
    form = ClearForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: clear_of_load(line, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s stays out: it has to pass an inspection and be released.")
        % {"item": item.shown_code},
    ):
        return redirect(event)
    page = {"event": event, "item": item, "line": line, "form": form}
    return render(request, "inspections/event_clear.html", page)
