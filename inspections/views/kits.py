"""The rescue kits with what decides on their use: their seal, their parts and their dates."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext_lazy

from inspections import record
from inspections.wording import verdict_sentence
from register import clock
from register.access import may, needs
from register.models import Item, Kit

ACTS = (
    ("kit.make", "register:kit-fill", gettext_lazy("Put a part in")),
    ("kit.make", "register:kit-take-out", gettext_lazy("Take a part out")),
    ("kit.seal", "register:kit-seal", gettext_lazy("Seal")),
    ("kit.seal", "register:kit-unseal", gettext_lazy("Open, or report the seal broken")),
    ("item.move", "register:kit-place", gettext_lazy("Say where it hangs")),
)


@needs("kit.see")
def kit_list(request: HttpRequest) -> HttpResponse:
    """Every kit with its verdict; a fixed number of queries."""
    kits = Kit.objects.visible_to(request.user)
    kits = kits.select_related("item__site", "item__zone", "item__product", "item__holder")
    items = [kit.item for kit in kits]
    verdicts = record.verdicts_at(items, clock.now())
    rows = [(kit, verdict_sentence(verdicts[kit.item_id])) for kit in kits]
    page = {"rows": rows, "may_make": may(request.user, "kit.make")}
    return render(request, "inspections/kit_list.html", page)


@needs("kit.see")
def kit_detail(request: HttpRequest, name: str) -> HttpResponse:
    """The contents card, part by part, with the seal and what happened to it."""
    kits = Kit.objects.visible_to(request.user).select_related("item")
    kit = get_object_or_404(kits, name=name)
    kit.item = Item.objects.with_product().get(pk=kit.item_id)
    parts = list(kit.parts.select_related("item__product", "item__site"))
    moment = clock.now()
    verdicts = record.verdicts_at([kit.item, *(p.item for p in parts if p.item)], moment)
    sentences = {pk: verdict_sentence(verdict) for pk, verdict in verdicts.items()}
    page = {
        "kit": kit,
        "sentence": sentences[kit.item_id],
        "parts": [(part, sentences.get(part.item_id or 0, "")) for part in parts],
        "inspects": may(request.user, "inspection.record", kit.item.site_id),
        "may_print": may(request.user, "paper.issue", kit.item.site_id),
        "seal_events": kit.seal_events.select_related("by__person"),
        "acts": [
            (page, word) for need, page, word in ACTS if may(request.user, need, kit.item.site_id)
        ],
    }
    return render(request, "inspections/kit_detail.html", page)
