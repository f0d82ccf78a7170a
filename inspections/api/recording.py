"""An inspection made now by the owner of the token, recorded through the same act as on the page."""

from __future__ import annotations

import uuid
from decimal import Decimal
from typing import Annotated, Literal

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Body
from pydantic import Field

from inspections.actions.finding import Finding, Flaw
from inspections.actions.inspecting import inspect
from inspections.actions.kit_inspecting import inspect_kit
from inspections.api.finding import item_of
from inspections.api.inspections import (
    Grade,
    InspectionTold,
    KindSlug,
    VerdictSlug,
    inspection_told,
    router,
)
from inspections.api.verdicts import VerdictTold, verdict_told
from inspections.checklists import checklist_for
from inspections.conditions import verdict_of
from inspections.models import Inspection
from inspections.rules.checklists import ANSWERS, STATEMENTS, Answers, Checklist, hash_of
from inspections.rules.rounds import NOT_SEEN
from inspections.sync.bodies import Body as EventBody
from inspections.sync.looks import contents_of
from register import clock
from register.api.bearer import Caller
from register.api.calls import answered, call, caller_of, demand
from register.api.once import InOne, key_of
from register.api.shapes import Day, Shape, TagText, Text
from register.models import Item, Kit
from register.refusal import Refusal

StatementSlug = Literal[("", *STATEMENTS)]  # type: ignore[valid-type]
AnswerSlug = Literal[tuple(ANSWERS)]  # type: ignore[valid-type]
Figure = Annotated[Text, Field(pattern=r"^-?[0-9]{1,9}(\.[0-9]{1,6})?$", examples=["0.5"])]
_KEYS = uuid.UUID("0d4be0f4-9a0e-4b0a-9a35-3c5d5b7a6c55")


class DefectSent(Shape):
    grade: Annotated[Grade, Field(examples=["A"])]
    what: Annotated[Text, Field(min_length=1, max_length=200, examples=["Edge cut, 3 mm"])]
    place: Annotated[Text, Field(max_length=80)] = ""
    point: Annotated[Text, Field(max_length=60)] = ""
    action: Annotated[Text, Field(max_length=200)] = ""
    danger_by_on: Day | None = None


class ContentsSent(Shape):
    """What was done with the bag of a kit."""

    seen: Annotated[
        list[TagText],
        Field(
            max_length=100, description=gettext_noop("Tags of the pieces that were in the hand.")
        ),
    ] = []
    left_shut: Annotated[bool, Field(description=gettext_noop("Not opened, its seal whole."))] = (
        False
    )
    seal: Annotated[
        Text, Field(max_length=30, description=gettext_noop("Number of the new seal."))
    ] = ""


class InspectionSent(Shape):
    """One look at an item, made now by the owner of the token."""

    kind: Annotated[KindSlug, Field(examples=["detailed"])]
    verdict: Annotated[VerdictSlug, Field(examples=["pass"])]
    statement: Annotated[
        StatementSlug,
        Field(
            description=gettext_noop("What is said of all points of the checklist together."),
            examples=["all-good"],
        ),
    ] = ""
    answers: Annotated[
        dict[Text, AnswerSlug],
        Field(
            max_length=100,
            description=gettext_noop("Single points of the checklist by their slugs."),
            examples=[{}],
        ),
    ] = {}
    measured: Annotated[
        dict[Text, Figure],
        Field(
            max_length=100,
            description=gettext_noop(
                "What was measured at a point, in the unit of that point, as text."
            ),
            examples=[{}],
        ),
    ] = {}
    checklist: Annotated[
        Text | None,
        Field(
            max_length=64,
            description=gettext_noop(
                "Hash of the checklist that it was judged by; refused where another one is in force."
                " Null: the one in force."
            ),
            examples=[None],
        ),
    ] = None
    defects: Annotated[list[DefectSent], Field(max_length=50, examples=[[]])] = []
    note: Annotated[Text, Field(max_length=400)] = ""
    good_until_on: Annotated[
        Day | None,
        Field(description=gettext_noop("A shorter day than its interval gives."), examples=[None]),
    ] = None
    restricted_to: Annotated[Text, Field(max_length=60)] = ""
    covers_periodic: Annotated[
        bool, Field(description=gettext_noop("The maker’s periodic procedure was followed."))
    ] = False
    contents: Annotated[
        ContentsSent | None,
        Field(description=gettext_noop("For a rescue kit alone."), examples=[None]),
    ] = None


class Recorded(Shape):
    """The record, and whether the item may be used now."""

    inspection: InspectionTold
    verdict: VerdictTold


@router.post(
    "/items/{tag}/inspections",
    response={201: Recorded},
    operation_id="inspection-record",
    summary=gettext_noop("Record an inspection"),
    description=gettext_noop(
        "Made now, by the owner of the token, through the same act as on the page. A fail withdraws"
        " or quarantines at once. A pass moves dates only where its inspector is authorised for the"
        " class and kind today and does not hold the item; else it is kept and ‘counts’ is false."
        " What was looked at earlier is sent as an event."
    ),
)
@call("inspection.record", once=InOne())
def inspection_record(
    request: HttpRequest, tag: TagText, sent: Body[InspectionSent]
) -> HttpResponse:
    caller = caller_of(request)
    item = item_of(caller, tag)
    if not (item.bound_for_id and caller.may("inspection.record", item.bound_for_id)):
        demand(caller, "inspection.record", item.site_id)
    inspection = _recorded(item, _finding(request, item, sent, caller), sent, caller)
    named = caller.may("person.see", item.site_id)
    item.refresh_from_db()
    day = clock.day_at(item.site, caller.at)
    told = Recorded(
        inspection=inspection_told(inspection, item.code, named=named),
        verdict=verdict_told(verdict_of(item, day), day),
    )
    return answered(201, told)


def _recorded(item: Item, finding: Finding, sent: InspectionSent, caller: Caller) -> Inspection:
    given = sent.contents.model_dump() if sent.contents else {}
    contents = contents_of(EventBody({"contents": given}), item)
    if contents is None:
        return inspect(item, finding=finding, stamp=caller.stamp)
    kit = Kit.objects.get(item=item)
    return inspect_kit(kit, finding=finding, contents=contents, stamp=caller.stamp)


def _finding(request: HttpRequest, item: Item, sent: InspectionSent, caller: Caller) -> Finding:
    """Its id is made of the key, so that even a key whose answer is forgotten records it once."""
    is_seen = sent.verdict not in NOT_SEEN
    measured = {slug: Decimal(figure) for slug, figure in sent.measured.items()}
    told = Answers(statement=sent.statement, points=sent.answers, measured=measured)
    return Finding(
        id=uuid.uuid5(_KEYS, f"{caller.token.pk} {key_of(request)}"),
        kind=sent.kind,
        verdict=sent.verdict,
        performed_at=caller.at,
        inspector=caller.user.person,
        flaws=[Flaw(**one.model_dump()) for one in sent.defects],
        note=sent.note,
        good_until_on=sent.good_until_on,
        restricted_to=sent.restricted_to,
        covers_periodic=sent.covers_periodic,
        checklist=_checklist(item, sent) if is_seen else None,
        answers=told if is_seen else Answers(points={}, measured={}),
    )


def _checklist(item: Item, sent: InspectionSent) -> Checklist:
    found = checklist_for(item.product.equipment_class)
    if sent.checklist is not None and sent.checklist != hash_of(found):
        raise Refusal(
            "checklist-changed",
            _("%(item)s was judged by a checklist that is not in force: look at it anew.")
            % {"item": item.shown_code},
        )
    return found
