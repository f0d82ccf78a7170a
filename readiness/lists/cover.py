"""Rescue cover as lists: of each task along the days, what lapses, what hangs on what, and the year behind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.lists.cautions import COVER, PERSONAL
from readiness.board import hangs, lapses
from readiness.board.answers import Told, told
from readiness.board.past import weeks
from readiness.board.reading import timelines_from
from readiness.board.sites import COUNTS
from readiness.board.standings import Standing, standings
from readiness.lists.tasks import site_asked
from readiness.models import PastShift
from readiness.rules.statement import HORIZON_DAYS
from readiness.wording import cause_kind
from register.access import sites_for
from register.clock import day_at
from register.exports.columns import code, day, moment, number, text, yes_no
from register.lists.listing import Asked, Asking, Filters, Listing
from register.models import Site

YEAR = 53
NOT_FRESH = gettext_lazy(
    "Where ‘fresh’ says no, facts have changed since this was judged: count it as not covered."
)


def days_asked(asking: Asking, counts: Sequence[int]) -> tuple[int, Filters]:
    """The days of ?days=30, else the fewest; and the same in words."""
    asked = [count for count in counts if str(count) == asking.given.get("days")]
    days = next(iter(asked), counts[0])
    return days, ((_("Days"), str(days)),)


@dataclass(frozen=True, slots=True)
class Stretch:
    """One task from a moment until another, with one answer."""

    standing: Standing
    task: str
    begins: datetime
    ends: datetime
    told: Told

    @property
    def name(self) -> str:
        return self.standing.statement.names.tasks.get(self.task, self.task)

    @property
    def zone(self) -> str:
        return self.standing.statement.names.zones.get(self.task, "")


def _cover(asking: Asking) -> Asked:
    site = site_asked(asking, "cover.see")
    days, said = days_asked(asking, COUNTS)
    (standing,) = standings([site], asking.at)
    rows = list(_stretches(standing, asking.at, asking.at + timedelta(days=days)))
    return Asked(rows, len(rows), ((_("Site"), site.name), *said))


def _stretches(standing: Standing, first: datetime, last: datetime) -> Iterator[Stretch]:
    statement = standing.statement
    for task in statement.tasks(first, last):
        for piece in statement.pieces(task, first, last):
            if piece.answer:
                edges = (
                    piece.begins.astimezone(statement.zone),
                    piece.ends.astimezone(statement.zone),
                )
                yield Stretch(standing, task, *edges, told(piece.answer, statement.names))


COVER_DAYS = Listing(
    name="cover-days",
    title=gettext_lazy("Rescue cover along the days"),
    page="readiness:site-cover",
    need="cover.see",
    address="lists/cover-days/<slug:site>/",
    ask=_cover,
    cautions=(COVER, NOT_FRESH, PERSONAL),
    columns=(
        code("task", gettext_lazy("Task"), "task"),
        text("what", gettext_lazy("What is done"), "name"),
        text("zone", gettext_lazy("Zone"), "zone"),
        moment("from_at", gettext_lazy("From"), "begins"),
        moment("until_at", gettext_lazy("Until"), "ends"),
        text("state", gettext_lazy("State"), "told.state_words"),
        yes_no("fresh", gettext_lazy("Fresh"), "standing.fresh"),
        text("hangs_on", gettext_lazy("Hangs on"), lambda row: "; ".join(row.told.hangs_on)),
        text("why_not", gettext_lazy("Why not"), lambda row: " ".join(row.told.reasons)),
        text("not_known", gettext_lazy("Not known"), lambda row: "; ".join(row.told.missing)),
        code("kit", gettext_lazy("Kit"), "told.serves.kit"),
        text("people", gettext_lazy("Rescuers"), lambda row: _people(row.told)),
        code("anchor", gettext_lazy("Rescue anchor"), "told.serves.anchor"),
        number(
            "minutes",
            gettext_lazy("Minutes"),
            "told.answer.serves.minutes",
            gettext_lazy("From the alarm to safety."),
        ),
    ),
)


def _people(answer: Told) -> str:
    return ", ".join(answer.serves.people) if answer.serves else ""


@dataclass(frozen=True, slots=True)
class Ending:
    """Something that ends, with one task that it uncovers, or with none."""

    site: Site
    kind: str
    sentence: str
    on: object
    task: str = ""
    hours: str = ""


def _lapses(asking: Asking) -> Asked:
    days, said = days_asked(asking, lapses.COUNTS)
    sites = list(sites_for(asking.user, "lapse.see"))
    known = timelines_from(sites, asking.at, HORIZON_DAYS)
    board = lapses.lapse_board(standings(sites, asking.at), known, asking.at, days)
    rows = [*_uncovering(board), *_quiet(board)]
    return Asked(rows, len(rows), (*said, *_unknown(board.unknown)))


def _uncovering(board: lapses.LapseBoard) -> Iterator[Ending]:
    for kind, causes in board.groups:
        for cause in causes:
            begins = day_at(cause.site, cause.begins)
            for one in cause.consequences:
                yield Ending(
                    cause.site, cause_kind(kind), cause.sentence, begins, one.task, one.hours
                )


def _quiet(board: lapses.LapseBoard) -> Iterator[Ending]:
    for site, expiry in board.quiet:
        yield Ending(site, cause_kind(expiry.kind), expiry.words, expiry.on)


def _unknown(sites: Sequence[Site]) -> Filters:
    if not sites:
        return ()
    return ((_("Nothing is said of"), ", ".join(site.name for site in sites)),)


LAPSES = Listing(
    name="lapses",
    title=gettext_lazy("What lapses"),
    page="readiness:lapse-list",
    need="lapse.see",
    address="lists/lapses/",
    ask=_lapses,
    cautions=(COVER, PERSONAL),
    columns=(
        text("site", gettext_lazy("Site"), "site.name"),
        text("kind", gettext_lazy("Kind"), "kind"),
        text("what", gettext_lazy("What"), "sentence"),
        day(
            "on",
            gettext_lazy("Day"),
            "on",
            gettext_lazy(
                "The day on which the task is uncovered; where none is, the last good day."
            ),
        ),
        code(
            "uncovers",
            gettext_lazy("Uncovers task"),
            "task",
            gettext_lazy("Empty: it uncovers none."),
        ),
        text("hours", gettext_lazy("Hours"), "hours"),
    ),
)


def _hangs(asking: Asking) -> Asked:
    days, said = days_asked(asking, hangs.COUNTS)
    sites = list(sites_for(asking.user, "lapse.see"))
    found = standings(sites, asking.at)
    rows = hangs.hangs_on(found, timelines_from(sites, asking.at, days), asking.at, days)
    unknown = [one.site for one in found if not one.fresh]
    return Asked(rows, len(rows), (*said, *_unknown(unknown)))


HANGS_ON = Listing(
    name="hangs-on",
    title=gettext_lazy("What cover hangs on"),
    page="readiness:hangs-on",
    need="lapse.see",
    address="lists/hangs-on/",
    ask=_hangs,
    cautions=(COVER, PERSONAL),
    columns=(
        text("what", gettext_lazy("What"), "words"),
        text("kind", gettext_lazy("Kind"), "thing.kind"),
        text("site", gettext_lazy("Site"), "site.name"),
        number("people", gettext_lazy("People who depend on it"), "heads"),
        text("tasks", gettext_lazy("Tasks"), lambda row: ", ".join(row.named_tasks)),
        text("first", gettext_lazy("From"), "first"),
    ),
)


def _trend(asking: Asking) -> Asked:
    sites = sites_for(asking.user, "cover.see")
    site = sites.filter(code=asking.given.get("site", "")).first()
    rows = PastShift.objects.filter(site__in=[site] if site else sites)
    found = weeks(rows, asking.at.date() - timedelta(days=1), YEAR)
    return Asked(found, len(found), ((_("Site"), site.name),) if site else ())


TREND = Listing(
    name="trend",
    title=gettext_lazy("Trend"),
    page="readiness:trend",
    need="cover.see",
    address="lists/trend/",
    ask=_trend,
    cautions=(COVER,),
    columns=(
        day("week_of", gettext_lazy("Week of"), "monday"),
        number(
            "shifts", gettext_lazy("Shifts of tasks"), "shifts", gettext_lazy("That needed cover.")
        ),
        number("covered", gettext_lazy("Covered"), "covered", gettext_lazy("To the last minute.")),
        number("backed", gettext_lazy("With backup"), "backed", gettext_lazy("All along.")),
    ),
)
