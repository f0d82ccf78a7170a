"""A kept check of cover, looked at again: whether what it says still holds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings

from readiness.facts.promised import read_promises, stated_between
from readiness.models import CoverCheck, Permit
from readiness.rules.relied import Broken, broken
from readiness.wording import reason_sentence
from readiness.wording.checks import (
    breach_words,
    ended_words,
    reason_kind,
    time_words,
    window_words,
)
from register.rules.qr import QUIET_MODULES, dark_lines, fit_into
from register.wording import shown_number

QR_MM = 30.0


@dataclass(frozen=True, slots=True)
class Served:
    """One piece of the window, in words."""

    hours: str
    kit: str
    people: str
    anchor: str
    minutes: str


@dataclass(frozen=True, slots=True)
class CheckSeen:
    """`verdict` is "true", "broken", "ended" (its permit is) or "over"; `kinds` names nobody,
    `reasons` may."""

    check: CoverCheck
    verdict: str
    window: str
    since: str = ""
    said: str = ""
    kinds: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    served: tuple[Served, ...] = ()


def look_again(check: CoverCheck, at: datetime) -> CheckSeen:
    """From the facts as they are. A promise that broke once is not mended by time."""
    window = window_words(check.begins_at, check.ends_at, check.site)
    served = tuple(_served(one, check) for one in check.promised)
    if check.ends_at <= at:
        return CheckSeen(check, "over", window, served=served)
    permit: Permit | None = getattr(check, "permit", None)
    if permit is not None and permit.ended_at is not None:
        since = time_words(permit.ended_at, check.site)
        said = ended_words(cancelled=bool(permit.cancelled_because))
        return CheckSeen(check, "ended", window, since=since, said=said, served=served)
    breach = _breach(check, at)
    if breach is None and check.untrue_at is None:
        return CheckSeen(check, "true", window, served=served)
    found = breach or Broken(check.untrue_at or at, "served-otherwise")
    return CheckSeen(
        check,
        "broken",
        window,
        since=time_words(min(found.at, check.untrue_at or found.at), check.site),
        said=breach_words(found.code) if breach else "",
        kinds=tuple(dict.fromkeys(reason_kind(one.code) for one in found.reasons)),
        reasons=tuple(reason_sentence(one) for one in found.reasons),
        served=served,
    )


def _breach(check: CoverCheck, at: datetime) -> Broken | None:
    statement = stated_between(check.site, check.begins_at, check.ends_at, at)
    return broken(check.task.code, read_promises(check.promised), statement, at)


def _served(promised: Mapping[str, Any], check: CoverCheck) -> Served:
    (one,) = read_promises([promised])
    return Served(
        hours=window_words(one.begins, one.ends, check.site),
        kit=one.kit,
        people=", ".join(promised["names"]),
        anchor=promised["anchor_name"],
        minutes=shown_number(one.minutes),
    )


@dataclass(frozen=True, slots=True)
class QrDrawing:
    """A QR code as one path of an SVG."""

    side: int
    path: str


def qr_of(check: CoverCheck) -> QrDrawing:
    address = address_of(check)
    fit = fit_into(QR_MM, address)
    return QrDrawing(fit.modules + 2 * QUIET_MODULES, _path(dark_lines(address, fit)))


def address_of(check: CoverCheck) -> str:
    return f"{settings.PUBLIC_URL.rstrip('/')}{check.get_absolute_url()}"


def _path(lines: Iterable[tuple[int, int, int]]) -> str:
    quiet = QUIET_MODULES
    return "".join(
        f"M{column + quiet} {row + quiet}h{length}v1h-{length}z" for column, row, length in lines
    )
