"""Whether sums still rest on what they were made from: the task, the product, the anchor."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

Facts = Mapping[str, object]
Parts = Mapping[str, str]
"""Of a kit: what identifies each part, and its name in words."""

OF_TASK: Final = ("heaviest_kg", "lightest_kg", "task_system", "task_zone", "clear_height_m")
OF_PRODUCT: Final = (
    *("product", "product_min_kg", "product_max_kg", "product_length_m", "product_edge_tested"),
)
OF_LENGTH: Final = ("product", "product_length_m")
OF_ANCHOR: Final = ("anchor", "anchor_site", "anchor_zone", "anchor_place", "anchor_in_use")


@dataclass(frozen=True, slots=True)
class Changed:
    """`code` is the key that differs: what it was when the sums were made, and what it is now."""

    code: str
    was: object
    now: object


def redo_reasons(rests_on: Facts, now: Facts) -> tuple[Changed, ...]:
    """Everything of `rests_on` that is different now, in its order; nothing: the sums still stand.

    What was recorded and is not told any more counts as changed. Plain values only, as JSON keeps them.
    """
    return tuple(
        Changed(code, was, now.get(code))
        for code, was in rests_on.items()
        if code not in now or now[code] != was
    )


@dataclass(frozen=True, slots=True)
class Exchanged:
    """A kit with figures that were measured at other parts; neither `gone` nor `new`: nobody knows at
    which."""

    kit: str
    gone: tuple[str, ...]
    new: tuple[str, ...]


def exchanged(
    measured: Iterable[str], then: Mapping[str, Parts], now: Mapping[str, Parts]
) -> tuple[Exchanged, ...]:
    """Of the kits measured, those at hand whose parts are not the very same; a kit that is not at hand
    is for the day on which it comes back."""
    return tuple(
        _exchanged(kit, then.get(kit, {}), now[kit])
        for kit in measured
        if kit in now and set(then.get(kit, {})) != set(now[kit])
    )


def _exchanged(kit: str, then: Parts, now: Parts) -> Exchanged:
    if not then:
        return Exchanged(kit, (), ())
    gone = tuple(name for part, name in then.items() if part not in now)
    return Exchanged(kit, gone, tuple(name for part, name in now.items() if part not in then))
