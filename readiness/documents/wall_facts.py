"""What stands on the rescue sheet of one shift: read from the rows, with nobody's full name in it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from zoneinfo import ZoneInfo

from django.conf import settings
from django.utils import translation

from readiness.facts import known_of
from readiness.facts.promised import statement_of, written_reasons
from readiness.facts.sums import clearance_of, newest
from readiness.models import Plan, RescueCall, ShiftSheet, Task, TaskSums
from readiness.rules.situation import Clearance, Policy
from readiness.rules.statement import Piece, Statement
from readiness.rules.timeline import Timeline
from readiness.rules.windows import Window, hours_of
from register.clock import day_at
from register.models import Kit, Site
from register.rules.short_names import short_names


@dataclass(frozen=True, slots=True)
class WallTask:
    """One task worked on in the shift; ``sums`` where they are kept and still stand, with the
    ``clearance`` that they give."""

    row: Task
    pieces: tuple[Piece, ...]
    plan: Plan | None
    sums: TaskSums | None
    clearance: Clearance
    policy: Policy


@dataclass(frozen=True, slots=True)
class Wall:
    """The shift as it is known now; ``places`` say of each kit where it hangs."""

    sheet: ShiftSheet
    site: Site
    window: Window
    statement: Statement
    tasks: tuple[WallTask, ...]
    places: Mapping[str, str]
    call: RescueCall | None

    def shares(self, task: WallTask, piece: Piece) -> tuple[str, ...]:
        """The tasks that the same kit or one of the same people serves in these hours too."""
        return tuple(
            other.row.code
            for other in self.tasks
            if other is not task and any(_shared(piece, one) for one in other.pieces)
        )


def _shared(one: Piece, other: Piece) -> bool:
    if other.ends <= one.begins or one.ends <= other.begins:
        return False
    mine = one.answer.serves if one.answer else None
    theirs = other.answer.serves if other.answer else None
    if mine is None or theirs is None:
        return False
    return mine.kit == theirs.kit or bool(set(mine.people) & set(theirs.people))


def wall_of(sheet: ShiftSheet, at: datetime) -> Wall:
    """From the facts as they are; the hours are those of the shift by the clock on site."""
    shift, site = sheet.shift, sheet.shift.site
    window = hours_of(sheet.day_on, shift.begins, shift.ends, ZoneInfo(site.time_zone))
    with translation.override(settings.LANGUAGE_CODE):
        timeline = known_of(site, day_at(site, window[0]), day_at(site, window[1])).timeline
    statement = statement_of(nameless(timeline), *window, at)
    return Wall(
        sheet=sheet,
        site=site,
        window=window,
        statement=statement,
        tasks=tuple(_tasks(site, statement, timeline.policy)),
        places=_places(site),
        call=RescueCall.objects.filter(site=site).first(),
    )


def nameless(timeline: Timeline) -> Timeline:
    """The same with first names and initials: what is made of it holds no full name."""
    short = short_names(one.person.name for one in timeline.people)
    people = tuple(
        replace(one, person=replace(one.person, name=short[one.person.name]))
        for one in timeline.people
    )
    return replace(timeline, people=people)


def _tasks(site: Site, statement: Statement, policy: Policy) -> Iterator[WallTask]:
    """What is not covered comes first: it is what must not be done."""
    window = (statement.begins, statement.ends)
    rows = Task.objects.filter(site=site, code__in=statement.tasks(*window))
    rows = rows.select_related("site", "zone").prefetch_related("plans")
    sums: dict[int, list[TaskSums]] = {}
    for one in TaskSums.objects.filter(task__in=rows).newest_first():
        sums.setdefault(one.task_id, []).append(one)
    found = [_task(row, statement, sums.get(row.pk, ()), policy) for row in rows]
    yield from sorted(found, key=lambda one: (not _uncovered(one), one.row.code))


def _task(row: Task, statement: Statement, sums: Sequence[TaskSums], policy: Policy) -> WallTask:
    window = (statement.begins, statement.ends)
    fall = newest(sums, TaskSums.Topic.FALL)
    clearance, doubt = clearance_of(row, sums, policy)
    return WallTask(
        row=row,
        pieces=tuple(one for one in statement.pieces(row.code, *window) if one.answer),
        plan=next(iter(row.plans.all()), None),
        sums=None if doubt else fall,
        clearance=clearance,
        policy=policy,
    )


def _uncovered(task: WallTask) -> bool:
    return any(one.answer is not None and one.answer.uncovered for one in task.pieces)


def _places(site: Site) -> dict[str, str]:
    kits = Kit.objects.filter(item__site=site).select_related("item__zone")
    return {kit.name: place_of(kit) for kit in kits}


def place_of(kit: Kit) -> str:
    """Where a kit hangs, as people on site call it; '' where the record does not say."""
    item = kit.item
    parts = (item.zone.name if item.zone else "", item.place)
    return ", ".join(part for part in parts if part)


def facts_of(wall: Wall) -> dict[str, object]:
    """All that the sheet tells, by the kind of thing and without wording."""
    call, names = wall.call, wall.statement.names
    return {
        "answers": [
            [task.row.code, *_answered(piece)] for task in wall.tasks for piece in task.pieces
        ],
        "people": [[one, names.people.get(one, one)] for one in sorted(_used(wall, "people"))],
        "tasks": [[task.row.code, task.row.name, task.row.zone.name] for task in wall.tasks],
        "plans": [[task.row.code, *_planned(task.plan)] for task in wall.tasks],
        "kits": [[kit, wall.places.get(kit, "")] for kit in sorted(_used(wall, "kit"))],
        "anchors": [[one, names.anchors.get(one, one)] for one in sorted(_used(wall, "anchor"))],
        "sums": [[one.row.code, one.sums.version if one.sums else 0] for one in wall.tasks],
        "alarm": [call.alarm, call.numbers, call.meeting_place] if call else [],
        "hours": [moment.isoformat() for moment in wall.window],
        "undeclared": wall.statement.undeclared,
    }


def _used(wall: Wall, what: str) -> set[str]:
    """The ids of the kits, the anchors or the people that the sheet names."""
    found: set[str] = set()
    for task in wall.tasks:
        for piece in task.pieces:
            serves = piece.answer.serves if piece.answer else None
            if serves and what == "people":
                found |= {*serves.people, *serves.first_aiders}
            elif serves:
                found.add(getattr(serves, what))
    return found


def _answered(piece: Piece) -> list[object]:
    answer = piece.answer
    if answer is None:
        return []
    serves = answer.serves
    return [
        *(piece.begins.isoformat(), piece.ends.isoformat(), answer.state),
        json.dumps(written_reasons(answer.reasons), sort_keys=True),
        list(answer.missing),
        [[thing.kind, thing.id] for thing in answer.hangs_on],
        [serves.kit, serves.anchor, *serves.people] if serves else [],
        [*serves.first_aiders, str(serves.minutes)] if serves else [],
    ]


def _planned(plan: Plan | None) -> list[object]:
    if plan is None:
        return []
    told = ("version", "method", "steps", "stop_work", "target_minutes")
    return [getattr(plan, name) for name in told]
