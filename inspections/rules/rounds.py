"""One inspector's round of a morning: what was done, what is out, what was not presented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from statistics import median
from typing import Any

OUT = frozenset({"fail", "refer", "not-identified"})
NOT_SEEN = frozenset({"not-presented", "not-accessible"})
QUICK = 20  # seconds; nobody runs webbing through the hands faster (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One verdict given: on which tag, at what time of the site's day, and what came of it.

    seconds: from the first sight of the facts to the verdict.
    """

    code: str
    time: str
    verdict: str
    inspection: str
    line: str
    usable: bool
    seconds: int


@dataclass(frozen=True, slots=True)
class Look:
    """The facts of an item were shown: the id its finding will have, so that a second tap on the
    same button records nothing twice."""

    finding: str
    at: str


@dataclass(frozen=True, slots=True)
class Counts:
    """An item looked at twice counts once, by its last verdict. ``done`` includes ``out``."""

    done: int
    out: int
    not_presented: int


@dataclass(frozen=True, slots=True)
class Pace:
    """The median time for an item that passed, in seconds, and how many took under QUICK."""

    median: int
    quick: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A site, a kind of inspection and a day, kept until one of them changes.

    ``looks`` are the items whose facts were shown: no verdict is taken on any other.
    ``unsigned`` are items stopped at the first tap, whose defect is still to be written down.
    """

    site: str
    kind: str
    covers_periodic: bool
    day: str
    entries: tuple[Entry, ...] = ()
    looks: Mapping[str, Look]
    unsigned: Mapping[str, str]

    @property
    def counts(self) -> Counts:
        last = {entry.code: entry.verdict for entry in self.entries}
        seen = [verdict for verdict in last.values() if verdict not in NOT_SEEN]
        return Counts(len(seen), sum(one in OUT for one in seen), len(last) - len(seen))

    @property
    def pace(self) -> Pace | None:
        """How long the passes took; None before the first."""
        took = [entry.seconds for entry in self.entries if entry.verdict not in OUT | NOT_SEEN]
        if not took:
            return None
        return Pace(round(median(took)), sum(seconds < QUICK for seconds in took))

    def earlier(self, code: str) -> Entry | None:
        """The last verdict on this tag in the round."""
        return next((entry for entry in reversed(self.entries) if entry.code == code), None)


def begun(*, site: str, kind: str, covers_periodic: bool, day: str) -> Round:
    """A round in which nothing was looked at yet."""
    return Round(
        site=site, kind=kind, covers_periodic=covers_periodic, day=day, looks={}, unsigned={}
    )


def looked_at(found: Round, code: str, look: Look) -> Round:
    """The facts of the item are shown; a look that led to no verdict yet keeps its id."""
    known = found.looks.get(code)
    used = {entry.inspection for entry in found.entries}
    if known and known.finding not in used:
        return found
    return replace(found, looks={**found.looks, code: look})


def stopped(found: Round, code: str, verdict: str) -> Round:
    """The first tap of a bad verdict: the item is out, the defect still unwritten."""
    return replace(found, unsigned={**found.unsigned, code: verdict})


def signed(found: Round, entry: Entry) -> Round:
    """A verdict was recorded; the same inspection a second time changes nothing."""
    left = {code: verdict for code, verdict in found.unsigned.items() if code != entry.code}
    if any(known.inspection == entry.inspection for known in found.entries):
        return replace(found, unsigned=left)
    return replace(found, unsigned=left, entries=(*found.entries, entry))


def written(found: Round) -> dict[str, Any]:
    """The round as plain values, for a session."""
    return {
        "site": found.site,
        "kind": found.kind,
        "covers_periodic": found.covers_periodic,
        "day": found.day,
        "entries": [asdict(entry) for entry in found.entries],
        "looks": {code: asdict(look) for code, look in found.looks.items()},
        "unsigned": dict(found.unsigned),
    }


def read(values: Mapping[str, Any]) -> Round:
    """The round that ``written`` wrote."""
    return Round(
        site=values["site"],
        kind=values["kind"],
        covers_periodic=values["covers_periodic"],
        day=values["day"],
        entries=tuple(Entry(**entry) for entry in values["entries"]),
        looks={code: Look(**look) for code, look in values["looks"].items()},
        unsigned=dict(values["unsigned"]),
    )
