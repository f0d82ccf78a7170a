"""Lists page by page after a key: no page is skipped or told twice while rows come and go."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from django.db import models
from django.utils.translation import gettext as _

from register.api.problems import Problem
from register.api.shapes import Page

Row = TypeVar("Row", bound=models.Model)


def page_by(rows: models.QuerySet[Row], asked: Page, name: str) -> tuple[list[Row], str | None]:
    """The rows of the page in the order of one unique column, and where the next begins."""
    if asked.after:
        rows = rows.filter(**{f"{name}__gt": asked.after})
    found = list(rows.order_by(name)[: asked.limit + 1])
    return cut(found, asked.limit, lambda row: str(_value(row, name)))


def cut(rows: list[Row], limit: int, key: object) -> tuple[list[Row], str | None]:
    """At most so many; and the key of the last, if there are more."""
    shown = rows[:limit]
    return shown, key(shown[-1]) if len(rows) > limit else None  # type: ignore[operator]


def _value(row: object, name: str) -> object:
    for part in name.split("__"):
        row = getattr(row, part)
    return row


def not_a_cursor() -> Problem:
    """For what did not come from ``next``."""
    detail = _("Give what ‘next’ said at the end of the page before, unchanged.")
    return Problem("unsound", detail, errors=[{"parameter": "after", "detail": detail}])


def after_day(text: str) -> Sequence[str]:
    """The day ('' for not known) and the key of a cursor written as 'DAY.KEY'."""
    day, dot, key = text.partition(".")
    if not dot or not key:
        raise not_a_cursor()
    return day, key
