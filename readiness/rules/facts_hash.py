"""A hash of all that is known of a site: equal facts, equal hash, on every machine."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from hashlib import sha256

from readiness.rules.timeline import Timeline


def facts_hash(timeline: Timeline) -> str:
    """SHA-256 over the facts in a fixed order, as 64 hexadecimal digits."""
    text = json.dumps(_plain(timeline), separators=(",", ":"), ensure_ascii=True)
    return sha256(text.encode()).hexdigest()


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return [_plain(getattr(value, one.name)) for one in fields(value)]
    if isinstance(value, (list, tuple)):
        return [_plain(one) for one in value]
    if isinstance(value, (set, frozenset)):
        return sorted(map(str, value))
    if isinstance(value, Mapping):
        return sorted([str(key), _plain(one)] for key, one in value.items())
    return value if isinstance(value, (int, float, str, type(None))) else str(value)
