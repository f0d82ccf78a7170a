"""Checklists: what to look at on each class, when it is good, and what follows when it is not.

A file a class in ``fixtures/checklists``. A version is known by its number and by the hash of what it
says; the maker's instructions go before every line of it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from register.rules.texts import gettext_noop

HOW: dict[str, str] = {
    "look": gettext_noop("Look"),
    "feel": gettext_noop("Feel"),
    "function": gettext_noop("Function"),
    "measure": gettext_noop("Measure"),
}
IF_NOT: dict[str, str] = {
    "fail": gettext_noop("fail"),
    "refer": gettext_noop("refer"),
    "observation": gettext_noop("observation"),
}
ANSWERS: dict[str, str] = {
    "ok": gettext_noop("OK"),
    "not-ok": gettext_noop("Not OK"),
    "not-applicable": gettext_noop("Not applicable"),
}
# What the inspector states beside single answers; never turned into ticks of its own.
STATEMENTS: dict[str, str] = {
    "all-good": gettext_noop("All points looked at, all good"),
    "rest-good": gettext_noop("All other points looked at, good"),
}
STATEMENT_CHOICES: tuple[tuple[str, str], ...] = tuple(STATEMENTS.items())


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One thing to look at.

    if_not: the verdict that a bad answer leads to, and ``grade`` the class of defect it suggests.
    least, most (both still good) and under (no longer good) are limits in ``unit``. kinds: the
    kinds of inspection it belongs to, none for all; must_for: those that cannot pass unmeasured.
    """

    slug: str
    look: str
    accept: str
    how: str
    if_not: str
    grade: str
    source: str
    status: str
    unit: str = ""
    least: Decimal | None = None
    most: Decimal | None = None
    under: Decimal | None = None
    kinds: tuple[str, ...] = ()
    must_for: tuple[str, ...] = ()

    def is_within(self, measured: Decimal) -> bool:
        """Whether what was measured keeps the limits; true where there are none."""
        return (
            (self.least is None or measured >= self.least)
            and (self.most is None or measured <= self.most)
            and (self.under is None or measured < self.under)
        )


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the item and its points, in the order in which the hand meets them."""

    slug: str
    name: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class Checklist:
    """One version of the checklist of one class."""

    class_slug: str
    number: int
    parts: tuple[Part, ...]

    @property
    def points(self) -> tuple[Point, ...]:
        return tuple(point for part in self.parts for point in part.points)

    def part_of(self, slug: str) -> Part | None:
        """The part to which the point belongs."""
        return next((part for part in self.parts if any(p.slug == slug for p in part.points)), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answers:
    """What was said of the points: a statement on them as a whole, single answers, measurements."""

    statement: str = ""
    points: Mapping[str, str]
    measured: Mapping[str, Decimal]


def for_kind(found: Checklist, kind: str) -> Checklist:
    """The points that belong to this kind of inspection; a part left without any goes."""
    parts = [
        Part(part.slug, part.name, tuple(p for p in part.points if not p.kinds or kind in p.kinds))
        for part in found.parts
    ]
    return Checklist(found.class_slug, found.number, tuple(part for part in parts if part.points))


def with_defects(told: Answers, *, bad: Iterable[str], has_any: bool) -> Answers:
    """The points at which ``bad`` was found are not OK; with any defect not all was good."""
    answers = {**told.points, **{slug: "not-ok" for slug in bad if slug}}
    mixed = has_any or "not-ok" in answers.values()
    statement = "rest-good" if mixed and told.statement == "all-good" else told.statement
    return Answers(statement=statement, points=answers, measured=told.measured)


def must_measure(found: Checklist, kind: str) -> tuple[Point, ...]:
    """The points without whose measurement this kind cannot pass."""
    return tuple(point for point in for_kind(found, kind).points if kind in point.must_for)


def unanswered(found: Checklist, told: Answers) -> tuple[Point, ...]:
    """The points on which nothing was said, singly or as a whole."""
    if told.statement:
        return ()
    return tuple(point for point in found.points if point.slug not in told.points)


def content_of(found: Checklist) -> dict[str, object]:
    """The version as plain values: what is kept of it, and what its hash is taken of."""
    return {
        "class": found.class_slug,
        "number": found.number,
        "parts": [
            {"slug": part.slug, "name": part.name, "points": [_kept(p) for p in part.points]}
            for part in found.parts
        ],
    }


def hash_of(found: Checklist) -> str:
    """SHA-256 of the content, keys in order: the same words give the same hash in any layout."""
    text = json.dumps(content_of(found), sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _kept(point: Point) -> dict[str, object]:
    values = {name: getattr(point, name) for name in Point.__slots__}
    return {name: _plain(value) for name, value in values.items() if value not in ("", None, ())}


def _plain(value: object) -> object:
    if isinstance(value, Decimal):
        return str(value)
    return list(value) if isinstance(value, tuple) else value
