"""What may go wrong with a running register without anybody seeing it, in plain words.

Each app enters its own in ``watches.py`` by ``enter_watch``; the administrator's page, the metrics and
``manage.py look_after`` ask them all. A watch that fails itself is told as trouble, never left out.
"""

from __future__ import annotations

import logging
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from django.conf import settings
from django.core.checks import run_checks
from django.db import connection
from django.db.models import Max
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop
from django_tasks_db.models import DBTaskResult

from register.models import Act, BackUp, Checkpoint, Site
from register.wording import shown_moment, shown_number

LOG = logging.getLogger(__name__)

BACKUP_EVERY = timedelta(days=1)
CHECKPOINT_EVERY = timedelta(days=7)
WORKER_WITHIN = timedelta(minutes=2)
CLOCK_WITHIN = timedelta(seconds=5)
LEAST_ROOM = 1_000_000_000  # bytes free on the disk


@dataclass(frozen=True, slots=True)
class Found:
    """How one thing stands, and what to do where it is not well."""

    well: bool
    sentence: str


Watch = Callable[[datetime], Found]

_watches: dict[str, Watch] = {}


def enter_watch(name: str, watch: Watch) -> None:
    """Under a name that people read, marked for translation."""
    _watches[name] = watch


def look(at: datetime) -> list[tuple[str, Found]]:
    """Every watch by its name in the reader's language, trouble first."""
    found = [(_(name), _asked(name, watch, at)) for name, watch in _watches.items()]
    return sorted(found, key=lambda one: (one[1].well, one[0]))


def _asked(name: str, watch: Watch, at: datetime) -> Found:
    try:
        return watch(at)
    except Exception:
        LOG.exception("The watch %r failed.", name)
        return Found(well=False, sentence=_("This could not be looked at; the log says why."))


def _backups(at: datetime) -> Found:
    last = BackUp.objects.first()
    if last is None:
        said = _(
            "No back-up was ever made. Let manage.py back_up run every night, onto another disk."
        )
        return Found(well=False, sentence=said)
    facts = {"moment": shown_moment(last.at), "name": last.name}
    said = _("The last good one was made %(moment)s (UTC): %(name)s.") % facts
    if at - last.at > BACKUP_EVERY:
        said += " " + _("That is more than a day ago.")
    return Found(at - last.at <= BACKUP_EVERY, said)


def _worker(at: datetime) -> Found:
    oldest = DBTaskResult.objects.ready().order_by("enqueued_at").first()
    if oldest is None or at - oldest.enqueued_at <= WORKER_WITHIN:
        return Found(well=True, sentence=_("Nothing waits for it."))
    said = _("Work has waited since %(moment)s (UTC). Is manage.py db_worker running?") % {
        "moment": shown_moment(oldest.enqueued_at)
    }
    return Found(well=False, sentence=said)


def _clock(at: datetime) -> Found:
    latest = Act.objects.aggregate(latest=Max("at"))["latest"]
    if latest and latest - at > CLOCK_WITHIN:
        said = _(
            "It is behind: something was recorded at %(moment)s (UTC) already. Put it right before"
            " anything is decided by a date."
        ) % {"moment": shown_moment(latest)}
        return Found(well=False, sentence=said)
    return _database_clock(at)


def _database_clock(at: datetime) -> Found:
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT clock_timestamp()")
            apart = abs(cursor.fetchone()[0] - at)
        if apart > CLOCK_WITHIN:
            said = _("It and that of the database are %(seconds)s seconds apart.") % {
                "seconds": shown_number(round(apart.total_seconds()))
            }
            return Found(well=False, sentence=said)
    return Found(well=True, sentence=_("It is not behind what was recorded."))


def _zones(at: datetime) -> Found:
    unknown = []
    for site in Site.objects.order_by("name"):
        try:
            ZoneInfo(site.time_zone)
        except (ZoneInfoNotFoundError, ValueError):
            unknown.append(f"{site} ({site.time_zone})")
    if unknown:
        said = _(
            "This computer does not know that of %(sites)s. Bring the package tzdata up to date."
        )
        return Found(well=False, sentence=said % {"sites": ", ".join(unknown)})
    return Found(well=True, sentence=_("That of every site is known."))


def _guard(at: datetime) -> Found:
    wrong = [each for each in run_checks(databases=["default"]) if each.id == "register.E001"]
    if wrong:
        said = _("Its triggers are gone: anybody could change it. Run manage.py guard_ledger.")
        return Found(well=False, sentence=said)
    return Found(well=True, sentence=_("The database lets nobody change or remove an entry."))


def _checkpoints(at: datetime) -> Found:
    last = Checkpoint.objects.first()
    if last is None:
        said = _(
            "None was ever made. Without one that is kept elsewhere, a chain that was rewritten as"
            " a whole would not show."
        )
        return Found(well=False, sentence=said)
    said = _("The last one was made %(moment)s (UTC).") % {"moment": shown_moment(last.at)}
    return Found(at - last.at <= CHECKPOINT_EVERY, said)


def _room(at: datetime) -> Found:
    free = shutil.disk_usage(settings.DATA_DIR).free
    said = _("%(free)s MB are free where files are kept.") % {
        "free": shown_number(free // 1_000_000)
    }
    return Found(free >= LEAST_ROOM, said)


def _address(at: datetime) -> Found:
    if settings.DEBUG:
        said = _("DEBUG is on: errors show secrets to whoever meets them. Turn it off.")
        return Found(well=False, sentence=said)
    if settings.SECURE or settings.PUBLIC_HOST in {"localhost", "127.0.0.1"}:
        return Found(well=True, sentence=settings.PUBLIC_URL)
    said = _(
        "%(address)s is not https: passwords can be read on the way, and phones give no camera."
    ) % {"address": settings.PUBLIC_URL}
    return Found(well=False, sentence=said)


enter_watch(gettext_noop("Back-up"), _backups)
enter_watch(gettext_noop("Background worker"), _worker)
enter_watch(gettext_noop("Clock of the computer"), _clock)
enter_watch(gettext_noop("Time zones"), _zones)
enter_watch(gettext_noop("Ledger"), _guard)
enter_watch(gettext_noop("Checkpoint of the ledger"), _checkpoints)
enter_watch(gettext_noop("Disk"), _room)
enter_watch(gettext_noop("Address"), _address)
