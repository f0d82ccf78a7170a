"""The peak force on a person and the load on an anchor, held to the figures of where the work is."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.sums.arrest import Line, spring_arrest
from readiness.rules.sums.figures import FORCE_LIMITS_N, RIGID_MASS_FACTOR
from readiness.rules.sums.units import G, newtons
from readiness.rules.sums.values import Basis, Figure, Refused, within


@dataclass(frozen=True, slots=True)
class ForceCheck:
    """A peak (N) beside the limit; `gravities` is what a person of that mass feels above their weight."""

    peak_n: float
    limit: Figure
    gravities: float

    @property
    def within_limit(self) -> bool:
        return self.peak_n <= self.limit.value


def force_check(peak_n: float, mass_kg: float, where: str) -> ForceCheck:
    """`where`: a key of FORCE_LIMITS_N. The limit itself is still within."""
    if where not in FORCE_LIMITS_N:
        raise Refused("where", "not-known")
    return ForceCheck(peak_n, FORCE_LIMITS_N[where], peak_n / (mass_kg * G) - 1)


def without_absorber(mass_kg: float, free_fall_m: float, length_m: float, where: str) -> ForceCheck:
    """The warning: the same fall on a static lanyard of that length. Never a reason to use one.

    Common practice, no published source: 100 kg falling 1 m on 1 m makes 15 to 16 kN.
    """
    peak = spring_arrest(mass_kg, free_fall_m, Line(length_m)).peak_n
    return force_check(peak, mass_kg, where)


def rigid_mass_limit(body_limit: float) -> float:
    """What a rigid test weight may read where a body's limit is given: 1.4 of it, any unit of force."""
    return body_limit * RIGID_MASS_FACTOR.value


_QUEENSLAND = Basis("read", "WHS Regulation 2011 (Qld) s 306I")
_EN_795 = Basis("read-2", "EN 795:2012, read in a test house's summary; one user")
_SEVERAL = Basis(
    "from memory, to be verified", "EN 795:2012, and CEN/TS 16415:2013: 1 kN for each further user"
)
_US = Basis("read", "29 CFR 1926.502(d)(15): 5,000 lbf for each person")
_ALBERTA = Basis("read-2", "Alberta OHS Code s.152; for each person, to be on the safe side")


@dataclass(frozen=True, slots=True)
class AnchorUse:
    """Users on the anchor at once; `textile` for EN 795; `limited_fall` where the system limits free fall."""

    where: str
    users: int = 1
    textile: bool = False
    limited_fall: bool = False


@dataclass(frozen=True, slots=True)
class AnchorCheck:
    """A rating (N), in the direction of the load, beside what it needs to be."""

    rating_n: float
    needed: Figure

    @property
    def enough(self) -> bool:
        return self.rating_n >= self.needed.value


def anchor_check(rating_n: float | None, use: AnchorUse) -> AnchorCheck:
    """Enough: rating >= the figure of where the work is, for that many users."""
    return AnchorCheck(within("rating_n", rating_n, 0, 1_000_000), anchor_needs(use))


def anchor_needs(use: AnchorUse) -> Figure:
    """The rating (N) an anchor needs. Refused where the figure for that many users is not known."""
    users = int(within("users", use.users, 1, 6))
    if use.where == "us":
        return Figure(newtons(5000) * users, _US)
    if use.where == "queensland":
        figures = (12_000.0 if use.limited_fall else 15_000.0, 21_000.0)
        if users > len(figures):
            raise Refused("users", "not-known-for-so-many", 1, len(figures))
        return Figure(figures[users - 1], _QUEENSLAND)
    if use.where == "en":
        one = 18_000.0 if use.textile else 12_000.0
        return Figure(one + 1000.0 * (users - 1), _EN_795 if users == 1 else _SEVERAL)
    if use.where == "alberta":
        return Figure(16_000.0 * users, _ALBERTA)
    raise Refused("where", "not-known")
