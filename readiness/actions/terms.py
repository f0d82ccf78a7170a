"""What acts cost and how long they take, as the employer sets it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from readiness.actions.checking import refuse_unless_valid
from readiness.models import CourseDate, RemedyTerms, SiteTravel
from register.models import Site, Stamp, record
from register.refusal import Refusal


@transaction.atomic
def change_terms(wanted: Iterable[RemedyTerms], *, stamp: Stamp) -> list[RemedyTerms]:
    """Keep a row for each kind of act."""
    kept = []
    for row in wanted:
        values = {"lead_hours": row.lead_hours, "cost": row.cost}
        kept.append(RemedyTerms.objects.update_or_create(kind=row.kind, defaults=values)[0])
    facts: dict[Model, Mapping[str, object]] = {
        row: {"kind": row.kind, "lead_hours": row.lead_hours, "cost": row.cost} for row in kept
    }
    record("change-terms", facts, stamp=stamp)
    return kept


@transaction.atomic
def set_travel(start: Site, end: Site, *, hours: float, stamp: Stamp) -> SiteTravel:
    """Hours between two sites, the same both ways."""
    if start == end:
        raise Refusal("same-site", _("Choose two different sites."))
    if hours <= 0:
        raise Refusal("no-hours", _("Say how many hours it takes, more than none."))
    first, last = sorted((start, end), key=lambda one: one.pk)
    row, _made = SiteTravel.objects.update_or_create(
        start=first, end=last, defaults={"hours": hours}
    )
    record(
        "set-travel", {row: {"sites": [first.code, last.code], "hours": str(hours)}}, stamp=stamp
    )
    return row


@transaction.atomic
def plan_course(kind: str, family: str, held_on: date, *, stamp: Stamp) -> CourseDate:
    """A day on which people can be trained."""
    row = CourseDate(kind=kind, family=family, held_on=held_on)
    refuse_unless_valid(row)
    row.save()
    facts = {"kind": kind, "family": family, "held_on": held_on.isoformat()}
    record("plan-course", {row: facts}, stamp=stamp)
    return row
