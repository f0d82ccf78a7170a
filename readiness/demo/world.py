"""What the parts of the demo share: the day, the rows made so far, and the happenings to come."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings

from register.models import Person, Product, Shift, Site, Stamp, User, Zone

BEGAN = 640
"""So many days ago the register of the demo begins."""

SATURDAY = 5

TABLES = Path(settings.BASE_DIR) / "fixtures" / "demo"


def table(name: str) -> Any:
    """One table of the demo, such as 'people'; a misspelt key in it fails the load at once."""
    return json.loads((TABLES / f"{name}.json").read_text(encoding="utf-8"))


@dataclass(frozen=True, slots=True)
class Happening:
    """Something that came to pass at a moment; `do` is told the moment."""

    at: datetime
    do: Callable[[datetime], None]


@dataclass(slots=True)
class World:
    """All that is made from one seed for one day; `share` scales the stock (1 is about 2,000)."""

    day: date
    share: float = 1.0
    chance: random.Random = field(default_factory=lambda: random.Random(1907))  # noqa: S311
    sites: dict[str, Site] = field(default_factory=dict)
    zones: dict[tuple[str, str], Zone] = field(default_factory=dict)
    shifts: dict[tuple[str, str], Shift] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    users: dict[str, User] = field(default_factory=dict)
    products: dict[str, Product] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)

    def moment(self, days: int, hour: int = 10, minute: int = 0) -> datetime:
        """`days` after the demo's day, a negative number for before."""
        return datetime.combine(self.on(days), time(hour, minute), tzinfo=UTC)

    def on(self, days: int) -> date:
        return self.day + timedelta(days=days)

    def stamp(self, username: str, at: datetime) -> Stamp:
        return Stamp(by=self.users[username], at=at, device="demo")

    def some(self, count: float) -> int:
        """`count` at full size, fewer in a smaller demo, but one at least."""
        return max(1, round(count * self.share))

    def next_number(self, name: str) -> int:
        """A number of its own for each serial, beyond those of the workbook."""
        self.numbers[name] = self.numbers.get(name, 2000) + 1
        return self.numbers[name]
