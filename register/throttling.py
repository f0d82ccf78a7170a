"""How often somebody who has not signed in may do a thing within the hour."""

from __future__ import annotations

from django.core.cache import cache

HOUR = 60 * 60  # seconds


def once_more(key: str, most: int) -> bool:
    """Counts one more under the key; False once the hour had its share."""
    cache.add(key, 0, HOUR)
    try:
        return cache.incr(key) <= most
    except ValueError:  # the hour ended between the two
        cache.set(key, 1, HOUR)
        return most >= 1
