"""What is asked of the figures of each topic before they are kept."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Final

from readiness.rules.sums.fall import fall_answer
from readiness.rules.sums.redo import OF_ANCHOR, OF_LENGTH, OF_PRODUCT, OF_TASK
from readiness.rules.sums.rescue_figures import read_rescue
from readiness.rules.sums.restraint_figures import restraint_answer

CHECKS: Final[Mapping[str, Callable[[object], object]]] = {
    "fall": fall_answer,
    "restraint": restraint_answer,
    "rescue": read_rescue,
}
"""By topic: reads the figures and does the sums; Refused where they give no answer."""

RESTS_ON: Final[Mapping[str, tuple[str, ...]]] = {
    "fall": (*OF_TASK, *OF_PRODUCT, *OF_ANCHOR),
    "restraint": (*OF_LENGTH, *OF_ANCHOR),
    "rescue": (),
}
"""By topic: what of the task and the register its sums rest on. A rescue is summed anew each time."""
