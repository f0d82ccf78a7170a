"""The counts of a round's certificate: every item once, so that the parts add up to the list."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

WORST_FIRST = (
    *("out", "not-counting", "passed", "not-presented", "expected", "unknown", "elsewhere"),
)


@dataclass(frozen=True, slots=True)
class Counted:
    """How many stood on the list, what came of those, and of what was seen besides."""

    listed: int
    of_listed: dict[str, int]
    besides: dict[str, int]

    @property
    def reconciles(self) -> bool:
        """Whether the parts of the list add up to the list."""
        return sum(self.of_listed.values()) == self.listed


def counted(lines: Iterable[tuple[str, str, bool]]) -> Counted:
    """From (key of the item, what came of the line, whether on the list), in any order.

    An item with several lines counts once, by the worst.
    """
    came: dict[str, str] = {}
    listed: set[str] = set()
    for key, what, on_list in lines:
        worst = min(what, came.get(key, what), key=WORST_FIRST.index)
        came[key] = worst
        if on_list:
            listed.add(key)
    of_listed = [what for key, what in came.items() if key in listed]
    besides = [what for key, what in came.items() if key not in listed]
    return Counted(len(listed), _count(of_listed), _count(besides))


def _count(found: list[str]) -> dict[str, int]:
    return {what: found.count(what) for what in WORST_FIRST if what in found}
