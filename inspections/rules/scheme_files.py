"""Reading a jurisdiction file: everything that is wrong in it, line by line, or the scheme."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from inspections.rules.json_lines import Path, Places, places, written
from inspections.rules.kinds import KINDS
from inspections.rules.occasions import EVENTS, PARTICULARS, RECORDS, UNTIL
from inspections.rules.scheme_groups import CLASS_WORDS, classes_called
from inspections.rules.scheme_lines import line_faults
from inspections.rules.schemes import (
    STATUSES,
    AfterEvent,
    BeforeUse,
    Examiner,
    Interval,
    Life,
    Line,
    Particular,
    Retention,
    Scheme,
    UserCheck,
)
from inspections.rules.spelling import instead
from register.rules.classes import USE_CLASSES

LAST_DAY_RULES = ("inclusive", "day-before")
EVERY = "every"
_HEAD = ("scheme", "name", "last_day_rule", "last_day_source", "intervals")


class SchemeError(ValueError):
    """A jurisdiction file that cannot be used; ``faults`` names each place and what to write."""

    def __init__(self, faults: list[str]) -> None:
        super().__init__("\n".join(faults))
        self.faults = faults


@dataclass(slots=True)
class _Reader:
    """One file being read; a fault is noted and reading goes on, so that all are told at once."""

    file: str
    places: Places
    faults: list[tuple[int, str]] = field(default_factory=list)

    def wrong(self, path: Path, said: str) -> None:
        line = self.places.line_of(path)
        where = f", {written(path)}" if path else ""
        self.faults.append((line, f"{self.file}, line {line}{where}: {said}"))

    def text(self, raw: dict[str, Any], key: str, path: Path) -> str:
        value = raw.get(key)
        if isinstance(value, str) and value.strip():
            return value
        if key in raw:
            said = "must be a text that says something"
            if key == "source":
                said += "; where there is none, write what is done and the status “common practice, no source”"
            self.wrong((*path, key), said)
        return ""

    def one_of(self, raw: dict[str, Any], key: str, allowed: tuple[str, ...], path: Path) -> str:
        value = self.text(raw, key, path)
        if value and value not in allowed:
            self.wrong((*path, key), instead(value, allowed))
        return value

    def some_of(
        self, raw: dict[str, Any], key: str, allowed: tuple[str, ...], path: Path
    ) -> frozenset[str]:
        """A list of words, each of them known; EVERY stands for all."""
        value = raw.get(key)
        if not isinstance(value, list) or not value:
            if key in raw:
                self.wrong((*path, key), f'must be a list such as ["{allowed[0]}"], not empty')
            return frozenset()
        for at, one in enumerate(value):
            if one not in (*allowed, EVERY):
                self.wrong((*path, key, at), instead(str(one), (*allowed, EVERY)))
        known = {one for one in value if one in allowed}
        return frozenset(allowed) if EVERY in value else frozenset(known)

    def classes(self, raw: dict[str, Any], path: Path) -> frozenset[str]:
        names = self.some_of(raw, "classes", CLASS_WORDS, path)
        return frozenset(slug for name in names for slug in classes_called(name))

    def months(self, raw: dict[str, Any], key: str, path: Path) -> int | None:
        value = raw.get(key)
        if type(value) is int and value >= 1:
            return value
        if key in raw:
            said = f"{value!r} is not a whole number of months from 1 up; write such as 12"
            self.wrong((*path, key), said)
        return None

    def keys(self, raw: dict[str, Any], needed: set[str], other: set[str], path: Path) -> None:
        for key in sorted(needed - raw.keys()):
            self.wrong(path, f"the key {key!r} is missing")
        for key in sorted(raw.keys() - needed - other):
            known = tuple(sorted(needed | other))
            self.wrong((*path, key), f"the key {instead(key, known)}")


def read_scheme(text: str, file: str = "scheme file") -> Scheme:
    """The scheme in a JSON text; SchemeError names every line and key that is wrong."""
    try:
        where = places(text)
    except json.JSONDecodeError as error:
        raise SchemeError([f"{file}, line {error.lineno}: not JSON: {error.msg}"]) from error
    raw = json.loads(text)
    reader = _Reader(file, where)
    for path in where.doubled:
        reader.wrong(path, "this key stands twice; the first would be lost: keep one")
    if not isinstance(raw, dict):
        raise SchemeError([f"{file}, line 1: the file must hold one object in braces"])
    scheme = _scheme(reader, raw)
    if reader.faults:
        raise SchemeError([said for _line, said in sorted(reader.faults)])
    return scheme


def _scheme(reader: _Reader, raw: dict[str, Any]) -> Scheme:
    reader.keys(raw, set(_HEAD), set(_SECTIONS) - {"intervals"}, ())
    found = {name: _section(reader, raw, key, one) for key, (name, one) in _SECTIONS.items()}
    scheme = Scheme(
        reader.text(raw, "scheme", ()),
        reader.text(raw, "name", ()),
        reader.one_of(raw, "last_day_rule", LAST_DAY_RULES, ()),  # type: ignore[arg-type]
        reader.text(raw, "last_day_source", ()),
        **found,
    )
    if not reader.faults:
        for at, said in line_faults(scheme.lines):
            reader.wrong(("intervals", at), said)
    return scheme


def _section(
    reader: _Reader,
    raw: dict[str, Any],
    key: str,
    one: Callable[[_Reader, dict[str, Any], Path], Any],
) -> tuple[Any, ...]:
    rows = raw.get(key, [])
    if not isinstance(rows, list):
        reader.wrong((key,), "must be a list of objects in braces")
        return ()
    found = []
    for at, row in enumerate(rows):
        if isinstance(row, dict):
            found.append(one(reader, row, (key, at)))
        else:
            reader.wrong((key, at), "must be an object in braces")
    return tuple(found)


def _known(reader: _Reader, raw: dict[str, Any], path: Path) -> dict[str, str]:
    """Who says so, and how far that was checked: every line of every section has both."""
    return {
        "source": reader.text(raw, "source", path),
        "status": reader.one_of(raw, "status", STATUSES, path),
    }


def _needs(reader: _Reader, raw: dict[str, Any], path: Path, *keys: str, may: str = "") -> None:
    reader.keys(raw, {*keys, "source", "status"}, set(may.split()), path)


def _line(reader: _Reader, raw: dict[str, Any], path: Path) -> Line:
    _needs(reader, raw, path, "classes", "uses", "kind", "months", may="name shortens")
    known = _known(reader, raw, path)
    return Line(
        reader.classes(raw, path),
        reader.some_of(raw, "uses", tuple(USE_CLASSES), path),
        reader.one_of(raw, "kind", tuple(KINDS), path),
        Interval(reader.months(raw, "months", path) or 1, **known),
        reader.text(raw, "name", path),
        reader.text(raw, "shortens", path),
    )


def _life(reader: _Reader, raw: dict[str, Any], path: Path) -> Life:
    _needs(reader, raw, path, "classes", "months")
    known = _known(reader, raw, path)
    return Life(
        reader.classes(raw, path), Interval(reader.months(raw, "months", path) or 1, **known)
    )


def _user_check(reader: _Reader, raw: dict[str, Any], path: Path) -> UserCheck:
    _needs(reader, raw, path, "classes", "when")
    when = reader.text(raw, "when", path)
    return UserCheck(classes=reader.classes(raw, path), when=when, **_known(reader, raw, path))


def _before_use(reader: _Reader, raw: dict[str, Any], path: Path) -> BeforeUse:
    unless = ("unless_declared_months", "unless_made_months")
    _needs(reader, raw, path, "classes", "kinds", may=" ".join(unless))
    return BeforeUse(
        classes=reader.classes(raw, path),
        kinds=reader.some_of(raw, "kinds", tuple(KINDS), path),
        unless_declared_months=reader.months(raw, unless[0], path),
        unless_made_months=reader.months(raw, unless[1], path),
        **_known(reader, raw, path),
    )


def _after_event(reader: _Reader, raw: dict[str, Any], path: Path) -> AfterEvent:
    _needs(reader, raw, path, "classes", "events", "kinds")
    return AfterEvent(
        classes=reader.classes(raw, path),
        events=reader.some_of(raw, "events", tuple(EVENTS), path),
        kinds=reader.some_of(raw, "kinds", tuple(KINDS), path),
        **_known(reader, raw, path),
    )


def _retention(reader: _Reader, raw: dict[str, Any], path: Path) -> Retention:
    _needs(reader, raw, path, "record", "until", may="months")
    months = reader.months(raw, "months", path)
    until = reader.one_of(raw, "until", tuple(UNTIL), path)
    if until == "months" and months is None:
        reader.wrong(path, "until “months” needs the key 'months'")
    if until == "end" and months is not None:
        reader.wrong((*path, "months"), "until “end” has no months: leave the key out")
    record = reader.one_of(raw, "record", tuple(RECORDS), path)
    return Retention(record=record, until=until, months=months, **_known(reader, raw, path))


def _particular(reader: _Reader, raw: dict[str, Any], path: Path) -> Particular:
    _needs(reader, raw, path, "kinds", "what")
    return Particular(
        kinds=reader.some_of(raw, "kinds", tuple(KINDS), path),
        what=reader.one_of(raw, "what", tuple(PARTICULARS), path),
        **_known(reader, raw, path),
    )


def _examiner(reader: _Reader, raw: dict[str, Any], path: Path) -> Examiner:
    _needs(reader, raw, path, "kinds", "who")
    kinds = reader.some_of(raw, "kinds", tuple(KINDS), path)
    return Examiner(kinds=kinds, who=reader.text(raw, "who", path), **_known(reader, raw, path))


_SECTIONS: dict[str, tuple[str, Callable[[_Reader, dict[str, Any], Path], Any]]] = {
    "intervals": ("lines", _line),
    "lives": ("lives", _life),
    "user_checks": ("user_checks", _user_check),
    "before_first_use": ("before_use", _before_use),
    "after_events": ("after_events", _after_event),
    "retention": ("retention", _retention),
    "particulars": ("particulars", _particular),
    "examiners": ("examiners", _examiner),
}
