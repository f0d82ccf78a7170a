"""A person as the cover rule sees them: where they start from, when they are there, what they can."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta

from readiness.facts.rows import SiteRows
from readiness.models import Competence as CompetenceRow
from readiness.models import RotaEntry
from readiness.rules.situation import Competence, Interval, Person
from register.models import Person as PersonRow
from register.models import Shift

_DAY = timedelta(days=1)


def person_of(row: PersonRow, rows: SiteRows, day: date, shift: Shift) -> Person:
    """On site only where the rota says so; an unknown is absent."""
    listed = rows.rota.get((row.pk, shift.pk), ())
    entries = [entry for entry in listed if employed(row, entry.day_on)]
    return Person(
        id=str(row.pk),
        name=row.name,
        zone=_zone(entries, day),
        competences=competences_of(rows.competences.get(row.pk, ()), day),
        on_site=spans(entry.day_on for entry in entries),
    )


def employed(row: PersonRow, day: date) -> bool:
    """Until the day before they left."""
    return row.left_on is None or day < row.left_on


def _zone(entries: list[RotaEntry], day: date) -> str:
    """The day's own zone, else that of the next day they come."""
    coming = [entry.zone.code for entry in entries if entry.day_on >= day]
    return coming[0] if coming else ""


def spans(days: Iterable[date]) -> tuple[Interval, ...]:
    """Days in a row become one interval, first and last counted."""
    found: list[Interval] = []
    for day in sorted(set(days)):
        if found and found[-1][1] + _DAY == day:
            found[-1] = (found[-1][0], day)
        else:
            found.append((day, day))
    return tuple(found)


def competences_of(rows: Iterable[CompetenceRow], day: date) -> tuple[Competence, ...]:
    """Those that have begun by the day, each through the day its unbroken renewals reach.

    A renewal that begins after a gap counts only from a day on which it has begun.
    """
    through: dict[tuple[str, str], date] = {}
    for row in sorted(rows, key=lambda one: one.from_on):
        key = (row.kind, row.family)
        reached = through.get(key)
        if row.from_on <= day or (reached is not None and row.from_on <= reached + _DAY):
            through[key] = max(reached or row.through_on, row.through_on)
    return tuple(Competence(kind, end, family) for (kind, family), end in through.items())
