"""What can happen to equipment outside its ordinary use, and for what reason it is then out."""

from __future__ import annotations

from dataclasses import dataclass

from register.rules.texts import gettext_noop


@dataclass(frozen=True, slots=True)
class EventKind:
    """One kind of event: what puts an item out, and whether it is about anchors alone."""

    slug: str
    name: str
    reason: str
    anchors_only: bool = False


_KINDS = (
    EventKind("arrest", gettext_noop("A fall was arrested"), "arrested-a-fall"),
    EventKind("load", gettext_noop("May have taken a load"), "suspected-load"),
    EventKind("drop", gettext_noop("Dropped or thrown"), "dropped"),
    EventKind("flood", gettext_noop("Flood or soaking"), "flooded"),
    EventKind("chemical", gettext_noop("Chemical, oil, paint or dirt"), "contaminated"),
    EventKind("heat", gettext_noop("Heat, flame or sparks"), "heat"),
    EventKind("lightning", gettext_noop("Lightning or electric current"), "lightning"),
    EventKind("storage", gettext_noop("Long storage"), "long-storage"),
    EventKind("found", gettext_noop("Found after it was lost"), "found-after-loss"),
    EventKind(
        "load-test", gettext_noop("Load test of an anchor"), "load-tested", anchors_only=True
    ),
)
EVENT_KINDS: dict[str, EventKind] = {kind.slug: kind for kind in _KINDS}
EVENT_KIND_CHOICES: tuple[tuple[str, str], ...] = tuple((one.slug, one.name) for one in _KINDS)

# How an item was in it. What is in doubt counts as loaded until it is known.
PARTS: dict[str, str] = {
    "concerned": gettext_noop("Concerned"),
    "load-path": gettext_noop("In the load path"),
    "in-doubt": gettext_noop("Perhaps in the load path"),
    "same-line": gettext_noop("On the same line"),
    "rescue-kit": gettext_noop("Used in the rescue"),
}
PART_CHOICES: tuple[tuple[str, str], ...] = tuple(PARTS.items())
LOADED: frozenset[str] = frozenset({"load-path", "in-doubt"})
REASON_OF_PART: dict[str, str] = {
    "load-path": "arrested-a-fall",
    "in-doubt": "arrested-a-fall",
    "same-line": "suspected-load",
    "rescue-kit": "used-in-rescue",
}
