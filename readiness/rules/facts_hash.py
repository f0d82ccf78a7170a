"""A hash of all that is known of a site: equal facts, equal hash, on every machine."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from functools import cache
from hashlib import sha256
from typing import Any

from readiness.rules.timeline import Timeline

_AS_THEY_ARE = frozenset({int, float, str, bool})


def facts_hash(timeline: Timeline) -> str:
    """SHA-256 over the facts in a fixed order, as 64 hexadecimal digits."""
    text = json.dumps(_plain(timeline), separators=(",", ":"), ensure_ascii=True)
    return sha256(text.encode()).hexdigest()


@cache
def _names(kind: Any) -> tuple[str, ...] | None:
    """What a value of ours is made of, in order; None for any other."""
    return tuple(one.name for one in fields(kind)) if is_dataclass(kind) else None


def _plain(value: object) -> object:
    kind: Any = type(value)
    if value is None or kind in _AS_THEY_ARE:
        return value
    names = _names(kind)
    if names is not None:
        return [_plain(getattr(value, name)) for name in names]
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    if isinstance(value, (set, frozenset)):
        return sorted(map(str, value))
    if isinstance(value, Mapping):
        return sorted([str(key), _plain(one)] for key, one in value.items())
    return value if isinstance(value, (int, float, str)) else str(value)
