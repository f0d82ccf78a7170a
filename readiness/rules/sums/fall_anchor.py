"""What the anchor of a fall must hold, and what the ends of a lifeline get, beside what it is rated."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from readiness.rules.needs import exceeds
from readiness.rules.sums.arrest_limits import AnchorUse, anchor_needs
from readiness.rules.sums.clearance import Place
from readiness.rules.sums.figures import FORCE_LIMITS_N
from readiness.rules.sums.given import Given
from readiness.rules.sums.lifeline import loaded
from readiness.rules.sums.values import Basis, Figure, Refused, within

FACTOR_OF_LINES: Final = Figure(
    2.0,
    Basis("read", "29 CFR 1926.502(d)(8): a safety factor of at least two, by a qualified person"),
)


@dataclass(frozen=True, slots=True)
class Held:
    """What is told of the anchor: its rating (N), None where nobody read one; how many are on it at
    once; whether it is textile."""

    rating_n: float | None = None
    users: float = 1
    textile: bool = False


@dataclass(frozen=True, slots=True)
class AnchorAnswer:
    """`needed`: the rating (N) asked for. `pull_n`: what each end of a lifeline gets, None without one."""

    needed: Figure
    rating_n: float | None
    users: int
    pull_n: float | None = None

    @property
    def too_weak(self) -> bool:
        return self.rating_n is not None and exceeds(self.needed.value, self.rating_n)


def read_held(given: Given) -> Held:
    rating, users = given.number("anchor_rating_n"), given.number_or("anchor_users", 1)
    if rating is not None:
        within("anchor_rating_n", rating, 1000, 500_000)
    if within("anchor_users", users, 1, 6) != int(users):
        raise Refused("anchor_users", "not-whole", 1, 6)
    return Held(rating, users, given.flag("anchor_textile"))


def anchor_answer(held: Held, place: Place, where: str) -> AnchorAnswer:
    """A lifeline's ends by its tension under the largest force that the place lets through; any other
    anchor by the figure of the place. Free fall is never taken as limited: the larger figure counts."""
    if place.lifeline is None:
        needed = anchor_needs(AnchorUse(where, int(held.users), textile=held.textile))
        return AnchorAnswer(needed, held.rating_n, int(held.users))
    pull = loaded(place.lifeline, FORCE_LIMITS_N[where].value, place.line_users).tension_n
    needed = Figure(pull * FACTOR_OF_LINES.value, FACTOR_OF_LINES.basis)
    return AnchorAnswer(needed, held.rating_n, int(place.line_users), pull)
