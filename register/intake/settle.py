"""Sets the lines of a file against each other and against the register."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import replace

from register.intake.keys import ItemKey, near_key, tag_key
from register.intake.known import Known, differing
from register.intake.rows import Outcome, Problem, Row

# A line is only set against others where its serial could be read at all.
_NO_KEY = ("serial-", "product-missing", "maker-missing")


def settled(rows: list[Row], known: Known, confirmed: frozenset[str]) -> list[Row]:
    """The rows, in their order, each with its final outcome."""
    keys = [row.key if _has_key(row) else None for row in rows]
    against: dict[int, list[Problem]] = defaultdict(list)
    twice = _settle_twins(rows, keys, against)
    _settle_tags(rows, keys, against)
    _settle_near(rows, keys, against, confirmed)
    for place, key in enumerate(keys):
        if key is not None:
            against[place] += _against_known(rows[place], key, known, confirmed)
    return [
        _with_outcome(row, keys[place], against.get(place, []), twice.get(place), known)
        for place, row in enumerate(rows)
    ]


def _has_key(row: Row) -> bool:
    return not any(problem.code.startswith(_NO_KEY) for problem in row.problems)


def _with_outcome(
    row: Row, key: ItemKey | None, against: list[Problem], first: Row | None, known: Known
) -> Row:
    if row.problems or against:
        return replace(row, outcome="bad", problems=(*row.problems, *against))
    if first is not None:
        told = Problem("twice", "serial", _where(first))
        return replace(row, outcome="twice", notes=(*row.notes, told))
    held = known.items.get(key) if key else None
    if held is None:
        return row
    names = differing(row.particulars, held)
    outcome: Outcome = "differs" if names else "same"
    return replace(row, outcome=outcome, differs=names)


def _where(row: Row) -> dict[str, str | int]:
    return {"other_sheet": row.sheet, "other_line": row.line, "other_serial": row.serial}


def _groups(marks: Iterable[Hashable]) -> list[list[int]]:
    """Places that share a mark, where more than one does; None is no mark."""
    found: dict[Hashable, list[int]] = defaultdict(list)
    for place, mark in enumerate(marks):
        if mark is not None:
            found[mark].append(place)
    return [group for group in found.values() if len(group) > 1]


def _settle_twins(
    rows: list[Row], keys: list[ItemKey | None], against: dict[int, list[Problem]]
) -> dict[int, Row]:
    """Place -> first line of the same item, where all its lines agree; else all stay out."""
    twice: dict[int, Row] = {}
    for group in _groups(keys):
        agree = len({rows[place].particulars for place in group}) == 1
        if agree and not any(rows[place].problems for place in group):
            twice |= dict.fromkeys(group[1:], rows[group[0]])
        else:
            _hold(rows, group, ("twice-differs", "serial"), against)
    return twice


def _settle_tags(
    rows: list[Row], keys: list[ItemKey | None], against: dict[int, list[Problem]]
) -> None:
    """One own mark on two items: neither goes in, for nobody knows which of them wears it."""
    for group in _groups(tag_key(row.tag) or None for row in rows):
        if len({keys[place] or place for place in group}) > 1:
            _hold(rows, group, ("tag-twice", "tag"), against)


def _settle_near(
    rows: list[Row],
    keys: list[ItemKey | None],
    against: dict[int, list[Problem]],
    confirmed: frozenset[str],
) -> None:
    marks = [None if key is None or key.serial in confirmed else near_key(key) for key in keys]
    for group in _groups(marks):
        if len({keys[place] for place in group}) > 1:
            _hold(rows, group, ("near-match", "serial"), against)


def _hold(
    rows: list[Row], group: list[int], what: tuple[str, str], against: dict[int, list[Problem]]
) -> None:
    """Every line of the group is told the first other one."""
    for place in group:
        other = rows[group[0] if place != group[0] else group[1]]
        against[place].append(Problem(*what, _where(other)))


def _against_known(
    row: Row, key: ItemKey, known: Known, confirmed: frozenset[str]
) -> list[Problem]:
    problems = []
    bearer = known.tags.get(tag_key(row.tag)) if row.tag else None
    if bearer is not None and bearer != key:
        facts: Mapping[str, str | int] = {"value": row.tag, "bearer": bearer.serial}
        problems.append(Problem("tag-taken", "tag", facts))
    alike = known.near.get(near_key(key))
    is_new = key not in known.items and key.serial not in confirmed
    if is_new and alike is not None and alike != key:
        facts = {"value": row.serial, "bearer": alike.serial}
        problems.append(Problem("near-match-known", "serial", facts))
    return problems
