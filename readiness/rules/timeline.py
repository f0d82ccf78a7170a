"""What is known of one site over time: who and what is where from when until when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, time
from zoneinfo import ZoneInfo

from readiness.rules.demand import Resource
from readiness.rules.situation import Anchor, Kit, Person, Pin, Policy, Task
from readiness.rules.windows import ALWAYS, Window

Hours = tuple[time, time]
"""When a shift begins and ends; one that ends no later than it begins runs past midnight."""


@dataclass(frozen=True, slots=True)
class KitTime:
    """A kit, when it is at the site, and when somebody there can get at it.

    `out_from`: the moment from which it is out, as `kit.condition` says, and `lacks_from` that from
    which it lacks what is in `kit.missing`; None is from the start.
    """

    kit: Kit
    here: tuple[Window, ...] = ALWAYS
    in_reach: tuple[Window, ...] = ALWAYS
    out_from: datetime | None = None
    lacks_from: datetime | None = None


@dataclass(frozen=True, slots=True)
class AnchorTime:
    """An anchor, and the moment from which it is out as `anchor.condition` says."""

    anchor: Anchor
    here: tuple[Window, ...] = ALWAYS
    out_from: datetime | None = None


@dataclass(frozen=True, slots=True)
class Stay:
    """A person is really there, and starts from this zone; unknown hours are hours away."""

    begins: datetime
    ends: datetime
    zone: str


@dataclass(frozen=True, slots=True)
class PersonTime:
    """A person with every stay, in the order in which they begin."""

    person: Person
    stays: tuple[Stay, ...] = ()


@dataclass(frozen=True, slots=True)
class Work:
    """The task is worked on, and these people may be the ones who hang."""

    begins: datetime
    ends: datetime
    exposed: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TaskTime:
    """A task with all its hours, in the order in which they begin.

    `shifts`: the hours of the day in which it is worked, by the clock on site.
    """

    task: Task
    works: tuple[Work, ...] = ()
    shifts: tuple[Hours, ...] = ()


@dataclass(frozen=True, slots=True)
class PermitTime:
    """A signed permit, while it is in force, holds what it pins for its task."""

    task: str
    begins: datetime
    ends: datetime
    pin: Pin


@dataclass(frozen=True, slots=True)
class Timeline:
    """One site: `zone` is its clock. Two sites share nothing, so each is judged by its own.

    `places` names the site's zones; `undeclared` counts pieces of arrest equipment that people
    hold there now; `staffed` is False where no shift is set up, so that nobody can be on the rota.
    """

    site: str
    zone: ZoneInfo
    kits: tuple[KitTime, ...] = ()
    people: tuple[PersonTime, ...] = ()
    anchors: tuple[AnchorTime, ...] = ()
    tasks: tuple[TaskTime, ...] = ()
    travel_minutes: Mapping[tuple[str, str], float] = field(default_factory=dict, hash=False)
    policy: Policy = field(default_factory=Policy)
    places: Mapping[str, str] = field(default_factory=dict, hash=False)
    undeclared: int = 0
    staffed: bool = True
    permits: tuple[PermitTime, ...] = ()

    def without(self, lost: Resource) -> Timeline:
        """As it would be if one kit, person or anchor were not there."""
        if lost.kind == "kit":
            return replace(self, kits=tuple(one for one in self.kits if one.kit.id != lost.id))
        if lost.kind == "anchor":
            left = tuple(one for one in self.anchors if one.anchor.id != lost.id)
            return replace(self, anchors=left)
        gone = (replace(one, stays=()) if one.person.id == lost.id else one for one in self.people)
        return replace(self, people=tuple(gone))
