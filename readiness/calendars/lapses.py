"""Cover that lapses with what it uncovers, and dates of training, plans and drills that uncover none.

Everybody but the reader is named by first name and initial.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from inspections.calendars.grouping import address_of
from readiness.board.expiries import ANCHOR, DRILL, PLAN, TRAINING, Expiry
from readiness.board.lapses import Cause, LapseBoard, lapse_board
from readiness.board.reading import timelines_from
from readiness.board.standings import Standing, standings
from readiness.rules.statement import HORIZON_DAYS
from readiness.rules.timeline import Timeline
from readiness.wording import listed
from register.links import link_to
from register.models import Site
from register.rules.calendar import Happening, fitted
from register.wording import discreet, short_name, shown_moment

LAPSE = "lapse"
TOLD_ALONE = frozenset({ANCHOR, TRAINING, PLAN, DRILL})
"""Dates told though nothing hangs on them; those of kits stand among what falls due."""


def topic_of(site: Site) -> str:
    return f"{LAPSE}-{site.pk}"


def lapses_of(sites: Sequence[Site], at: datetime) -> tuple[list[Happening], set[str]]:
    """Of ninety days; and the topics of those sites whose cover is not worked out just now."""
    known = timelines_from(sites, at, HORIZON_DAYS)
    found: list[Happening] = []
    unknown: set[str] = set()
    for standing in standings(sites, at):
        if standing.fresh:
            found.extend(_of_site(standing, known[standing.site.pk], known, at))
        else:
            unknown.add(topic_of(standing.site))
    return found, unknown


def _of_site(
    standing: Standing, timeline: Timeline, known: Mapping[int, Timeline], at: datetime
) -> Iterator[Happening]:
    board: LapseBoard = lapse_board([standing], known, at, HORIZON_DAYS)
    shortened = {one.person.name: short_name(one.person.name) for one in timeline.people}
    for _kind, causes in board.groups:
        yield from (_lapse(cause, timeline.zone, shortened) for cause in causes)
    alone = [one for _site, one in board.quiet if one.kind in TOLD_ALONE]
    yield from (_expiry(each, standing.site, shortened) for each in _together(alone))


def _lapse(cause: Cause, zone: ZoneInfo, shortened: Mapping[str, str]) -> Happening:
    tasks = [one.task for one in cause.consequences]
    begins = cause.begins.astimezone(zone)
    words = {"site": cause.site, "tasks": listed(list(dict.fromkeys(tasks)))}
    since = _("Not covered from %(moment)s.") % {"moment": shown_moment(begins)}
    day = begins.date()
    return Happening(
        key=f"{topic_of(cause.site)}-{cause.key}",
        topic=topic_of(cause.site),
        first_on=day,
        last_on=day,
        summary=fitted(_("Rescue cover ends at %(site)s: %(tasks)s") % words, 300),
        detail=f"{since} {discreet(cause.sentence, shortened)}",
        place=address_of(cause.site),
        link=link_to("readiness:lapse-list"),
    )


def _together(expiries: Iterable[Expiry]) -> Iterator[list[Expiry]]:
    """What ends of one person, anchor or task on one day is one event."""
    found: dict[tuple[str, str, object], list[Expiry]] = {}
    for one in expiries:
        found.setdefault((one.kind, one.thing, one.on), []).append(one)
    yield from found.values()


def _expiry(together: Sequence[Expiry], site: Site, shortened: Mapping[str, str]) -> Happening:
    first = together[0]
    said = "; ".join(discreet(one.words, shortened) for one in together)
    named = f"{first.kind} {first.thing} {first.on.isoformat()}"
    digest = hashlib.sha256(named.encode()).hexdigest()[:16]
    words = {"site": site, "what": said}
    return Happening(
        key=f"{topic_of(site)}-{digest}",
        topic=topic_of(site),
        first_on=first.on,
        last_on=first.on,
        summary=fitted(_("Last good day at %(site)s: %(what)s") % words, 300),
        detail=_("It uncovers no task, as things stand."),
        place=address_of(site),
        link=link_to("readiness:lapse-list"),
    )
