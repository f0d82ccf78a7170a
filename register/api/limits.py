"""How often a token may ask, and how often an address may try tokens that are none.

Counted in the cache by the minute, so that no reading writes to the database. With Django's own cache
in memory each process counts for itself: four processes let four times as much through.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.core.cache import cache
from django.utils.translation import gettext as _

from register.api.problems import Problem

WINDOW = 60  # seconds
MOST_REQUESTS = 600  # of one token in a window; measured answers take 3 to 40 ms
MOST_FAILURES = 30  # of one address in a window


@dataclass(frozen=True, slots=True)
class Count:
    """How much of a window is used, and the seconds until the next begins."""

    most: int
    used: int
    resets_in: int

    @property
    def left(self) -> int:
        return max(0, self.most - self.used)

    @property
    def headers(self) -> dict[str, str]:
        """After draft-ietf-httpapi-ratelimit-headers, in the form it has had since its draft 08
        (from memory, to be verified)."""
        return {
            "RateLimit-Policy": f'"requests";q={self.most};w={WINDOW}',
            "RateLimit": f'"requests";r={self.left};t={self.resets_in}',
        }


def count_one(key: str, most: int, at: datetime, cost: int = 1) -> Count:
    """One more within the window of this moment; ``cost`` for what takes longer than most."""
    seconds = int(at.timestamp())
    name = f"api:{key}:{seconds // WINDOW}"
    cache.add(name, 0, 2 * WINDOW)
    try:
        used = cache.incr(name, cost)
    except ValueError:  # dropped between the two
        used = cost
    return Count(most, used, WINDOW - seconds % WINDOW)


def refuse_above(count: Count) -> None:
    """A problem with when to ask again, once the window has had its share."""
    if count.used <= count.most:
        return
    detail = _("This is more than %(n)d a minute: ask again in %(seconds)d s.") % {
        "n": count.most,
        "seconds": count.resets_in,
    }
    headers = {"Retry-After": str(count.resets_in), **count.headers}
    raise Problem("too-many-requests", detail, headers=headers)
