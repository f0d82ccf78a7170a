"""To an inspector: the visits of today and tomorrow, and rounds that wait for a signature."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.calendars.grouping import classes_words
from inspections.message_wording import more_words
from inspections.models import Visit
from inspections.round_board import unsigned_for_long
from register.access import sites_for
from register.clock import day_at
from register.links import link_to
from register.models import User
from register.rules.letters import MOST_LISTED, Section
from register.wording import shown_day


def inspector_sections(user: User, at: datetime) -> Iterator[Section]:
    """Of the person's own visits, at whatever sites; of rounds those they began and left unsigned."""
    if user.person is None:
        return
    yield from filter(None, (_visits(user, at), _rounds(user, at)))


def _visits(user: User, at: datetime) -> Section | None:
    near = (at.date() - timedelta(days=1), at.date() + timedelta(days=2))
    rows = Visit.objects.standing().filter(inspector=user.person, day_on__range=near)
    visits = [
        one
        for one in rows.select_related("site").prefetch_related("items__product")
        if timedelta(0) <= one.day_on - day_at(one.site, at) <= timedelta(days=1)
    ]
    if not visits or user.person is None:
        return None
    return Section(
        brief=ngettext("%(n)d visit", "%(n)d visits", len(visits)) % {"n": len(visits)},
        heading=_("Your visits of today and tomorrow:"),
        lines=[_visit(one) for one in visits],
        after=link_to("inspections:inspector-visits", user.person.pk),
    )


def _visit(visit: Visit) -> str:
    classes = [item.product.equipment_class for item in visit.items.all()]
    words = {
        "day": shown_day(visit.day_on, "WEEKDAY"),
        "site": visit.site,
        "classes": classes_words(classes),
    }
    return _("%(day)s, %(site)s: %(classes)s") % words


def _rounds(user: User, at: datetime) -> Section | None:
    sites = sites_for(user, "inspection.record")
    left = [one for one in unsigned_for_long(sites, at) if one.inspector_id == user.person_id]
    if not left:
        return None
    count = len(left)
    heading = ngettext(
        "%(n)d round waits for your signature; until then no pass of it counts:",
        "%(n)d rounds wait for your signature; until then no pass of them counts:",
        count,
    )
    begun = [
        _("%(site)s, begun on %(day)s")
        % {"site": one.site, "day": shown_day(day_at(one.site, one.began_at))}
        for one in left[:MOST_LISTED]
    ]
    return Section(
        brief=ngettext("%(n)d round to sign", "%(n)d rounds to sign", count) % {"n": count},
        heading=heading % {"n": count},
        lines=begun,
        more=more_words(count),
        after=link_to("inspections:round-list"),
    )
