"""To whoever holds equipment: what to hand in, and by when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from inspections.due_board import falling_due
from inspections.message_wording import more_words
from register.clock import day_at
from register.links import link_to
from register.models import Item, User
from register.rules.letters import MOST_LISTED, Section
from register.wording import class_name, lower_first, shown_day

SOON = timedelta(days=7)
BACK = timedelta(days=2)


def holder_sections(user: User, at: datetime) -> Iterator[Section]:
    """What is out of date in their hands, what falls due there, what they promised to bring back."""
    if user.person is None:
        return
    held = list(falling_due().filter(holder=user.person).select_related("product", "site"))
    out = [one for one in held if _good_on(one) is None or _days_left(one, at) < timedelta(0)]
    soon = [one for one in held if one not in out and _days_left(one, at) <= SOON]
    back = [
        one
        for one in Item.objects.filter(holder=user.person, due_back_on__isnull=False)
        .select_related("product", "site")
        .order_by("due_back_on", "code")
        if one.due_back_on and one.due_back_on - day_at(one.site, at) <= BACK
    ]
    link = link_to("inspections:person-detail", user.person.pk)
    yield from filter(None, (_out(out, link), _soon(soon, link), _back(back, link)))


def _good_on(item: Item) -> date | None:
    day: date | None = item.good_on  # type: ignore[attr-defined]
    return day


def _days_left(item: Item, at: datetime) -> timedelta:
    return (_good_on(item) or date.min) - day_at(item.site, at)


def _out(items: Sequence[Item], link: str) -> Section | None:
    heading = ngettext(
        "Do not use this piece that you hold, it is out of date. Please bring it back today:",
        "Do not use these pieces that you hold, they are out of date. Please bring them back today:",
        len(items),
    )
    brief = ngettext("%(n)d piece not to use", "%(n)d pieces not to use", len(items))
    lines = [_line(item) for item in items[:MOST_LISTED]]
    return _section(items, heading, brief, lines, link)


def _soon(items: Sequence[Item], link: str) -> Section | None:
    heading = ngettext(
        "Please bring this piece in for its inspection, by its day at the latest:",
        "Please bring these pieces in for their inspection, by their days at the latest:",
        len(items),
    )
    brief = ngettext("%(n)d piece to hand in", "%(n)d pieces to hand in", len(items))
    ordered = sorted(items, key=lambda one: (_good_on(one) or date.min, one.code))
    lines = [_line(item, _good_on(item)) for item in ordered[:MOST_LISTED]]
    return _section(items, heading, brief, lines, link)


def _back(items: Sequence[Item], link: str) -> Section | None:
    heading = _("Please bring back what you were to return:")
    brief = ngettext("%(n)d piece to bring back", "%(n)d pieces to bring back", len(items))
    lines = [_line(item, item.due_back_on) for item in items[:MOST_LISTED]]
    return _section(items, heading, brief, lines, link)


def _section(
    items: Sequence[Item], heading: str, brief: str, lines: Sequence[str], link: str
) -> Section | None:
    if not items:
        return None
    count = len(items)
    return Section(brief % {"n": count}, heading, lines, more_words(count), after=link)


def _line(item: Item, day: date | None = None) -> str:
    words = {
        "item": item.shown_code,
        "what": lower_first(class_name(item.product.equipment_class)),
        "day": shown_day(day) if day else "",
    }
    if day is None:
        return _("%(item)s %(what)s") % words
    return _("%(item)s %(what)s, by %(day)s") % words
