"""Rescue kits: their seal, their parts, and whether they may be used."""

from __future__ import annotations

from typing import Annotated

from django.db.models import QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from inspections.api.verdicts import VerdictTold, verdict_told
from inspections.record import verdicts_at
from register import clock
from register.api.bearer import Caller
from register.api.calls import call, caller_of
from register.api.paging import page_by
from register.api.problems import not_found
from register.api.shapes import Day, Next, Page, Shape, SiteCode, TagText
from register.models import Kit

router = Router(tags=["kits"])


class PartTold(Shape):
    """One line of the contents card."""

    role: Annotated[str, Field(examples=["descender"])]
    required: bool
    tag: Annotated[
        TagText | None, Field(description=gettext_noop("Null: nothing fills this line."))
    ]
    verdict: VerdictTold | None


class KitTold(Shape):
    """A rescue kit: an item made of parts, closed by a numbered seal. Its verdict takes all of its
    required parts into account."""

    name: Annotated[str, Field(examples=["RK-05"])]
    tag: TagText
    site: SiteCode
    zone: Annotated[str | None, Field(description=gettext_noop("Code of the zone where it hangs."))]
    place: str
    seal_number: str
    seal_intact: bool
    sealed_on: Day | None
    verdict: VerdictTold


class KitWithParts(KitTold):
    parts: list[PartTold]


class KitPage(Shape):
    kits: list[KitTold]
    next: Next


@router.get(
    "/kits",
    response=KitPage,
    operation_id="kit-list",
    summary=gettext_noop("Rescue kits"),
    description=gettext_noop("In the order of their names, each with its verdict."),
)
@call("kit.see")
def kit_list(request: HttpRequest, asked: Query[Page]) -> KitPage:
    caller = caller_of(request)
    kits, following = page_by(_kits(caller), asked, "name")
    verdicts = verdicts_at([kit.item for kit in kits], caller.at)
    shown = [
        KitTold(**_told(kit, verdict_told(verdicts[kit.item_id], _today(kit, caller))))
        for kit in kits
    ]
    return KitPage(kits=shown, next=following)


@router.get(
    "/kits/{name}",
    response=KitWithParts,
    operation_id="kit",
    summary=gettext_noop("One rescue kit, part by part"),
    description=gettext_noop("Each line of its contents card with the verdict on what fills it."),
)
@call("kit.see")
def kit(request: HttpRequest, name: Annotated[str, Field(examples=["RK-05"])]) -> KitWithParts:
    caller = caller_of(request)
    found = _kits(caller).filter(name=name).first()
    if found is None:
        raise not_found(_("No kit of this name is at the sites of this token."))
    parts = list(found.parts.select_related("item__product", "item__site"))
    items = [found.item, *(part.item for part in parts if part.item)]
    day = _today(found, caller)
    told = {pk: verdict_told(one, day) for pk, one in verdicts_at(items, caller.at).items()}
    lines = [
        PartTold(
            role=part.role,
            required=part.required,
            tag=part.item.code if part.item else None,
            verdict=told[part.item.pk] if part.item else None,
        )
        for part in parts
    ]
    return KitWithParts(**_told(found, told[found.item_id]), parts=lines)


def _kits(caller: Caller) -> QuerySet[Kit]:
    rows = Kit.objects.visible_to(caller.user)
    return rows.select_related("item__site", "item__zone", "item__product", "item__holder")


def _today(kit: Kit, caller: Caller) -> object:
    return clock.day_at(kit.item.site, caller.at)


def _told(kit: Kit, verdict: VerdictTold) -> dict[str, object]:
    item = kit.item
    return {
        "name": kit.name,
        "tag": item.code,
        "site": item.site.code,
        "zone": item.zone.code if item.zone else None,
        "place": item.place,
        "seal_number": kit.seal_number,
        "seal_intact": kit.seal_intact,
        "sealed_on": kit.sealed_on,
        "verdict": verdict,
    }
