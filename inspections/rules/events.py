"""What can happen to equipment outside its ordinary use, and for what reason it is then out."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class EventKind:
    """One kind of event: what puts an item out, and whether it is about anchors alone."""

    slug: str
    name: str
    reason: str
    anchors_only: bool = False


_KINDS = (
    EventKind("arrest", "A fall was arrested", "arrested-a-fall"),
    EventKind("load", "May have taken a load", "suspected-load"),
    EventKind("drop", "Dropped or thrown", "dropped"),
    EventKind("flood", "Flood or soaking", "flooded"),
    EventKind("chemical", "Chemical, oil, paint or dirt", "contaminated"),
    EventKind("heat", "Heat, flame or sparks", "heat"),
    EventKind("lightning", "Lightning or electric current", "lightning"),
    EventKind("storage", "Long storage", "long-storage"),
    EventKind("found", "Found after it was lost", "found-after-loss"),
    EventKind("load-test", "Load test of an anchor", "load-tested", anchors_only=True),
)
EVENT_KINDS: dict[str, EventKind] = {kind.slug: kind for kind in _KINDS}
EVENT_KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in _KINDS)

# How an item was in it. What is in doubt counts as loaded until it is known.
PARTS: dict[str, str] = {
    "concerned": "Concerned",
    "load-path": "In the load path",
    "in-doubt": "Perhaps in the load path",
    "same-line": "On the same line",
    "rescue-kit": "Used in the rescue",
}
PART_CHOICES: tuple[tuple[str, str], ...] = tuple(PARTS.items())
LOADED: frozenset[str] = frozenset({"load-path", "in-doubt"})
REASON_OF_PART: dict[str, str] = {
    "load-path": "arrested-a-fall",
    "in-doubt": "arrested-a-fall",
    "same-line": "suspected-load",
    "rescue-kit": "used-in-rescue",
}
