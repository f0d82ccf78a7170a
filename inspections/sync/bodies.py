"""Reading the body of an event: each value as what it is, or a refusal that names it."""

from __future__ import annotations

import uuid
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from typing import Any

from django.utils.translation import gettext as _

from inspections.rules.sent_events import moment_in
from register.refusal import Refusal

LONGEST = 100  # of one text in a list


class Body:
    """The values of an event by their names."""

    def __init__(self, told: Mapping[str, Any]) -> None:
        self._told = told

    def text(self, name: str, most: int = 400) -> str:
        """Text without blanks around it, '' where there is none."""
        value = self._told.get(name)
        if value is None:
            return ""
        if not isinstance(value, str) or len(value) > most:
            raise unsound(name)
        return value.strip()

    def flag(self, name: str) -> bool:
        value = self._told.get(name, False)
        if not isinstance(value, bool):
            raise unsound(name)
        return value

    def number(self, name: str) -> int | None:
        value = self._told.get(name)
        if value is not None and (type(value) is not int or abs(value) > 2**62):
            raise unsound(name)
        return value

    def key(self, name: str) -> uuid.UUID | None:
        """An id made on a phone."""
        value = self._told.get(name)
        if value is None:
            return None
        try:
            return uuid.UUID(str(value))
        except ValueError:
            raise unsound(name) from None

    def day(self, name: str) -> date | None:
        value = self.text(name, 10)
        try:
            return date.fromisoformat(value) if value else None
        except ValueError:
            raise unsound(name) from None

    def moment(self, name: str) -> datetime | None:
        value = self._told.get(name)
        found = moment_in(value)
        if value is not None and found is None:
            raise unsound(name)
        return found

    def texts(self, name: str, most: int = 400) -> list[str]:
        """A list of short texts."""
        values = self._list(name, most)
        if not all(isinstance(one, str) and len(one) <= LONGEST for one in values):
            raise unsound(name)
        return [one.strip() for one in values]

    def numbers(self, name: str) -> list[int]:
        values = self._list(name, 100)
        if not all(type(one) is int and abs(one) < 2**62 for one in values):
            raise unsound(name)
        return values

    def parts(self, name: str) -> list[Body]:
        """A list of bodies."""
        values = self._list(name, 50)
        if not all(isinstance(one, dict) for one in values):
            raise unsound(name)
        return [Body(one) for one in values]

    def part(self, name: str) -> Body | None:
        value = self._told.get(name)
        if value is not None and not isinstance(value, dict):
            raise unsound(name)
        return Body(value) if value is not None else None

    def words(self, name: str) -> dict[str, str]:
        """Texts by their names."""
        value = self._told.get(name) or {}
        if not isinstance(value, dict) or not all(isinstance(v, str) for v in value.values()):
            raise unsound(name)
        return dict(value)

    def amounts(self, name: str) -> dict[str, Decimal]:
        try:
            return {slug: Decimal(value) for slug, value in self.words(name).items()}
        except InvalidOperation:
            raise unsound(name) from None

    def _list(self, name: str, most: int) -> list[Any]:
        value = self._told.get(name)
        if value is None:
            return []
        if not isinstance(value, list) or len(value) > most:
            raise unsound(name)
        return value


def unsound(name: str) -> Refusal:
    """Something in the event is not what belongs there."""
    return Refusal(
        "event-unsound",
        _("What was sent cannot be read: “%(name)s” is not as it should be.") % {"name": name},
    )
