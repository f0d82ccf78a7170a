"""The rescue sheet for the cabin wall: one shift of one site, as long as the shift lasts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext

from readiness.board.answers import Told, told
from readiness.board.counts import nothing_declared
from readiness.documents.line_sign import line_sign
from readiness.documents.wall_facts import Wall, WallTask, facts_of, wall_of
from readiness.documents.wall_pictures import fall_picture
from readiness.models import ShiftSheet, Task
from readiness.rules.line import NO_COVER_NEEDED
from readiness.rules.statement import Piece
from readiness.wording import clock_words
from register.documents.content import Block, Card, Caution, Content, Words
from register.documents.kinds import Kind
from register.models import Site
from register.wording import shown_day, shown_number

NUMBERED_FROM = 2  # pieces of one shift from which on each names its hours


def _find(ids: Sequence[str]) -> ShiftSheet | None:
    return ShiftSheet.objects.select_related("shift__site").filter(pk=ids[0]).first()


def _site(sheet: ShiftSheet) -> Site:
    site: Site = sheet.shift.site
    return site


def _facts(sheet: ShiftSheet, at: datetime) -> dict[str, object]:
    return facts_of(wall_of(sheet, at))


def content_of(sheet: ShiftSheet, at: datetime) -> Content:
    """What hangs on the wall; good until the shift ends."""
    wall = wall_of(sheet, at)
    begins, ends = (clock_words(moment, wall.statement.zone) for moment in wall.window)
    hours = {"shift": sheet.shift.name, "day": shown_day(sheet.day_on)}
    title = _("Rescue sheet, %(shift)s, %(day)s") % hours
    where = {"site": wall.site, "begins": begins, "ends": ends}
    about = _("%(site)s, %(begins)s to %(ends)s") % where
    return Content(
        title=title,
        about=f"{about}: {_counted(wall)}",
        blocks=tuple(_blocks(wall)),
        good_until_at=wall.window[1],
        hangs=True,
    )


def _counted(wall: Wall) -> str:
    every = len(wall.tasks)
    bad = sum(any(one.answer and one.answer.uncovered for one in t.pieces) for t in wall.tasks)
    tasks = ngettext("%(n)d task", "%(n)d tasks", every) % {"n": every}
    if not bad:
        return tasks
    return _("%(tasks)s, %(bad)d not covered") % {"tasks": tasks, "bad": bad}


def _blocks(wall: Wall) -> Iterator[Block]:
    yield Caution(_("If anything on this sheet is missing or different, stop."), large=True)
    yield _call(wall)
    if not wall.tasks:
        yield from _without_tasks(wall.statement.undeclared)
    for task in wall.tasks:
        yield from (_card(wall, task, one) for one in task.pieces if not _is_idle(one))
    yield from _idle(wall)
    yield Words(
        _(
            "Based on the records of the moment of issue. It does not see the weather, the structure"
            " or the people. The supervisor and permit issuer decide."
        )
    )


def _without_tasks(undeclared: int) -> Iterator[Block]:
    yield Words(_("No task is worked on in this shift."), strong=True)
    if undeclared:
        yield Caution(nothing_declared(undeclared))


def _idle(wall: Wall) -> Iterator[Block]:
    """What needs no rescue cover, in one line."""
    idle = [task for task in wall.tasks if all(map(_is_idle, task.pieces))]
    if not idle:
        return
    named = "; ".join(f"{task.row.code} {task.row.name}" for task in idle)
    yield Words(_("No rescue cover needed as planned: %(tasks)s.") % {"tasks": named})
    if any(task.row.system == Task.System.RESTRAINT for task in idle):
        yield Words(
            _(
                "Restraint: only if nobody can reach any edge, opening or fragile surface at full"
                " length."
            )
        )


def _is_idle(piece: Piece) -> bool:
    return piece.answer is not None and piece.answer.state == NO_COVER_NEEDED


def _call(wall: Wall) -> Card:
    """What is not recorded is asked for, in room to write it by hand."""
    call = wall.call
    blank = _("not recorded: ask, and write it here ____________")
    numbers = ", ".join(f"{whom} {number}" for whom, number in call.numbers) if call else ""
    pairs = [(_("Ring"), numbers or blank)]
    if call and call.meeting_place:
        pairs.append((_("Meet help at"), call.meeting_place))
    raised = call.alarm if call else blank
    return Card(_("Raise the alarm: %(how)s") % {"how": raised}, "", pairs=tuple(pairs))


def _card(wall: Wall, task: WallTask, piece: Piece) -> Card:
    if piece.answer is None:
        raise ValueError("a piece without an answer is not on the sheet")
    found = told(piece.answer, wall.statement.names)
    return Card(
        title=_title(wall, task, piece),
        verdict=found.state_words.upper(),
        sign=line_sign(found.state, found.state_words),
        pairs=tuple(_pairs(wall, task, found)),
        steps=_steps(task),
        notes=tuple(_notes(wall, task, piece, found)),
        picture=fall_picture(task) if piece is task.pieces[0] else None,
    )


def _title(wall: Wall, task: WallTask, piece: Piece) -> str:
    title = f"{task.row.code} {task.row.name}, {task.row.zone.name}"
    if len(task.pieces) < NUMBERED_FROM and (piece.begins, piece.ends) == wall.window:
        return title
    zone = wall.statement.zone
    hours = {"begins": clock_words(piece.begins, zone), "ends": clock_words(piece.ends, zone)}
    return f"{title}, {_('%(begins)s to %(ends)s') % hours}"


def _pairs(wall: Wall, task: WallTask, found: Told) -> Iterator[tuple[str, str]]:
    serves = found.serves
    if serves is None:
        return
    unknown = _("not recorded")
    place = wall.places.get(serves.kit, "") or unknown
    yield _("Kit"), _("%(kit)s: hangs at %(place)s") % {"kit": serves.kit, "place": place}
    yield _("Anchor"), serves.anchor
    yield _("Rescuers"), ", ".join(serves.people)
    yield _("First aid"), ", ".join(serves.first_aiders) or unknown
    minutes = _("%(minutes)s min from alarm to safety") % {"minutes": serves.minutes}
    if task.plan:
        target = shown_number(task.plan.target_minutes)
        minutes = _("%(minutes)s (target %(target)s)") % {"minutes": minutes, "target": target}
    yield _("Time"), minutes


def _steps(task: WallTask) -> tuple[str, ...]:
    if task.plan is None:
        return ()
    return task.plan.step_lines or (task.plan.method,)


def _notes(wall: Wall, task: WallTask, piece: Piece, found: Told) -> Iterator[str]:
    if found.uncovered:
        yield _("Nobody goes up for this task.")
        yield from found.reasons
        if found.missing:
            yield _("Not known: %(what)s.") % {"what": ", ".join(found.missing)}
        return
    if found.restraint:
        yield found.restraint
    if found.serves:
        yield _stop(wall, task, piece)
    if found.hangs_on:
        things = ", ".join(found.hangs_on)
        yield _("It hangs on %(things)s: without it, nobody goes up.") % {"things": things}


def _stop(wall: Wall, task: WallTask, piece: Piece) -> str:
    others = wall.shares(task, piece)
    if others:
        what = {"tasks": ", ".join(others)}
        return _("When a rescue begins, stop: %(tasks)s too, which its kit or people serve.") % what
    if task.plan and task.plan.stop_work:
        return _("When a rescue begins, stop all other work near it.")
    return _("When a rescue begins, stop this task and keep clear of it.")


def _rows(sheet: ShiftSheet) -> Sequence[Any]:
    return [sheet]


WALL_SHEET = Kind(
    slug="wall-sheet",
    name=gettext_noop("Rescue sheet for the wall"),
    parts={
        "answers": gettext_noop("the answers of cover"),
        "people": gettext_noop("who is there"),
        "tasks": gettext_noop("the tasks"),
        "plans": gettext_noop("a rescue plan"),
        "kits": gettext_noop("where a kit hangs"),
        "anchors": gettext_noop("a rescue anchor"),
        "sums": gettext_noop("the sums of a fall"),
        "alarm": gettext_noop("the alarm and whom to ring"),
        "hours": gettext_noop("the hours of the shift"),
        "undeclared": gettext_noop("equipment on issue without a task"),
    },
    find=_find,
    rows=_rows,
    site=_site,
    content=content_of,
    facts=_facts,
)
