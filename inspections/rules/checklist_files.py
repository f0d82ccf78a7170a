"""Reading a checklist from its JSON text, naming the line that is wrong."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from decimal import Decimal, InvalidOperation
from json.decoder import JSONObject  # type: ignore[attr-defined]
from json.scanner import py_make_scanner  # type: ignore[attr-defined]
from typing import Any

from inspections.rules.checklists import HOW, IF_NOT, Checklist, Part, Point
from inspections.rules.kinds import KINDS
from inspections.rules.schemes import STATUSES
from inspections.rules.verdict import DEFECT_CLASSES
from register.rules.classes import CLASSES

Raw = Mapping[str, Any]
_LINE = "\0line"  # the key under which each object carries its own line; no JSON text holds it
_TEXTS = ("slug", "look", "accept", "how", "if_not", "grade", "source", "status")
_LIMITS = ("least", "most", "under")
_KINDS = ("kinds", "must_for")
_ONE_OF: dict[str, Mapping[str, str] | tuple[str, ...]] = {
    "how": HOW,
    "if_not": IF_NOT,
    "grade": DEFECT_CLASSES,
    "status": STATUSES,
}
_SUGGESTED = {"fail": ("A",), "refer": ("A", "B"), "observation": ("C",)}


class ChecklistError(ValueError):
    """A checklist that cannot be used; the text names the file, the line and what is wrong."""


def read_checklist(text: str, file: str = "checklist") -> Checklist:
    """The checklist in a JSON text."""
    try:
        raw = json.loads(text, cls=_Placed)
    except json.JSONDecodeError as error:
        raise ChecklistError(f"{file}, line {error.lineno}: not JSON: {error.msg}") from error
    if not isinstance(raw, dict):
        raise ChecklistError(f"{file}, line 1: the file must hold one object in braces")
    wrong = _at(file, raw)
    _only(raw, {"class", "number", "parts"}, set(), wrong)
    if raw["class"] not in CLASSES:
        raise wrong(f"{raw['class']!r} is no class of equipment")
    if type(raw["number"]) is not int or raw["number"] < 1:
        raise wrong("number must be a whole number from 1 on")
    if not isinstance(raw["parts"], list) or not raw["parts"]:
        raise wrong("parts must be a list with at least one part")
    parts = tuple(_part(part, file, wrong) for part in raw["parts"])
    found = Checklist(raw["class"], raw["number"], parts)
    _no_twins([part.slug for part in parts], wrong)
    _no_twins([point.slug for point in found.points], wrong)
    return found


def from_content(content: Mapping[str, Any]) -> Checklist:
    """A kept version, as ``content_of`` wrote it."""
    return read_checklist(json.dumps(content), "kept checklist")


class _Placed(json.JSONDecoder):
    """Each object learns the line on which it begins; the same key twice is refused."""

    def __init__(self) -> None:
        super().__init__(object_pairs_hook=_once)
        self.parse_object = self._with_its_line
        self.scan_once = py_make_scanner(self)

    def _with_its_line(self, place: tuple[str, int], *rest: Any) -> tuple[dict[str, Any], int]:
        found, end = JSONObject(place, *rest)
        text, at = place
        return {**found, _LINE: text.count("\n", 0, at) + 1}, end


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A key that stands twice keeps its last value and is told of, by the name of a key not known."""
    keys = [key for key, _value in pairs]
    twice = {f"{key} (twice)": None for key in keys if keys.count(key) > 1}
    return {**dict(pairs), **twice}


def _at(file: str, raw: Raw) -> Callable[[str], ChecklistError]:
    return lambda words: ChecklistError(f"{file}, line {raw[_LINE]}: {words}")


def _only(
    raw: Raw, wanted: set[str], allowed: set[str], wrong: Callable[[str], ChecklistError]
) -> None:
    keys = set(raw) - {_LINE}
    if missing := sorted(wanted - keys):
        raise wrong(f"{', '.join(missing)} missing")
    if unknown := sorted(keys - wanted - allowed):
        raise wrong(f"{', '.join(unknown)} not known here")


def _part(raw: object, file: str, outer: Callable[[str], ChecklistError]) -> Part:
    if not isinstance(raw, dict):
        raise outer("each part must be an object in braces")
    wrong = _at(file, raw)
    _only(raw, {"slug", "name", "points"}, set(), wrong)
    _texts(raw, ("slug", "name"), wrong)
    if not isinstance(raw["points"], list) or not raw["points"]:
        raise wrong(f"part {raw['slug']}: points must be a list with at least one point")
    return Part(raw["slug"], raw["name"], tuple(_point(p, file, wrong) for p in raw["points"]))


def _point(raw: object, file: str, outer: Callable[[str], ChecklistError]) -> Point:
    if not isinstance(raw, dict):
        raise outer("each point must be an object in braces")
    wrong = _at(file, raw)
    _only(raw, set(_TEXTS), {"unit", *_LIMITS, *_KINDS}, wrong)
    _texts(raw, _TEXTS, wrong)
    for key, allowed in _ONE_OF.items():
        if raw[key] not in allowed:
            raise wrong(f"{key}: {raw[key]!r} is none of {', '.join(allowed)}")
    if raw["grade"] not in _SUGGESTED[raw["if_not"]]:
        raise wrong(f"a defect of class {raw['grade']} does not go with {raw['if_not']}")
    kinds: dict[str, Any] = {key: _kinds(raw, key, wrong) for key in _KINDS}
    limits: dict[str, Any] = {key: _limit(raw, key, wrong) for key in _LIMITS}
    unit = raw.get("unit", "")
    if raw["how"] != "measure" and (unit or kinds["must_for"]):
        raise wrong("unit and must_for are for points that are measured")
    if not isinstance(unit, str) or (
        not unit and any(limit is not None for limit in limits.values())
    ):
        raise wrong("a limit needs its unit")
    return Point(**{key: raw[key] for key in _TEXTS}, unit=unit, **limits, **kinds)


def _texts(raw: Raw, keys: tuple[str, ...], wrong: Callable[[str], ChecklistError]) -> None:
    for key in keys:
        if not isinstance(raw[key], str) or not raw[key].strip():
            raise wrong(f"{key} must be words in quotes")


def _kinds(raw: Raw, key: str, wrong: Callable[[str], ChecklistError]) -> tuple[str, ...]:
    told = raw.get(key, [])
    if not isinstance(told, list) or any(kind not in KINDS for kind in told):
        raise wrong(f"{key} must be a list of kinds of inspection")
    return tuple(told)


def _limit(raw: Raw, key: str, wrong: Callable[[str], ChecklistError]) -> Decimal | None:
    if key not in raw:
        return None
    try:
        found = Decimal(raw[key]) if isinstance(raw[key], str) else Decimal("NaN")
    except InvalidOperation:
        found = Decimal("NaN")
    if not found.is_finite():
        raise wrong(f'{key} must be a number in quotes, such as "6"')
    return found


def _no_twins(slugs: list[str], wrong: Callable[[str], ChecklistError]) -> None:
    twins = sorted({slug for slug in slugs if slugs.count(slug) > 1})
    if twins:
        raise wrong(f"{', '.join(twins)} stands here twice")
