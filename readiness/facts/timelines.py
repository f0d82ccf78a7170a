"""One site's rows become its timeline; in doubt it says less, never more."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from readiness.facts.rows import OnRota, SiteRows
from readiness.facts.situations import (
    anchors_of,
    kit_of,
    part_out,
    policy_of,
    task_of,
    travel_of,
)
from readiness.facts.standing import UNKNOWN
from readiness.models import Exposure, KitAbility
from readiness.models import Permit as PermitRow
from readiness.models import Task as TaskRow
from readiness.rules.situation import Competence, Kit, Person, Pin, Policy
from readiness.rules.timeline import (
    AnchorTime,
    KitTime,
    PermitTime,
    PersonTime,
    Stay,
    TaskTime,
    Timeline,
    Work,
)
from readiness.rules.windows import ALWAYS, Window, hours_of, hours_there, united, without
from register.models import Kit as KitRow
from register.models import Person as PersonRow
from register.models import Shift

_DAY = timedelta(days=1)


def timeline_of(rows: SiteRows) -> Timeline:
    """What is known of the site over the days that were read."""
    hours, policy = Hours(rows), policy_of(rows.policy)
    return Timeline(
        site=rows.site.code,
        zone=hours.zone,
        kits=tuple(kit_time(kit, rows, hours) for kit in rows.kits),
        people=tuple(person_time(person, rows, hours) for person in rows.people),
        anchors=anchor_times(rows),
        tasks=tuple(task_time(task, hours, policy) for task in rows.tasks),
        travel_minutes=travel_of(rows.passages),
        policy=policy,
        places=_places(rows),
        undeclared=rows.arrest_items_on_issue,
        staffed=bool(rows.shifts),
        permits=tuple(permit_time(*numbered) for numbered in enumerate(rows.permits)),
    )


def _places(rows: SiteRows) -> dict[str, str]:
    """The zones that anything is said of, by code."""
    zones = [task.zone for task in rows.tasks]
    zones += [kit.item.zone for kit in rows.kits if kit.item.zone]
    zones += [entry.zone for entries in rows.rota.values() for entry in entries]
    return {zone.code: zone.name for zone in zones}


class Hours:
    """The shifts of each day that was read, by the clock on site."""

    def __init__(self, rows: SiteRows) -> None:
        self.zone = ZoneInfo(rows.site.time_zone)
        self.first, self.last = rows.first, rows.last
        self.shifts = {shift.pk: shift for shift in rows.shifts}
        self._known: dict[tuple[date, int], Window] = {}

    def of(self, day: date, shift: int) -> Window:
        key = (day, shift)
        if key not in self._known:
            row = self.shifts[shift]
            self._known[key] = hours_of(day, row.begins, row.ends, self.zone)
        return self._known[key]

    def days(self, first: date, last: date) -> Iterator[date]:
        """Those of a spell that were read."""
        day = max(first, self.first)
        while day <= min(last, self.last):
            yield day
            day += _DAY


def kit_time(row: KitRow, rows: SiteRows, hours: Hours) -> KitTime:
    ability: KitAbility | None = getattr(row, "ability", None)
    rated = ability is not None and ability.pk is not None
    in_reach = _in_reach(ability, hours) if ability is not None and rated else ALWAYS
    kit = kit_of(row, rows)
    return KitTime(
        kit,
        in_reach=in_reach,
        out_from=_out_from(kit.condition, row.item_id, rows),
        lacks_from=_lacks_from(row, kit, rows),
    )


def _out_from(condition: str, item: int, rows: SiteRows) -> datetime | None:
    """Known only where it is the item's own condition that puts it out, not where it is kept."""
    standing = rows.standings.get(item, UNKNOWN)
    return standing.out_from if standing.condition == condition else None


