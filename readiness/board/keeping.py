"""Statements of cover are kept, and brought up to date after the facts have changed.

No change waits for this: an act only raises the version of its sites' facts. What is kept is compared
with that version wherever it is read, so that an old answer is never taken for a new one.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from time import monotonic

from django.conf import settings
from django.db import connection, transaction
from django.db.models import F, Q
from django.utils import translation

from readiness.board.losses import note_broken, note_losses
from readiness.board.past import keep_past
from readiness.facts import known_of
from readiness.facts.mark import judged_by
from readiness.models import KeptStatement
from readiness.rules.facts_hash import facts_hash
from readiness.rules.slices import Solver
from readiness.rules.statement import HORIZON_DAYS, Statement, state
from readiness.rules.statement_json import read, written
from readiness.rules.windows import midnight
from register.clock import day_at
from register.models import Site


@dataclass(frozen=True, slots=True)
class Made:
    """A statement, the version of the facts it was made from, and how long that took."""

    statement: Statement
    version: int
    day_ends_at: datetime
    took_ms: int


def lacking(at: datetime) -> Iterator[Site]:
    """Sites whose statement is missing, behind or a day old, those that wait longest first.

    A change is told before a midnight: after it an answer may be wrong, not only short.
    """
    behind = (
        Q(kept_statement=None)
        | ~Q(kept_statement__facts_version=F("facts_version"))
        | ~Q(kept_statement__judged_by=judged_by())
    )
    order = F("kept_statement__made_at").asc(nulls_first=True)
    yield from Site.objects.filter(behind).order_by(order, "pk")
    yield from (
        Site.objects.filter(kept_statement__day_ends_at__lte=at)
        .exclude(behind)
        .order_by(order, "pk")
    )


def longest_unread() -> Site | None:
    """The site whose facts were compared with its statement the longest time ago."""
    return Site.objects.exclude(kept_statement=None).order_by("kept_statement__made_at").first()


def bring_up_to_date(site: Site, at: datetime, solver: Solver | None = None) -> Statement:
    """The statement from the facts as they are; kept, unless a newer one is by now.

    Where nothing that matters has changed, the answers stay and only their version moves.
    """
    begun = monotonic()
    with translation.override(settings.LANGUAGE_CODE):
        day = day_at(site, at)
        known = known_of(site, day, day + timedelta(days=HORIZON_DAYS))
        day = at.astimezone(known.timeline.zone).date()
        day_ends_at = midnight(day + timedelta(days=1), known.timeline.zone)
        facts = facts_hash(known.timeline)
        if unchanged := _moved(site, (known.version, facts), day_ends_at, at):
            return unchanged
        statement = state(known.timeline, day, at, solver, facts)
    took_ms = round((monotonic() - begun) * 1000)
    store(site, Made(statement, known.version, day_ends_at, took_ms))
    return statement


def statement_in(kept: KeptStatement) -> Statement:
    """What is kept; its time is that at which the facts were last read."""
    return replace(read(kept.body), made_at=kept.made_at)


def _moved(
    site: Site, known: tuple[int, str], day_ends_at: datetime, at: datetime
) -> Statement | None:
    """The kept statement with its version moved, where its facts are the same on the same day.

    `known` is the version of the facts and their hash.
    """
    version, facts = known
    same = KeptStatement.objects.filter(
        site=site, facts=facts, judged_by=judged_by(), day_ends_at=day_ends_at
    )
    kept = same.first()
    if kept is None:
        return None
    same.filter(facts_version__lte=version).update(facts_version=version, made_at=at)
    kept.made_at = at
    statement = statement_in(kept)
    note_broken(site, statement, at)  # a check may have been kept since
    return statement


def store(site: Site, made: Made) -> None:
    """Keep it, unless what is kept was made from newer facts, or on a later day."""
    row = KeptStatement(
        site=site,
        facts_version=made.version,
        facts=made.statement.facts,
        judged_by=judged_by(),
        made_at=made.statement.made_at,
        took_ms=made.took_ms,
        day_ends_at=made.day_ends_at,
        told_since_at=made.statement.made_at,
        body=written(made.statement),
    )
    with transaction.atomic():
        kept = KeptStatement.objects.select_for_update().filter(pk=site.pk).first()
        if kept is None:
            KeptStatement.objects.bulk_create([row], ignore_conflicts=True)
            note_broken(site, made.statement, made.statement.made_at)
            return
        if _newer(kept, made):
            return
        before = statement_in(kept)
        keep_past(site, before, kept.told_since_at, made.statement.made_at)
        row.save(force_update=True)
        note_losses(site, before, made.statement, made.statement.made_at)
        note_broken(site, made.statement, made.statement.made_at)


def _newer(kept: KeptStatement, made: Made) -> bool:
    return (kept.facts_version, kept.day_ends_at, kept.made_at) > (
        made.version,
        made.day_ends_at,
        made.statement.made_at,
    )


@contextmanager
def hardly_waiting(milliseconds: int = 200) -> Iterator[None]:
    """Give up soon where another writes: a page that is read must not wait for that."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SHOW lock_timeout")
            usual = cursor.fetchone()[0]
            cursor.execute(f"SET lock_timeout = {milliseconds}")
            after = f"SET lock_timeout = '{usual}'"
        else:
            usual = cursor.execute("PRAGMA busy_timeout").fetchone()[0]
            cursor.execute(f"PRAGMA busy_timeout = {milliseconds}")
            after = f"PRAGMA busy_timeout = {usual}"
        try:
            yield
        finally:
            cursor.execute(after)
