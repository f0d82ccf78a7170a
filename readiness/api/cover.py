"""Rescue cover of a site on a day, or in a shift of it, as its statement tells."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Annotated, Literal
from zoneinfo import ZoneInfo

from django.http import HttpRequest
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from ninja import Query, Router
from pydantic import Field

from inspections.api.finding import site_of
from readiness.board.answers import thing_words
from readiness.board.mornings import site_mornings
from readiness.board.standings import Standing, standings
from readiness.rules.cover import STATES, Answer
from readiness.rules.reasons import Reason
from readiness.rules.statement import Piece, Statement
from readiness.rules.windows import Window, midnight, moment
from readiness.wording import missing_name, reason_sentence, state_name
from register import clock
from register.api.calls import call, caller_of
from register.api.problems import Problem
from register.api.shapes import Asked, Day, Moment, Shape, SiteCode, Text
from register.models import Site

router = Router(tags=["cover"])

StateSlug = Literal[tuple(STATES)]  # type: ignore[valid-type]


class CoverAsked(Asked):
    on: Annotated[
        Day | None,
        Field(description=gettext_noop("A day by the site’s calendar; today where not given.")),
    ] = None
    shift: Annotated[
        Text,
        Field(
            max_length=40,
            description=gettext_noop("Name of a shift of the site; the whole day where not given."),
        ),
    ] = ""


class ReasonTold(Shape):
    """Why not: a slug for programs, a sentence for people."""

    slug: Annotated[str, Field(examples=["rescuer-lapsed"])]
    sentence: Annotated[str, Field(examples=["There is no rescue plan."])]


class MissingTold(Shape):
    """What must be known before it can be judged."""

    key: Annotated[str, Field(examples=["raise_m"])]
    words: Annotated[str, Field(examples=["the height to raise, in m"])]


class ThingTold(Shape):
    """A kit, a person or an anchor, as people on site call it."""

    kind: Annotated[Literal["kit", "person", "anchor"], Field(examples=["kit"])]
    name: Annotated[str, Field(examples=["kit RK-05"])]


class ServesTold(Shape):
    """Who and what serves."""

    kit: Annotated[str, Field(examples=["RK-05"])]
    people: list[str]
    anchor: str
    first_aiders: list[str]
    minutes: Annotated[
        float,
        Field(
            description=gettext_noop("From the alarm to the casualty at safety."), examples=[12.5]
        ),
    ]


class PieceTold(Shape):
    """One stretch of time with one answer."""

    begins_at: Moment
    ends_at: Moment
    state: Annotated[StateSlug, Field(examples=["covered-no-backup"])]
    words: Annotated[str, Field(examples=["Covered, no backup"])]
    reasons: list[ReasonTold]
    missing: list[MissingTold]
    hangs_on: Annotated[
        list[ThingTold],
        Field(description=gettext_noop("Each of these alone: without it the task is not covered.")),
    ]
    serves: ServesTold | None
    judged_as_arrest: Annotated[
        ReasonTold | None,
        Field(description=gettext_noop("Why what is called restraint is judged as fall arrest.")),
    ]
    is_search_finished: Annotated[
        bool,
        Field(description=gettext_noop("False: what was not proven counts as not so.")),
    ]


class TaskTold(Shape):
    """One task at height in the time asked for."""

    task: Annotated[str, Field(description=gettext_noop("Code of the task."), examples=["t-1"])]
    name: Annotated[str, Field(examples=["Roof"])]
    zone: str
    state: Annotated[
        StateSlug,
        Field(
            description=gettext_noop("The worst within the time asked for."),
            examples=["covered-no-backup"],
        ),
    ]
    counts_as_covered: Annotated[
        bool,
        Field(
            description=gettext_noop(
                "Covered, or needing no cover, all the time asked for, in a fresh statement. Take"
                " nothing else for a yes."
            )
        ),
    ]
    lapses_on: Annotated[
        Day | None,
        Field(
            description=gettext_noop(
                "The first later day on which it would not be covered if nobody acts, within 90 days."
            )
        ),
    ]
    lapse_reasons: list[ReasonTold]
    pieces: list[PieceTold]


class CoverTold(Shape):
    """The statement for one site and one window of time."""

    site: SiteCode
    on: Day
    shift: Annotated[str | None, Field(examples=["Day"])]
    begins_at: Moment
    ends_at: Moment
    is_fresh: Annotated[
        bool,
        Field(
            description=gettext_noop(
                "False: facts have changed since, and nothing here counts as covered. Ask again soon."
            )
        ),
    ]
    made_at: Moment
    is_staffed: Annotated[
        bool,
        Field(
            description=gettext_noop(
                "False: no shifts are set up, so nobody can be on the rota and nothing is covered."
            )
        ),
    ]
    undeclared_pieces: Annotated[
        int,
        Field(
            description=gettext_noop(
                "Pieces of arrest equipment that people hold here now while no task is declared that"
                " may rely on them. More than 0: there may be work of which nothing is known."
            )
        ),
    ]
    tasks: list[TaskTold]


@router.get(
    "/sites/{site}/cover",
    response=CoverTold,
    operation_id="site-cover",
    summary=gettext_noop("Rescue cover of a site"),
    description=gettext_noop(
        "Every task worked on in the time asked for: covered or not, why not, what it hangs on, who"
        " and what serves, and when it lapses. A planning aid: it does not replace the person in"
        " charge on site."
    ),
)
@call("cover.see")
def site_cover(request: HttpRequest, site: SiteCode, asked: Query[CoverAsked]) -> CoverTold:
    caller = caller_of(request)
    place = site_of(caller, site, "cover.see")
    day = asked.on or clock.day_at(place, caller.at)
    begins, ends = _window(place, day, asked.shift)
    (standing,) = standings([place], caller.at)
    statement = standing.statement
    _refuse_out_of_reach(statement, begins, day)
    return CoverTold(
        site=place.code,
        on=day,
        shift=asked.shift or None,
        begins_at=begins,
        ends_at=ends,
        is_fresh=standing.fresh,
        made_at=statement.made_at,
        is_staffed=statement.staffed,
        undeclared_pieces=site_mornings([standing], caller.at)[0].undeclared,
        tasks=[_task(standing, task, (begins, ends)) for task in statement.tasks(begins, ends)],
    )


def _window(site: Site, day: date, shift: str) -> Window:
    """From midnight to midnight on site, or the hours of the shift that belongs to that day."""
    zone, after = ZoneInfo(site.time_zone), day + timedelta(days=1)
    if not shift:
        return midnight(day, zone), midnight(after, zone)
    found = site.shifts.filter(name=shift).first()
    if found is None:
        detail = _("The site has no shift of this name.")
        raise Problem("unsound", detail, errors=[{"parameter": "shift", "detail": detail}])
    ends_on = after if found.ends <= found.begins else day
    return moment(day, found.begins, zone), moment(ends_on, found.ends, zone)


def _refuse_out_of_reach(statement: Statement, begins: datetime, day: date) -> None:
    if statement.at(begins) is not None:
        return
    first = statement.begins.astimezone(statement.zone).date()
    last = (statement.ends - timedelta(minutes=1)).astimezone(statement.zone).date()
    detail = _("%(day)s is not told of: the statement reaches from %(first)s through %(last)s.") % {
        "day": day.isoformat(),
        "first": first.isoformat(),
        "last": last.isoformat(),
    }
    raise Problem("unsound", detail, errors=[{"parameter": "on", "detail": detail}])


def _task(standing: Standing, task: str, window: Window) -> TaskTold:
    statement, names = standing.statement, standing.statement.names
    pieces = [one for one in statement.pieces(task, *window) if one.answer]
    worst = statement.worst(task, *window)
    lapse = statement.lapse(task, window[1])
    state = worst.answer.state if worst and worst.answer else "not-assessed"
    is_bad = any(one.answer.uncovered for one in pieces if one.answer)
    return TaskTold(
        task=task,
        name=names.tasks.get(task, task),
        zone=names.zones.get(task, ""),
        state=state,
        counts_as_covered=standing.fresh and bool(pieces) and not is_bad,
        lapses_on=None if is_bad else _day_of(lapse, statement),
        lapse_reasons=_reasons(lapse.answer.reasons)
        if lapse and lapse.answer and not is_bad
        else [],
        pieces=[_piece(one, one.answer, statement) for one in pieces if one.answer],
    )


def _day_of(piece: Piece | None, statement: Statement) -> date | None:
    return piece.begins.astimezone(statement.zone).date() if piece else None


def _reasons(found: Iterable[Reason]) -> list[ReasonTold]:
    return [ReasonTold(slug=one.code, sentence=reason_sentence(one)) for one in found]


def _piece(piece: Piece, answer: Answer, statement: Statement) -> PieceTold:
    arrest = answer.treated_as_arrest
    return PieceTold(
        begins_at=piece.begins,
        ends_at=piece.ends,
        state=answer.state,
        words=state_name(answer.state),
        reasons=_reasons(answer.reasons),
        missing=[MissingTold(key=key, words=missing_name(key)) for key in answer.missing],
        hangs_on=[
            ThingTold(kind=one.kind, name=thing_words(one, statement.names))
            for one in answer.hangs_on
        ],
        serves=_serves(answer, statement),
        judged_as_arrest=_reasons([arrest])[0] if arrest else None,
        is_search_finished=answer.finished,
    )


def _serves(answer: Answer, statement: Statement) -> ServesTold | None:
    found, names = answer.serves, statement.names
    if found is None:
        return None
    return ServesTold(
        kit=names.kits.get(found.kit, found.kit),
        people=[names.people.get(one, one) for one in found.people],
        anchor=names.anchors.get(found.anchor, found.anchor),
        first_aiders=[names.people.get(one, one) for one in found.first_aiders],
        minutes=found.minutes,
    )
