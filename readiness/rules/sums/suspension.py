"""Why a rescue is planned in minutes: what published studies measured of people who hung still.

Planning figures with their sources, never safe times: nobody hanging is safe for any of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from readiness.rules.sums.values import Refused, Status

Says = Literal["tolerated-by-95", "affected-at-most-5", "affected-a-fifth", "affected-most"]


@dataclass(frozen=True, slots=True)
class Study:
    """`minutes` after which what `says` names held. `code` is for the look-up and the sentence."""

    code: str
    minutes: int
    says: Says
    source: str
    status: Status


STUDIES: Final = (
    Study(
        "chest-2008",
        7,
        "tolerated-by-95",
        "Turner et al. 2008, Journal of Occupational and Environmental Hygiene, abstract",
        "read",
    ),
    Study(
        "back-2008",
        11,
        "tolerated-by-95",
        "Turner et al. 2008, Journal of Occupational and Environmental Hygiene, abstract",
        "read",
    ),
    Study(
        "back-2012",
        9,
        "affected-at-most-5",
        "Hsiao et al. 2012, Human Factors 54(3):346",
        "read",
    ),
    Study(
        "regulator-fifth",
        10,
        "affected-a-fifth",
        "HSE, first aid and harness suspension, after RR708 (2009)",
        "read",
    ),
    Study(
        "regulator-most",
        60,
        "affected-most",
        "HSE, first aid and harness suspension, after RR708 (2009)",
        "read",
    ),
)


def study(code: str) -> Study:
    """One study by its code; refuses what is not in the table."""
    for each in STUDIES:
        if each.code == code:
            return each
    raise Refused("study", "not-known")


def shorter_than(minutes: float) -> tuple[Study, ...]:
    """The studies whose minutes a rescue would run past, the shortest first."""
    return tuple(sorted((s for s in STUDIES if s.minutes < minutes), key=lambda s: s.minutes))
