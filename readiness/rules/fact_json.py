"""The facts of a reason as JSON and back, exactly: days, moments, infinities, tuples and mappings.

Plain values stand for themselves and a list for a tuple; everything else is marked by a word.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from math import isfinite


def plain(value: object) -> object:
    """What JSON can hold of the value; a TypeError for what no reason has ever held."""
    if value is None or isinstance(value, (bool, int, str)):
        return value
    if isinstance(value, float):
        return value if isfinite(value) else {"float": str(value)}
    if isinstance(value, datetime):
        return {"at": value.isoformat()}
    if isinstance(value, date):
        return {"on": value.isoformat()}
    if isinstance(value, tuple):
        return [plain(one) for one in value]
    if isinstance(value, Mapping):
        return {"facts": {str(key): plain(one) for key, one in value.items()}}
    raise TypeError(f"{type(value).__name__} cannot be kept in a statement")


def unplain(value: object) -> object:
    """The value again."""
    if isinstance(value, list):
        return tuple(unplain(one) for one in value)
    if not isinstance(value, dict):
        return value
    ((mark, held),) = value.items()
    if mark == "facts":
        return {key: unplain(one) for key, one in held.items()}
    if mark == "float":
        return float(held)
    return datetime.fromisoformat(held) if mark == "at" else date.fromisoformat(held)
