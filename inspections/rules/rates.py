"""How many of the pieces examined were rejected, and how far so small a number may be trusted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist

from register.rules.texts import gettext_noop

RANKED_FROM = 20
"""Fewer examined than this are shown and not ranked (common practice, no source)."""

QUICK_SECONDS = 60
"""An inspector who takes less for a harness is worth a look (common practice, no source)."""

AGE_BANDS = (
    (1, gettext_noop("under 1 year")),
    (3, gettext_noop("1 to 2 years")),
    (6, gettext_noop("3 to 5 years")),
    (11, gettext_noop("6 to 10 years")),
)
OLDER, AGE_UNKNOWN = gettext_noop("over 10 years"), gettext_noop("age not known")


@dataclass(frozen=True, slots=True)
class Rate:
    """Rejected among examined; those not presented are counted beside it and are neither.

    key: what is rated, where its name might not be its own.
    """

    name: str
    examined: int
    rejected: int
    not_presented: int = 0
    key: object = None

    @property
    def share(self) -> float:
        return self.rejected / self.examined if self.examined else 0.0

    @property
    def is_ranked(self) -> bool:
        return self.examined >= RANKED_FROM

    @property
    def interval(self) -> tuple[float, float]:
        return wilson(self.rejected, self.examined)


def wilson(hits: int, n: int, confidence: float = 0.95) -> tuple[float, float]:
    """The score interval of E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209; (0, 1) for n = 0."""
    if not n:
        return 0.0, 1.0
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    share, spread = hits / n, z * z / n
    middle = share + spread / 2
    half = z * sqrt(share * (1 - share) / n + spread / (4 * n))
    low, high = (middle - half) / (1 + spread), (middle + half) / (1 + spread)
    return (0.0 if not hits else max(0.0, low)), (1.0 if hits == n else min(1.0, high))


def ranked(rates: Iterable[Rate]) -> tuple[list[Rate], list[Rate]]:
    """Those large enough, the highest share first; and the others by name, without a rank."""
    every = list(rates)
    large = [rate for rate in every if rate.is_ranked]
    small = [rate for rate in every if not rate.is_ranked]
    return (
        sorted(large, key=lambda rate: (-rate.share, -rate.examined, rate.name)),
        sorted(small, key=lambda rate: rate.name),
    )


def age_band(months: int | None) -> str:
    """Of a piece so many whole months after it was made."""
    if months is None:
        return AGE_UNKNOWN
    return next((name for below, name in AGE_BANDS if months < 12 * below), OLDER)


def looks_hurried(rate: Rate, seconds_a_harness: int | None) -> bool:
    """A site where enough were examined, none rejected, and each harness took under a minute."""
    if seconds_a_harness is None or not rate.is_ranked:
        return False
    return not rate.rejected and seconds_a_harness < QUICK_SECONDS
