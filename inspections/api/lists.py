"""What falls due, and the safety notices with the items they mean."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Annotated, Literal

from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from inspections.due_board import falling_due
from inspections.models import Notice, NoticeMatch
from inspections.notice_board import NONE, Counts, counts_of
from inspections.notice_wording import doubt_words
from inspections.rules.notice_kinds import NOTICE_KINDS
from register import clock
from register.access import sites_for
from register.api.bearer import Caller
from register.api.calls import call, caller_of
from register.api.paging import after_day, cut, not_a_cursor, page_by
from register.api.problems import Problem, not_found
from register.api.shapes import Day, Moment, Next, Page, Shape, SiteCode, TagText, Text
from register.models import Item, Site

router = Router()

USUAL_DAYS = 42
NoticeKind = Literal[tuple(NOTICE_KINDS)]  # type: ignore[valid-type]


class DueAsked(Page):
    site: Annotated[Text, Field(max_length=20, description=gettext_noop("Code of a site."))] = ""
    through: Annotated[
        Day | None,
        Field(
            description=gettext_noop(
                "The last day looked at; six weeks from today where not given."
            )
        ),
    ] = None


class DueTold(Shape):
    """One item in service that falls due."""

    tag: TagText
    equipment_class: Annotated[str, Field(examples=["harness"])]
    site: SiteCode
    zone: str | None
    last_good_on: Annotated[
        Day | None,
        Field(description=gettext_noop("Last good day; null: not known, and so not usable.")),
    ]
    clock: Annotated[
        str | None,
        Field(description=gettext_noop("What falls due, as a slug."), examples=["periodic"]),
    ]
    is_overdue: bool
    is_held: Annotated[bool, Field(description=gettext_noop("A safety notice keeps it from use."))]


class DuePage(Shape):
    due: list[DueTold]
    next: Next


class NoticeTold(Shape):
    """What a maker or an authority says of some pieces, and how many of them are at the sites of
    this token."""

    id: Annotated[int, Field(examples=[3])]
    issuer: Annotated[str, Field(examples=["Halvard Textiles"])]
    reference: Annotated[str, Field(examples=["SN-2026-04"])]
    version: int
    kind: Annotated[NoticeKind, Field(examples=["stop-use"])]
    received_on: Day
    deadline_on: Annotated[Day | None, Field(description=gettext_noop("Last day of use."))]
    text: str
    instructions: str
    is_in_force: bool
    items_certain: int
    items_possible: int
    items_to_settle: int


class NoticePage(Shape):
    notices: list[NoticeTold]
    next: Next


class MeantTold(Shape):
    """One item that a notice means."""

    tag: TagText
    site: SiteCode
    certainty: Annotated[Literal["certain", "possible"], Field(examples=["certain"])]
    doubts: Annotated[
        str, Field(description=gettext_noop("What the record leaves open, in words; or empty."))
    ]
    acknowledged_at: Moment | None
    outcome: Annotated[
        str, Field(description=gettext_noop("How it ended for this item; or empty."))
    ]
    is_open: Annotated[bool, Field(description=gettext_noop("Somebody has still something to do."))]


class MeantPage(Shape):
    items: list[MeantTold]
    next: Next


@router.get(
    "/due",
    response=DuePage,
    operation_id="due-list",
    tags=["due"],
    summary=gettext_noop("What falls due"),
    description=gettext_noop(
        "Items in service, those whose date is not known first, then the longest overdue. Days are"
        " last good days: an item is in date on its day."
    ),
)
@call("due.see")
def due_list(request: HttpRequest, asked: Query[DueAsked]) -> DuePage:
    caller = caller_of(request)
    sites = _due_sites(caller, asked.site)
    through = asked.through or caller.at.date() + timedelta(days=USUAL_DAYS)
    rows = falling_due().filter(Q(good_on__lte=through) | Q(good_on=None), site__in=sites)
    rows = _after(rows, asked.after) if asked.after else rows
    rows = rows.annotate(held=Exists(NoticeMatch.objects.holding().filter(item=OuterRef("pk"))))
    rows = rows.select_related("product", "site", "zone", "due")
    ordered = rows.order_by(F("good_on").asc(nulls_first=True), "code")
    found, following = cut(list(ordered[: asked.limit + 1]), asked.limit, _written)
    return DuePage(due=[_due(item, caller) for item in found], next=following)


@router.get(
    "/notices",
    response=NoticePage,
    operation_id="notice-list",
    tags=["notices"],
    summary=gettext_noop("Safety notices"),
    description=gettext_noop(
        "All of them, ended ones too, in the order in which they were entered."
    ),
)
@call("notice.see")
def notice_list(request: HttpRequest, asked: Query[Page]) -> NoticePage:
    caller = caller_of(request)
    if asked.after and not _is_number(asked.after):
        raise not_a_cursor()
    rows = Notice.objects.visible_to(caller.user).select_related("revised_by")
    found, following = page_by(rows, asked, "pk")
    counts = counts_of(Item.objects.visible_to(caller.user))
    return NoticePage(
        notices=[_notice(one, counts.get(one.pk, NONE)) for one in found], next=following
    )


@router.get(
    "/notices/{notice}/items",
    response=MeantPage,
    operation_id="notice-items",
    tags=["notices"],
    summary=gettext_noop("The items that a notice means"),
    description=gettext_noop("Those at the sites of this token, in the order of their tags."),
)
@call("notice.see")
def notice_items(request: HttpRequest, notice: str, asked: Query[Page]) -> MeantPage:
    caller = caller_of(request)
    known = Notice.objects.visible_to(caller.user)
    found = known.filter(pk=int(notice)).first() if _is_number(notice) else None
    if found is None:
        raise not_found()
    rows = NoticeMatch.objects.visible_to(caller.user).filter(notice=found)
    rows = rows.exclude(certainty="none").select_related(
        "item__site", "inspection__superseded_by", "notice"
    )
    page, following = page_by(rows, asked, "item__code")
    return MeantPage(items=[_meant(one) for one in page], next=following)


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[0-9]{1,9}", text) is not None


def _due_sites(caller: Caller, code: str) -> QuerySet[Site]:
    sites = sites_for(caller.user, "due.see")
    found = sites.filter(code=code) if code else sites
    if code and not found:
        detail = _("The token reaches no site of this code.")
        raise Problem("unsound", detail, errors=[{"parameter": "site", "detail": detail}])
    return found


def _after(rows: QuerySet[Item], cursor: str) -> QuerySet[Item]:
    day, code = after_day(cursor)
    if not day:
        return rows.filter(Q(good_on__isnull=False) | Q(good_on=None, code__gt=code))
    try:
        last = date.fromisoformat(day)
    except ValueError:
        raise not_a_cursor() from None
    return rows.filter(Q(good_on__gt=last) | Q(good_on=last, code__gt=code))


def _written(item: Item) -> str:
    day: date | None = item.good_on  # type: ignore[attr-defined]
    return f"{day.isoformat() if day else ''}.{item.code}"


def _due(item: Item, caller: Caller) -> DueTold:
    day: date | None = item.good_on  # type: ignore[attr-defined]
    copy = getattr(item, "due", None)
    return DueTold(
        tag=item.code,
        equipment_class=item.product.equipment_class,
        site=item.site.code,
        zone=item.zone.code if item.zone else None,
        last_good_on=day,
        clock=copy.clock if copy else None,
        is_overdue=day is None or day < clock.day_at(item.site, caller.at),
        is_held=item.held,  # type: ignore[attr-defined]
    )


def _notice(one: Notice, counts: Counts) -> NoticeTold:
    return NoticeTold(
        id=one.pk,
        issuer=one.issuer,
        reference=one.reference,
        version=one.version,
        kind=one.kind,
        received_on=one.received_on,
        deadline_on=one.deadline_on,
        text=one.text,
        instructions=one.instructions,
        is_in_force=one.is_in_force,
        items_certain=counts.certain,
        items_possible=counts.possible,
        items_to_settle=counts.to_settle,
    )


def _meant(one: NoticeMatch) -> MeantTold:
    return MeantTold(
        tag=one.item.code,
        site=one.item.site.code,
        certainty=one.certainty,
        doubts=doubt_words(one.doubts),
        acknowledged_at=one.acknowledged_at,
        outcome=one.outcome,
        is_open=one.is_open,
    )
