"""What was known of an item at any past moment."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from inspections.as_known import as_known
from inspections.forms.known import KnownForm
from inspections.wording import clock_sentence, verdict_sentence
from register import clock
from register.access import fetch, needs
from register.models import Item
from register.wording import condition_name

NEED = "inspection.see"


@needs(NEED)
def item_as_known(request: HttpRequest, code: str) -> HttpResponse:
    """The records made by the moment asked, and the verdict they came to; now where none is asked."""
    item = fetch(Item.objects.with_product(), request.user, NEED, code=code)
    place, now = ZoneInfo(item.site.time_zone), clock.now()
    form = KnownForm(request.GET if "at" in request.GET else None, place=place, now=now)
    asked: datetime | None = now
    if form.is_bound:
        asked = form.cleaned_data["at"] if form.is_valid() else None
    page: dict[str, object] = {"item": item, "form": form, "at": asked}
    if asked:
        then = as_known(item, asked)
        page |= {"then": then, "sentence": verdict_sentence(then.verdict)}
        page |= {"clocks": [clock_sentence(one) for one in then.clocks]}
        page["condition"] = condition_name(then.condition) if then.condition else ""
    return render(request, "inspections/item_as_known.html", page)
