"""Accepting what a delivery brought, where no examination has to come first."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.using import accept_into_service
from register import clock
from register.access import fetch, needs
from register.models import Delivery
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.telling import stamp_of, told_to


@needs("item.accept")
@require_POST
def delivery_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """All pieces that wait, or the chosen ones; refused, the choice stands as it was."""
    rows = Delivery.objects.select_related("site")
    delivery = fetch(rows, request.user, "item.accept", pk=pk)
    waiting = delivery.items.filter(condition=Condition.RECEIVED)
    chosen = [text for text in request.POST.getlist("item") if text.isdecimal()]
    if request.POST.get("which") != "all":
        waiting = waiting.filter(pk__in=chosen)
    items = list(waiting.select_related("product", "delivery", "site"))
    address = reverse("inspections:delivery-detail", args=[pk])
    stamp = stamp_of(request)
    with told_to(request, _("%(number)s accepted into service.") % {"number": len(items)}):
        if not items:
            raise Refusal("nothing-chosen", _("Choose the pieces whose labels you have checked."))
        accept_into_service(items, on=clock.day_at(delivery.site, stamp.at), stamp=stamp)
        return redirect(address)
    return redirect(f"{address}?{urlencode({'item': chosen}, doseq=True)}")
