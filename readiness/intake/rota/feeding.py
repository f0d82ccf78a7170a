"""What a followed calendar says, brought to the rota: who is new comes on, who is gone goes off."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from django.db import transaction

from inspections.models import Intake
from readiness.actions.rota import take_off_rota
from readiness.intake.rota.calendars import is_calendar, read_rota
from readiness.intake.rota.columns import ROTA
from readiness.intake.rota.fetching import NotFetched, fetch
from readiness.intake.rota.judging import Judge, Put
from readiness.intake.rota.stated import Stated, lines_of
from readiness.intake.rota.way import judge_of, put
from readiness.intake.rota.wording import feed_told
from readiness.models import RotaEntry, RotaFeed
from register import clock
from register.intake.survey import guess_sheets
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told
from register.models import Stamp
from register.refusal import Refusal

MOST_UNCLEAR = 100
_UNCLEAR = frozenset({"absent", "out", "differs"})


def refresh(
    feed: RotaFeed, *, stamp: Stamp, fetched: Callable[[str], bytes] | None = None
) -> RotaFeed:
    """Ask the calendar once. Where there is no good answer the last one stands, and why is told."""
    feed.tried_at, feed.trouble = stamp.at, ""
    try:
        take_in(feed, (fetched or fetch)(feed.address), stamp=stamp)
    except NotFetched as reason:
        feed.trouble = feed_told(str(reason))
    except Unreadable as reason:
        feed.trouble = unreadable_told(reason)
    feed.save(update_fields=["tried_at", "trouble", "answered_at", "answer", "unclear"])
    return feed


def take_in(feed: RotaFeed, content: bytes, *, stamp: Stamp) -> None:
    """Each entry by an act of its own: one that is refused hurts no other, and is told."""
    if not is_calendar(content):
        raise Unreadable("calendar-damaged")
    today = clock.day_at(feed.site, stamp.at)
    lines = _judge(feed, today).lines(_stated(content, today))
    wanted = [line.act for line in lines if isinstance(line.act, Put)]
    _take_off(feed, wanted, today, stamp)
    unclear = [[line.about, line.said] for line in lines if line.list in _UNCLEAR]
    unclear += _put_on(feed, wanted, today, stamp)
    feed.answer = content.decode("utf-8", "replace")
    feed.answered_at, feed.unclear = stamp.at, unclear[:MOST_UNCLEAR]


def _stated(content: bytes, today: date) -> Iterator[Stated]:
    sheets = read_rota(content, "feed.ics", today)
    mapping = guess_sheets(sheets, None, ROTA)
    return lines_of(sheets, mapping, order="day-first", left_out=frozenset())


def _judge(feed: RotaFeed, today: date) -> Judge:
    """As for a file of this site; what the feed itself put on is in nobody's way."""
    said = {"site": str(feed.site_id), f"zone:{feed.site_id}": str(feed.zone_id)}
    asked = {"site_ids": [feed.site_id], "said": said}
    judge = judge_of(Intake(kind=Intake.Kind.ROTA, brought_on=today, choices=asked), today)
    for person, entries in judge.held.items():
        judge.held[person] = [one for one in entries if one.feed_id != feed.pk]
    return judge


def _of(entry: RotaEntry) -> Put:
    own = (entry.begins, entry.ends)
    return Put(entry.person_id, entry.site_id, entry.day_on, entry.shift_id, entry.zone_id, own)


def _standing(feed: RotaFeed, today: date) -> dict[Put, RotaEntry]:
    entries = RotaEntry.objects.filter(feed=feed, day_on__gte=today)
    return {_of(one): one for one in entries.select_related("person", "shift", "site")}


def _take_off(feed: RotaFeed, wanted: list[Put], today: date, stamp: Stamp) -> None:
    for key, entry in _standing(feed, today).items():
        if key not in wanted:
            take_off_rota(entry, stamp=stamp.again())


def _put_on(feed: RotaFeed, wanted: list[Put], today: date, stamp: Stamp) -> list[list[str]]:
    standing, refused = _standing(feed, today), []
    for each in wanted:
        if each in standing:
            continue
        try:
            with transaction.atomic():
                entry = put(each, stamp.again())
                RotaEntry.objects.filter(pk=entry.pk).update(feed=feed)
        except Refusal as refusal:
            refused.append(["", refusal.sentence])
    return refused