def _lacks_from(row: KitRow, kit: Kit, rows: SiteRows) -> datetime | None:
    """Known only where all that is missing are parts with a moment at which they went out."""
    inside = [part.item for part in row.parts.all() if part.item]
    known = [_out_from(why, item.pk, rows) for item in inside if (why := part_out(item, row, rows))]
    moments = [moment for moment in known if moment is not None]
    return min(moments) if moments and len(moments) == len(kit.missing) else None


def permit_time(order: int, row: PermitRow) -> PermitTime:
    """Until it is handed back or cancelled; the hours before that are told as they were."""
    ends = min(row.ends_at, row.ended_at or row.ends_at)
    pin = Pin(kit=row.kit, people=tuple(row.people), anchor=row.anchor, order=order)
    return PermitTime(row.task.code, row.begins_at, ends, pin)


def anchor_times(rows: SiteRows) -> tuple[AnchorTime, ...]:
    items = {item.code: item.pk for task in rows.tasks for item in task.rescue_anchors.all()}
    return tuple(
        AnchorTime(one, out_from=_out_from(one.condition, items[one.id], rows))
        for one in anchors_of(rows.tasks, rows)
    )


def _in_reach(ability: KitAbility, hours: Hours) -> tuple[Window, ...]:
    """While somebody holds the key, but for the shifts on which it is locked away."""
    locked = [shift.pk for shift in ability.locked_shifts.all() if shift.pk in hours.shifts]
    if ability.key_from is None or ability.key_until is None:
        held: tuple[Window, ...] = ALWAYS
    else:
        days = hours.days(hours.first, hours.last)
        held = united(
            hours_of(day, ability.key_from, ability.key_until, hours.zone) for day in days
        )
    shut = [hours.of(day, pk) for pk in locked for day in hours.days(hours.first, hours.last)]
    return without(held, shut) if shut else held


def person_time(row: PersonRow, rows: SiteRows, hours: Hours) -> PersonTime:
    """There only where the rota says so; an unknown is absent."""
    stays = [
        Stay(*_stay_hours(entry, hours), entry.zone.code)
        for shift in hours.shifts
        for entry in rows.rota.get((row.pk, shift), ())
        if employed(row, entry.day_on)
    ]
    held = tuple(
        Competence(one.kind, one.through_on, one.family, one.from_on)
        for one in rows.competences.get(row.pk, ())
    )
    return PersonTime(
        Person(id=str(row.pk), name=row.name, zone="", competences=held),
        tuple(sorted(stays, key=lambda stay: (stay.begins, stay.ends, stay.zone))),
    )


def employed(row: PersonRow, day: date) -> bool:
    """Until the day before they left."""
    return row.left_on is None or day < row.left_on


def _stay_hours(entry: OnRota, hours: Hours) -> Window:
    """The shift's, unless the entry names hours of its own within it."""
    shift = hours.shifts[entry.shift_id]
    first, last = hours.of(entry.day_on, shift.pk)
    if entry.begins is None and entry.ends is None:
        return first, last
    own = (entry.begins, entry.ends)
    comes, goes = hours_there(entry.day_on, (shift.begins, shift.ends), own, hours.zone)
    return max(first, comes), min(last, goes)


def task_time(row: TaskRow, hours: Hours, policy: Policy) -> TaskTime:
    exposures = list(row.exposures.all())
    works = [
        Work(*hours.of(day, shift.pk), _exposed(exposures, shift))
        for shift in row.shifts.all()
        for day in hours.days(row.from_on, row.to_on)
    ]
    return TaskTime(
        task_of(row, policy),
        works=tuple(sorted(works, key=lambda one: (one.begins, one.ends))),
        shifts=tuple(sorted((shift.begins, shift.ends) for shift in row.shifts.all())),
    )


def _exposed(exposures: list[Exposure], shift: Shift) -> tuple[str, ...]:
    """Those named for this shift and those named for all, once each."""
    named = [one for one in exposures if one.shift_id in {None, shift.pk}]
    return tuple(dict.fromkeys(str(one.person_id) for one in named))
