"""To the stores: what is out of date and what falls due, and where it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

from django.db.models import Q, QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.due_board import falling_due
from inspections.message_wording import more_words
from register.access import sites_for
from register.clock import day_at
from register.links import link_to
from register.models import Item, Site, User
from register.rules.conditions import Condition
from register.rules.letters import MOST_LISTED, Section
from register.wording import class_name, lower_first, short_name, shown_day

SOON_DAYS = 7


def stores_sections(user: User, at: datetime) -> Iterator[Section]:
    """Of the sites whose stores the user runs. What is away or withdrawn is nothing to fetch."""
    sites = list(sites_for(user, "item.receive"))
    if not sites:
        return
    today = min(day_at(site, at) for site in sites)
    yield from filter(None, (_out(sites, today), _soon(sites, today), _hires(sites, today)))


def _out(sites: Sequence[Site], today: date) -> Section | None:
    out = falling_due().filter(Q(good_on__lt=today) | Q(good_on=None), site__in=sites)
    count = out.count()
    heading = ngettext(
        "%(n)d piece is out of date or has no date, and not away: take it out of use.",
        "%(n)d pieces are out of date or have no date, and are not away: take them out of use.",
        count,
    )
    brief = ngettext("%(n)d piece out of date", "%(n)d pieces out of date", count)
    return _section(out, count, heading, brief)


def _soon(sites: Sequence[Site], today: date) -> Section | None:
    until = today + timedelta(days=SOON_DAYS)
    soon = falling_due().filter(good_on__range=(today, until), site__in=sites)
    count = soon.count()
    heading = ngettext(
        "%(n)d piece falls due within seven days: have it ready for the inspector.",
        "%(n)d pieces fall due within seven days: have them ready for the inspector.",
        count,
    )
    brief = ngettext("%(n)d piece falls due", "%(n)d pieces fall due", count)
    return _section(soon, count, heading, brief)


def _hires(sites: Sequence[Site], today: date) -> Section | None:
    until = today + timedelta(days=SOON_DAYS)
    hired = Item.objects.filter(hire_end_on__range=(today, until), site__in=sites)
    items = hired.exclude(condition__in=(Condition.DESTROYED, Condition.LEFT))
    count = items.count()
    if not count:
        return None
    rows = items.select_related("product", "site", "holder", "zone", "kit").order_by("hire_end_on")
    heading = ngettext(
        "The hire of %(n)d piece ends within seven days: send it back or prolong.",
        "The hire of %(n)d pieces ends within seven days: send them back or prolong.",
        count,
    )
    return Section(
        brief=ngettext("%(n)d hire ends", "%(n)d hires end", count) % {"n": count},
        heading=heading % {"n": count},
        lines=[item_line(item, item.hire_end_on) for item in rows[:MOST_LISTED]],
        more=more_words(count),
    )


def _section(items: QuerySet[Item], count: int, heading: str, brief: str) -> Section | None:
    if not count:
        return None
    rows = items.select_related("product", "site", "holder", "zone", "kit", "due")
    first = rows.order_by("good_on", "site__name", "code")[:MOST_LISTED]
    return Section(
        brief=brief % {"n": count},
        heading=heading % {"n": count},
        lines=[item_line(item, item.good_on) for item in first],  # type: ignore[attr-defined]
        more=more_words(count),
        after=link_to("inspections:due-list"),
    )


def item_line(item: Item, day: date | None) -> str:
    """'4RT K2N harness, 2 Dec 2026: shelf 3, Ashby Row'; a holder by first name and initial."""
    who = short_name(item.holder.name) if item.holder else ""
    kit = _("kit %(kit)s") % {"kit": item.kit.name} if item.kit and item.custody == "kit" else ""
    words = {
        "item": item.shown_code,
        "what": lower_first(class_name(item.product.equipment_class)),
        "day": shown_day(day) if day else _("no date on record"),
        "where": ", ".join(part for part in (who, kit, item.place_name) if part),
    }
    return _("%(item)s %(what)s, %(day)s: %(where)s") % words
