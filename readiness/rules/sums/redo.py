"""Whether sums still rest on what they were made from: the task, the product, the anchor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

Facts = Mapping[str, object]

OF_TASK: Final = ("heaviest_kg", "lightest_kg", "task_system", "task_zone")
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
