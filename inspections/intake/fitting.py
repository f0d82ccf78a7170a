"""Holds back what the tables cannot keep as it stands: nothing is cut short, nothing is guessed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from django.db import models

from inspections.models import BroughtIn, Inspection
from register.intake.keys import ProductKey, product_key
from register.intake.plan import Plan
from register.intake.rows import Problem, Row
from register.models import Item, Product
from register.rules.classes import CLASSES
from register.rules.serials import serial_key

_COLUMNS: tuple[tuple[str, type[models.Model], str], ...] = (
    ("serial", Item, "serial"),
    ("size", Item, "size"),
    ("batch", Item, "batch"),
    ("zone", Item, "place"),
    ("maker", Product, "maker"),
    ("product", Product, "designation"),
    ("tag", BroughtIn, "old_mark"),
    ("inspector", Inspection, "inspector_text"),
)


def _most_letters(model: type[models.Model], name: str) -> int:
    column = model._meta.get_field(name)  # noqa: SLF001
    return (isinstance(column, models.CharField) and column.max_length) or 0


_MOST = {slug: _most_letters(model, name) for slug, model, name in _COLUMNS}


def fitted(plan: Plan) -> Plan:
    """The plan with the lines that do not fit among those that stay out."""
    classes = _classes_of(plan.of("new"))
    rows = tuple(_fitted(row, classes) if row.outcome == "new" else row for row in plan.rows)
    return replace(plan, rows=rows)


def kept_out(plan: Plan, rows: Mapping[tuple[str, int], Problem]) -> Plan:
    """The plan with these lines, named by sheet and line, staying out for one more reason."""
    return replace(
        plan, rows=tuple(_out(row, rows.get((row.sheet, row.line))) for row in plan.rows)
    )


def _out(row: Row, problem: Problem | None) -> Row:
    if problem is None:
        return row
    return replace(row, outcome="bad", problems=(*row.problems, problem))


def _classes_of(rows: Iterable[Row]) -> dict[ProductKey, set[str]]:
    found: dict[ProductKey, set[str]] = {}
    for row in rows:
        found.setdefault(product_key(row.maker, row.product), set()).add(row.class_slug)
    return found


def _fitted(row: Row, classes: Mapping[ProductKey, set[str]]) -> Row:
    problems = [
        Problem("too-long", slug, {"length": len(getattr(row, slug)), "most": most})
        for slug, most in _MOST.items()
        if len(getattr(row, slug)) > most
    ]
    if not serial_key(row.serial):
        problems.append(Problem("serial-no-letters", "serial", {"value": row.serial}))
    held = classes[product_key(row.maker, row.product)]
    if len(held) > 1:
        one, other = sorted(CLASSES[slug].name for slug in held)[:2]
        problems.append(Problem("class-differs", "class", {"one": one, "other": other}))
    if not problems:
        return row
    return replace(row, outcome="bad", problems=tuple(problems))
