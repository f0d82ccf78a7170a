"""The inspector's round in the session, and the items it may look at."""

from __future__ import annotations

import uuid
from datetime import datetime
from zoneinfo import ZoneInfo

from django.http import HttpRequest

from inspections.looks import outcome_of
from inspections.models import Inspection
from inspections.rules import rounds
from inspections.rules.rounds import Entry, Look, Round
from register import clock
from register.access import sites_for
from register.models import Item, Person, Site

KEY = "inspection-round"


def round_of(request: HttpRequest) -> Round | None:
    """The round begun today at a site where the user still inspects; None where there is none."""
    kept = request.session.get(KEY)
    try:
        found = rounds.read(kept) if kept else None
    except (KeyError, TypeError):  # kept by an earlier version of the program
        return None
    if found is None:
        return None
    site = sites_for(request.user, "inspection.record").filter(code=found.site).first()
    return found if site and found.day == clock.today(site).isoformat() else None


def keep(request: HttpRequest, found: Round) -> Round:
    """Put the round into the session."""
    request.session[KEY] = rounds.written(found)
    return found


def begin(request: HttpRequest, site: Site, kind: str, *, covers_periodic: bool) -> Round:
    """A new round; at the same site on the same day the one under way goes on with the new kind."""
    under_way = round_of(request)
    fresh = rounds.begun(
        site=site.code,
        kind=kind,
        covers_periodic=covers_periodic,
        day=clock.today(site).isoformat(),
    )
    if under_way and under_way.site == site.code:
        kept = {name: rounds.written(under_way)[name] for name in ("entries", "looks", "unsigned")}
        fresh = rounds.read({**rounds.written(fresh), **kept})
    return keep(request, fresh)


def look(request: HttpRequest, found: Round, item: Item) -> Round:
    """The facts of the item are being shown, so a verdict on it may follow."""
    seen = Look(finding=str(uuid.uuid4()), at=clock.now().isoformat())
    return keep(request, rounds.looked_at(found, item.code, seen))


def sign(request: HttpRequest, found: Round, inspection: Inspection) -> Round:
    """The verdict stands in the register: count it, and say what came of it."""
    since = found.looks[inspection.item.code].at
    took = inspection.performed_at - datetime.fromisoformat(since)
    outcome = outcome_of(inspection, inspection.performed_on)
    entry = Entry(
        code=inspection.item.code,
        time=time_at(inspection.item.site, inspection.performed_at),
        verdict=inspection.verdict,
        inspection=str(inspection.pk),
        line=outcome.line,
        usable=outcome.usable,
        seconds=int(took.total_seconds()),
    )
    return keep(request, rounds.signed(found, entry))


def time_at(site: Site, moment: datetime) -> str:
    """'09:14', on the site's own clock."""
    return f"{moment.astimezone(ZoneInfo(site.time_zone)):%H:%M}"


def inspector_of(request: HttpRequest) -> Person | None:
    """The person who inspects: the one the login is linked to."""
    return getattr(request.user, "person", None)
