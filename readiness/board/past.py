"""What statements said while they were in force is kept, shift by shift, and added up by weeks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import Count, F, Q, QuerySet
from django.db.models.functions import TruncWeek

from readiness.models import PastShift
from readiness.rules.past import ShiftPart, shift_parts
from readiness.rules.statement import Statement
from register.models import Site

_WEEK = timedelta(weeks=1)


def keep_past(site: Site, statement: Statement, first: datetime, last: datetime) -> None:
    """Add what the statement said of the time in which it was in force."""
    parts = list(shift_parts(statement, first, last))
    begun = {part.begins for part in parts}
    known = {
        (row.task, row.begins_at, row.ends_at): row
        for row in PastShift.objects.filter(site=site, begins_at__in=begun)
    }
    rows = [_added(known.get((part.task, part.begins, part.ends)), part, site) for part in parts]
    PastShift.objects.bulk_create([row for row in rows if row.pk is None])
    sums = ["minutes", "covered_minutes", "backed_minutes"]
    PastShift.objects.bulk_update([row for row in rows if row.pk is not None], sums)


def _added(row: PastShift | None, part: ShiftPart, site: Site) -> PastShift:
    row = row or PastShift(
        site=site,
        task=part.task,
        day_on=part.day,
        begins_at=part.begins,
        ends_at=part.ends,
    )
    row.minutes += part.minutes
    row.covered_minutes += part.covered
    row.backed_minutes += part.backed
    return row


@dataclass(frozen=True, slots=True)
class Week:
    """Shifts of tasks that began in the week: all that needed cover, those covered to the last
    minute, and those of them with backup all along."""

    monday: date
    shifts: int
    covered: int
    backed: int

    @property
    def percent(self) -> int:
        """Of the shifts, those covered; rounded down, so that 100 is all of them."""
        return 100 * self.covered // self.shifts if self.shifts else 0


def weeks(rows: QuerySet[PastShift], last: date, count: int) -> list[Week]:
    """So many weeks, the last of which holds the day `last`; oldest first."""
    monday = last - timedelta(days=last.weekday())
    first = monday - (count - 1) * _WEEK
    whole, backed = Q(covered_minutes=F("minutes")), Q(backed_minutes=F("minutes"))
    told = (
        rows.filter(day_on__gte=first, day_on__lt=monday + _WEEK)
        .order_by()
        .annotate(monday=TruncWeek("day_on"))
        .values("monday")
        .annotate(
            shifts=Count("pk"),
            covered=Count("pk", filter=whole),
            backed=Count("pk", filter=backed),
        )
    )
    return list(_each(told, first, count))


def _each(told: Iterable[Mapping[str, Any]], first: date, count: int) -> Iterator[Week]:
    by_monday = {row["monday"]: row for row in told}
    for monday in (first + n * _WEEK for n in range(count)):
        row = by_monday.get(monday, {"monday": monday, "shifts": 0, "covered": 0, "backed": 0})
        yield Week(**row)
