"""The morning's letter to each user for whom there is something to do, and the week's to each."""

from __future__ import annotations

import logging
from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from itertools import chain
from zoneinfo import ZoneInfo

from django.conf import settings
from django.db import transaction
from django.db.models import Q
from django.utils import translation
from django.utils.translation import gettext as _

from inspections.messages.holder import holder_sections
from inspections.messages.inspector import inspector_sections
from inspections.messages.stores import stores_sections
from readiness.messages.cover import Look, cover_sections, lapse_sections
from readiness.messages.weeks import week_letter
from register.actions.messages import is_here, write_to
from register.models import MessageTerms, Postbox, Site, User
from register.rules.letters import Letter, Section, letter, section_text
from register.rules.message_kinds import MORNING, WEEKLY
from register.wording import shown_day

logger = logging.getLogger(__name__)

LASTS = timedelta(hours=6)
"""Where nothing ran at the hour, the letter is still made so long after it; then not that day."""

MONDAY = 0


def tell_the_morning(at: datetime) -> int:
    """Think of everybody whose morning it is and who was not thought of today; how many were."""
    terms = MessageTerms.objects.first() or MessageTerms()
    look = Look(at)
    told = 0
    for user in _users():
        here = morning_at(_zone_of(user), at, terms.morning_hour)
        if here and is_here(user, at) and _not_yet(user, here):
            told += _thought_of(user, here, look)
    return told


def _thought_of(user: User, day: date, look: Look) -> bool:
    """One whose letter cannot be made keeps nobody else from theirs; it is tried again."""
    try:
        with translation.override(_language(user)):
            _think_of(user, day, look)
    except Exception:
        logger.exception("The morning of user %s failed.", user.pk)
        return False
    return True


def morning_at(zone: ZoneInfo, at: datetime, hour: int) -> date | None:
    """The day whose morning it is by this clock; None where it is none."""
    there = at.astimezone(zone)
    begins = there.replace(hour=hour, minute=0, second=0, microsecond=0)
    return there.date() if begins <= there < begins + LASTS else None


def sections_for(user: User, look: Look) -> list[Section]:
    """Whatever of the letter concerns the user: what may not wait comes first."""
    found = chain(
        cover_sections(user, look),
        holder_sections(user, look.at),
        stores_sections(user, look.at),
        inspector_sections(user, look.at),
        lapse_sections(user, look),
    )
    return list(found)


def morning_letter(sections: Sequence[Section], day: date) -> Letter:
    """The subject names the first two things that there are to do."""
    briefs = [one.brief for one in sections if one.brief]
    words = {"day": shown_day(day, "WEEKDAY"), "what": "; ".join(briefs[:2])}
    return letter(_("%(day)s: %(what)s") % words, [section_text(one) for one in sections])


def _users() -> Iterator[User]:
    rows = User.objects.filter(is_active=True).filter(grants__isnull=False).distinct()
    yield from rows.select_related("person__home_site", "postbox").order_by("pk")


def _language(user: User) -> str:
    box: Postbox | None = getattr(user, "postbox", None)
    return (box and box.language) or settings.LANGUAGE_CODE


def _zone_of(user: User) -> ZoneInfo:
    """The clock of the home site; else that of the first site of a role; else of the first site."""
    home = user.person.home_site if user.person else None
    site = home or Site.objects.filter(pk__in=user.site_ids).first() or Site.objects.first()
    return ZoneInfo(site.time_zone if site else settings.TIME_ZONE)


def _not_yet(user: User, day: date) -> bool:
    box: Postbox | None = getattr(user, "postbox", None)
    return box is None or box.last_morning_on is None or box.last_morning_on < day


def _think_of(user: User, day: date, look: Look) -> None:
    """The letters are made first; that the day is done, and they, are written together or not at all."""
    sections = sections_for(user, look)
    week = week_letter(user, sections, look, day) if day.weekday() == MONDAY else None
    with transaction.atomic():
        Postbox.objects.get_or_create(user=user)
        if not _claimed(user, day):
            return
        if sections:
            said = morning_letter(sections, day)
            write_to({user: lambda: said}, MORNING, day.isoformat(), look.at)
        if week:
            write_to({user: lambda: week}, WEEKLY, day.isoformat(), look.at)


def _claimed(user: User, day: date) -> bool:
    """Whether it is ours to write; another worker may have come before."""
    before = Q(last_morning_on=None) | Q(last_morning_on__lt=day)
    return bool(Postbox.objects.filter(before, pk=user.pk).update(last_morning_on=day))
