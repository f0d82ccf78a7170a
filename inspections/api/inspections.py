"""The inspections of one item, the latest first, superseded ones too."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal
from uuid import UUID

from django.db.models import Q
from django.http import HttpRequest
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from inspections.api.finding import item_of
from inspections.models import Defect, Inspection
from inspections.rules.kinds import KINDS
from inspections.rules.verdict import DEFECT_CLASSES, VERDICTS
from inspections.wording import why_it_moves_no_date
from register.api.calls import call, caller_of
from register.api.paging import cut, not_a_cursor
from register.api.shapes import Day, Key, Moment, Next, Page, Shape, TagText

router = Router(tags=["inspections"])

KindSlug = Literal[tuple(KINDS)]  # type: ignore[valid-type]
VerdictSlug = Literal[tuple(VERDICTS)]  # type: ignore[valid-type]
Grade = Literal[tuple(DEFECT_CLASSES)]  # type: ignore[valid-type]


class DefectTold(Shape):
    """One defect as it was found."""

    grade: Annotated[
        Grade,
        Field(
            description=gettext_noop(
                "A: a danger now; B: could become one by a day; C: an observation (after LOLER 1998,"
                " regulation 10)."
            ),
            examples=["B"],
        ),
    ]
    what: Annotated[str, Field(examples=["Stitching worn at the back loop"])]
    place: str
    point: Annotated[
        str, Field(description=gettext_noop("Slug of the point of the checklist, or empty."))
    ]
    action: Annotated[str, Field(description=gettext_noop("What was done about it."))]
    danger_by_on: Day | None


class InspectionTold(Shape):
    """One look at the item, as it was recorded. Nothing here is ever edited: a correction is
    another inspection, which names the one that it supersedes."""

    id: Key
    tag: TagText
    kind: Annotated[KindSlug, Field(examples=["detailed"])]
    verdict: Annotated[VerdictSlug, Field(examples=["pass"])]
    performed_on: Annotated[Day, Field(description=gettext_noop("By the site’s own calendar."))]
    performed_at: Moment
    recorded_at: Moment
    counts: Annotated[
        bool, Field(description=gettext_noop("Whether it moves the dates of the item."))
    ]
    why_not_counted: Annotated[
        str | None, Field(description=gettext_noop("Why it moves no date, in words."))
    ]
    inspector: Annotated[
        str | None,
        Field(description=gettext_noop("Null also where this token may not read who inspected.")),
    ]
    good_until_on: Annotated[
        Day | None, Field(description=gettext_noop("A shorter day that the inspector set."))
    ]
    restricted_to: str
    covers_periodic: bool
    note: str
    source: Annotated[
        Literal["direct", "paper", "brought-in"],
        Field(
            description=gettext_noop(
                "Recorded at the item, entered later from paper, or brought in."
            )
        ),
    ]
    defects: list[DefectTold]
    supersedes: Annotated[
        Key | None, Field(description=gettext_noop("The inspection that this one corrects."))
    ]
    superseded_by: Annotated[
        Key | None,
        Field(
            description=gettext_noop("The one that corrects this; this one then proves nothing.")
        ),
    ]


class InspectionPage(Shape):
    inspections: list[InspectionTold]
    next: Next


@router.get(
    "/items/{tag}/inspections",
    response=InspectionPage,
    operation_id="inspection-list",
    summary=gettext_noop("The inspections of an item"),
    description=gettext_noop("The latest first, those that were corrected too."),
)
@call("inspection.see")
def inspection_list(request: HttpRequest, tag: TagText, asked: Query[Page]) -> InspectionPage:
    caller = caller_of(request)
    item = item_of(caller, tag)
    rows = item.inspections.select_related("inspector", "superseded_by")
    if asked.after:
        at, key = _read(asked.after)
        rows = rows.filter(Q(recorded_at__lt=at) | Q(recorded_at=at, pk__gt=key))
    rows = rows.prefetch_related("defects").order_by("-recorded_at", "pk")
    found, following = cut(list(rows[: asked.limit + 1]), asked.limit, _written)
    named = caller.may("person.see", item.site_id)
    shown = [inspection_told(one, item.code, named=named) for one in found]
    return InspectionPage(inspections=shown, next=following)


def inspection_told(one: Inspection, tag: str, *, named: bool) -> InspectionTold:
    """The record; with the inspector's name only where that may be read."""
    superseding = getattr(one, "superseded_by", None)
    return InspectionTold(
        id=one.pk,
        tag=tag,
        kind=one.kind,
        verdict=one.verdict,
        performed_on=one.performed_on,
        performed_at=one.performed_at,
        recorded_at=one.recorded_at,
        counts=one.counts,
        why_not_counted=why_it_moves_no_date(one.verdict, one.counts_not_because) or None,
        inspector=(one.inspector_name or None) if named else None,
        good_until_on=one.good_until_on,
        restricted_to=one.restricted_to,
        covers_periodic=one.covers_periodic,
        note=one.note,
        source=one.source,
        defects=[_defect(defect) for defect in one.defects.all()],
        supersedes=one.supersedes_id,
        superseded_by=superseding.pk if superseding else None,
    )


def _defect(one: Defect) -> DefectTold:
    return DefectTold(
        grade=one.grade,
        what=one.what,
        place=one.place,
        point=one.point,
        action=one.action,
        danger_by_on=one.danger_by_on,
    )


def _written(one: Inspection) -> str:
    """Without a plus, which an address would read as a blank."""
    return f"{one.recorded_at.isoformat().replace('+00:00', 'Z')}_{one.pk}"


def _read(cursor: str) -> tuple[datetime, UUID]:
    at, _bar, key = cursor.partition("_")
    try:
        found = datetime.fromisoformat(at), UUID(key)
    except ValueError:
        raise not_a_cursor() from None
    if found[0].tzinfo is None:
        raise not_a_cursor()
    return found
