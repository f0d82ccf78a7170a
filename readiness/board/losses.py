"""What a new statement made untrue, kept so that those who relied on it are told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from readiness.board.lost_cover import tell_of_lost_cover
from readiness.facts.promised import read_promises, read_reasons, written_reasons
from readiness.models import CoverChange, CoverCheck, Task
from readiness.rules.relied import Broken, broken, losses
from readiness.rules.statement import Statement
from readiness.wording import reason_sentence
from readiness.wording.checks import breach_words, time_words
from register.models import Site

AHEAD = timedelta(hours=24)
"""Who relies on cover later than that sees it on the page before it begins."""


def note_losses(site: Site, old: Statement, new: Statement, now: datetime) -> None:
    """Inside the transaction that keeps the new statement, so that each loss is noted once."""
    found = losses(old, new, now, now + AHEAD)
    tasks = {task.code: task for task in Task.objects.filter(site=site)} if found else {}
    rows = CoverChange.objects.bulk_create(
        CoverChange(
            site=site,
            task=tasks[one.task],
            begins_at=one.begins,
            ends_at=one.ends,
            before=one.before.state,
            after=one.after.state,
            reasons=written_reasons(one.after.reasons),
            found_at=now,
        )
        for one in found
        if one.task in tasks
    )
    tell_of_lost_cover(site, rows, new.names, now)
    _note_covered_again(site, new, now)


def _note_covered_again(site: Site, statement: Statement, now: datetime) -> None:
    """A change stays to be read, but no longer as how things stand."""
    still = CoverChange.objects.filter(
        site=site, cover_check=None, covered_again_at=None, ends_at__gt=now, found_at__lt=now
    )
    for change in still.select_related("task"):
        worst = statement.worst(change.task.code, max(now, change.begins_at), change.ends_at)
        if worst is None or (worst.answer and not worst.answer.uncovered):
            CoverChange.objects.filter(pk=change.pk).update(covered_again_at=now)


def note_broken(site: Site, statement: Statement, now: datetime) -> None:
    """Kept checks whose promise the statement breaks are no longer true from that moment on."""
    relied = CoverCheck.objects.filter(site=site, ends_at__gt=now, untrue_at=None)
    for check in relied.select_related("task"):
        breach = broken(check.task.code, read_promises(check.promised), statement, now)
        if breach is not None:
            _note_breach(check, breach, now)


def _note_breach(check: CoverCheck, breach: Broken, now: datetime) -> None:
    """Only who marks the check tells of it: two keepers do not tell twice."""
    if not CoverCheck.objects.filter(pk=check.pk, untrue_at=None).update(untrue_at=breach.at):
        return
    CoverChange.objects.create(
        site_id=check.site_id,
        task_id=check.task_id,
        cover_check=check,
        begins_at=breach.at,
        ends_at=check.ends_at,
        before=check.promised[0]["state"],
        after=breach.state or breach.code,
        reasons=written_reasons(breach.reasons),
        found_at=now,
    )


@dataclass(frozen=True, slots=True)
class ChangeTold:
    """One task of the list, with all kept checks that the same statement made untrue."""

    change: CoverChange
    since: str
    said: str
    reasons: tuple[str, ...]
    checks: tuple[CoverCheck, ...]


def changes_to_tell(sites: Sequence[Site], at: datetime) -> list[ChangeTold]:
    """What nobody answerable has said they know of, while its hours are not over."""
    open_ones = CoverChange.objects.filter(site__in=sites, told_at=None, ends_at__gt=at)
    rows = open_ones.select_related("site", "task", "cover_check__made_by__person")
    found: dict[tuple[int, datetime], list[CoverChange]] = {}
    for row in rows:
        found.setdefault((row.task_id, row.found_at), []).append(row)
    return [_told(together) for together in found.values()]


def _told(together: Sequence[CoverChange]) -> ChangeTold:
    """The loss of cover itself first, where there is one beside the checks it broke."""
    change = min(together, key=lambda one: (one.cover_check is not None, one.begins_at))
    return ChangeTold(
        change,
        since=time_words(change.begins_at, change.site),
        said=breach_words(change.after),
        reasons=tuple(reason_sentence(reason) for reason in read_reasons(change.reasons)),
        checks=tuple(one.cover_check for one in together if one.cover_check),
    )
