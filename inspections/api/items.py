"""Items: the list, one of them, and the verdict by tag."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from inspections.api.finding import item_of, items_of
from inspections.api.verdicts import VerdictTold, verdict_told
from inspections.filters import ItemFilter
from inspections.record import verdicts_at
from inspections.rules.verdict import Verdict
from register import clock
from register.api.bearer import Caller
from register.api.calls import call, caller_of
from register.api.paging import page_by
from register.api.problems import Problem
from register.api.shapes import Day, Next, Page, Shape, SiteCode, TagText, Text, read_whole
from register.models import Item, Site
from register.rules import tags
from register.rules.classes import CLASSES
from register.rules.conditions import CONDITIONS
from register.rules.serials import serial_key

router = Router(tags=["items"])

ClassSlug = Literal[tuple(CLASSES)]  # type: ignore[valid-type]
ConditionSlug = Literal[tuple(one.value for one in CONDITIONS)]  # type: ignore[valid-type]


class ItemsAsked(Page):
    """Which items; what is not given does not narrow."""

    site: Annotated[Text, Field(max_length=20, description=gettext_noop("Code of a site."))] = ""
    equipment_class: Annotated[
        ClassSlug | None, Field(description=gettext_noop("Class of the product."))
    ] = None
    condition: Annotated[ConditionSlug | None, Field(description=gettext_noop("Condition."))] = None
    usable: Annotated[
        Literal["yes", "no", "overdue"] | None,
        Field(
            description=gettext_noop(
                "‘yes’ usable today; ‘no’ not usable; ‘overdue’ in service and out of date."
            )
        ),
    ] = None
    in_date_through: Annotated[
        Day | None, Field(description=gettext_noop("In date through that day."))
    ] = None
    serial: Annotated[
        Text,
        Field(max_length=60, description=gettext_noop("The maker’s serial, in any spelling.")),
    ] = ""
    rated_at_least_kg: Annotated[
        Annotated[int, Field(ge=1, le=1000), read_whole] | None,
        Field(description=gettext_noop("Rated to so many kilograms or more.")),
    ] = None


class ItemTold(Shape):
    """One piece of equipment: what it is, where it is, and whether it may be used."""

    tag: TagText
    equipment_class: Annotated[ClassSlug, Field(examples=["harness"])]
    name: Annotated[
        str,
        Field(description=gettext_noop("The class in words."), examples=["Full body harness"]),
    ]
    maker: Annotated[str, Field(examples=["Halvard Textiles"])]
    model: Annotated[str, Field(examples=["Model 4"])]
    standards: str
    serial: Annotated[str, Field(examples=["HT-00042"])]
    batch: str
    size: str
    made_first_on: Annotated[
        Day | None,
        Field(description=gettext_noop("Earliest day on which it can have been made.")),
    ]
    made_last_on: Annotated[
        Day | None, Field(description=gettext_noop("Latest day on which it can have been made."))
    ]
    first_used_on: Day | None
    accepted_on: Day | None
    min_user_kg: int | None
    max_user_kg: Annotated[int | None, Field(examples=[140])]
    length_m: Annotated[float | None, Field(examples=[2.0])]
    condition: Annotated[ConditionSlug, Field(examples=["in-service"])]
    custody: Annotated[str, Field(examples=["stores"])]
    site: SiteCode
    zone: Annotated[str | None, Field(description=gettext_noop("Code of the zone."))]
    place: str
    kit: Annotated[str | None, Field(description=gettext_noop("Name of the kit in which it is."))]
    holder: Annotated[
        str | None,
        Field(
            description=gettext_noop(
                "Who has it; null also where this token may not read who holds what."
            )
        ),
    ]
    verdict: VerdictTold


class ItemPage(Shape):
    items: list[ItemTold]
    next: Next


class TagVerdict(VerdictTold):
    """The verdict, and the item that the tag leads to."""

    tag: TagText
    is_replaced: Annotated[
        bool,
        Field(description=gettext_noop("The tag asked for was replaced; this is the present one.")),
    ]
    serial: Annotated[
        str,
        Field(
            description=gettext_noop("Compare it with the serial on the item."),
            examples=["HT-00042"],
        ),
    ]


@router.get(
    "/items",
    response=ItemPage,
    operation_id="item-list",
    summary=gettext_noop("Items, filtered"),
    description=gettext_noop(
        "In the order of their tags, page by page. Items on their way to a site of the token are"
        " among them."
    ),
)
@call("item.see")
def item_list(request: HttpRequest, asked: Query[ItemsAsked]) -> ItemPage:
    caller = caller_of(request)
    found, following = page_by(_filtered(caller, asked), asked, "code")
    verdicts = verdicts_at(found, caller.at)
    return ItemPage(
        items=[item_told(item, verdicts[item.pk], caller) for item in found], next=following
    )


@router.get(
    "/items/{tag}",
    response=ItemTold,
    operation_id="item",
    summary=gettext_noop("One item"),
    description=gettext_noop(
        "By its tag, also by one that was replaced; dashes and case do not matter."
    ),
)
@call("item.see")
def item(request: HttpRequest, tag: TagText) -> ItemTold:
    caller = caller_of(request)
    found = item_of(caller, tag)
    return item_told(found, verdicts_at([found], caller.at)[found.pk], caller)


@router.get(
    "/items/{tag}/verdict",
    response=TagVerdict,
    operation_id="item-verdict",
    summary=gettext_noop("May this item be used now?"),
    description=gettext_noop(
        "What the page behind the tag says: usable now and through which day, or the one reason why"
        " not and what to do. An answer that is not ‘usable: true’ means: do not use."
    ),
)
@call("item.see")
def item_verdict(request: HttpRequest, tag: TagText) -> TagVerdict:
    caller = caller_of(request)
    found = item_of(caller, tag)
    day = clock.day_at(found.site, caller.at)
    verdict = verdict_told(verdicts_at([found], caller.at)[found.pk], day)
    return TagVerdict(
        **verdict.model_dump(),
        tag=found.code,
        is_replaced=(tags.read(tag).code or tag) != found.code,
        serial=found.serial,
    )


def _filtered(caller: Caller, asked: ItemsAsked) -> Any:
    """By the same filters as the equipment list."""
    told = {
        "site": asked.site,
        "equipment_class": asked.equipment_class,
        "condition": asked.condition,
        "usable": asked.usable,
        "good_on": asked.in_date_through,
        "rating": asked.rated_at_least_kg,
    }
    rows = items_of(caller)
    if asked.serial:
        key = serial_key(asked.serial)
        rows = rows.filter(serial_key=key) if key else rows.none()
    first_site = Site.objects.visible_to(caller.user).first()
    today = clock.day_at(first_site, caller.at) if first_site else caller.at.date()
    chosen = {name: value for name, value in told.items() if value}
    found = ItemFilter(chosen, rows, user=caller.user, today=today)
    if not found.is_valid():
        detail = _("The token reaches no site of this code.")
        raise Problem("unsound", detail, errors=[{"parameter": "site", "detail": detail}])
    return found.qs


def item_told(item: Item, verdict: Verdict, caller: Caller) -> ItemTold:
    """The item as this token may know it."""
    product, day = item.product, clock.day_at(item.site, caller.at)
    named = item.holder is not None and caller.may("person.see", item.site_id)
    return ItemTold(
        tag=item.code,
        equipment_class=product.equipment_class,
        name=product.kind_name,
        maker=product.maker,
        model=product.designation,
        standards=product.standards,
        serial=item.serial,
        batch=item.batch,
        size=item.size,
        made_first_on=item.made_first_on,
        made_last_on=item.made_last_on,
        first_used_on=item.first_used_on,
        accepted_on=item.accepted_on,
        min_user_kg=product.min_user_kg,
        max_user_kg=product.max_user_kg,
        length_m=float(product.length_m) if product.length_m is not None else None,
        condition=item.condition,
        custody=item.custody,
        site=item.site.code,
        zone=item.zone.code if item.zone else None,
        place=item.place,
        kit=item.kit.name if item.kit else None,
        holder=str(item.holder) if named else None,
        verdict=verdict_told(verdict, day),
    )
