"""The kinds of acts, with lead times and costs as a proposal until the employer sets them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from register.rules.texts import gettext_noop


@dataclass(frozen=True, slots=True)
class Kind:
    """Hours from the decision until it is done, and a cost. Proposals; they have no source."""

    name: str
    lead_hours: int
    cost: int


KINDS: Mapping[str, Kind] = {
    "examine-kit": Kind(gettext_noop("Examine a kit or its parts"), 2, 60),
    "replace-part": Kind(gettext_noop("Replace a part and reseal the kit"), 24, 90),
    "reseal": Kind(gettext_noop("Check the contents and put on a new seal"), 4, 30),
    "read-label": Kind(gettext_noop("Read a label"), 2, 10),
    "release": Kind(gettext_noop("Inspect and release from quarantine"), 4, 60),
    "move-kit": Kind(gettext_noop("Move a kit from another site"), 4, 50),
    "hire-kit": Kind(gettext_noop("Hire a kit"), 48, 250),
    "refresher": Kind(gettext_noop("Train or refresh somebody"), 72, 300),
    "person-on-shift": Kind(gettext_noop("Put a trained person on the shift"), 12, 150),
    "drill": Kind(gettext_noop("Run a drill"), 24, 120),
    "review-plan": Kind(gettext_noop("Review the plan"), 4, 40),
    "write-plan": Kind(gettext_noop("Write a plan for the work as it is done"), 24, 120),
    "redo-sums": Kind(gettext_noop("Do planning sums again"), 4, 40),
    "move-place": Kind(gettext_noop("Hang a kit in another place of the site"), 2, 20),
    "duplicate-key": Kind(gettext_noop("A key for every shift"), 24, 15),
    "first-call": Kind(gettext_noop("Give first call"), 0, 0),
    "separate": Kind(gettext_noop("Let two tasks take turns"), 12, 200),
    "link-stop-work": Kind(gettext_noop("Let both plans stop other work during a rescue"), 12, 40),
    "examine-anchor": Kind(gettext_noop("Examine a rescue anchor"), 4, 60),
    "install-anchor": Kind(gettext_noop("Install a rescue anchor"), 120, 400),
    "change-task": Kind(gettext_noop("Design the fall out: restraint, rail or platform"), 72, 500),
    "postpone": Kind(gettext_noop("Postpone the task"), 0, 100),
}


@dataclass(frozen=True, slots=True)
class Terms:
    """What holds here: the employer's figures where there are any, else the proposals."""

    own: Mapping[str, tuple[int, int]]
    travel: Mapping[tuple[str, str], float]

    def lead_hours(self, kind: str) -> float:
        return self.own[kind][0] if kind in self.own else KINDS[kind].lead_hours

    def cost(self, kind: str) -> float:
        return self.own[kind][1] if kind in self.own else KINDS[kind].cost

    def travel_hours(self, start: str, end: str) -> float:
        """Both ways; a pair nobody has set takes what a move of a kit takes."""
        if start == end:
            return 0
        known = self.travel.get((start, end), self.travel.get((end, start)))
        return self.lead_hours("move-kit") if known is None else known
