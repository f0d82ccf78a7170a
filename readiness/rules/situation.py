"""What is known about one site: the words of the what-if file, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

Interval = tuple[date, date]
"""First and last day, both counted."""

ALWAYS: tuple[Interval, ...] = ((date.min, date.max),)
NEVER: tuple[Interval, ...] = ()

IN_SERVICE = "in service"
"""The one condition in which a kit or an anchor counts; any other word says why it is out."""


@dataclass(frozen=True, slots=True)
class Policy:
    """The employer's limits. Common practice or proposals, none is law."""

    plan_review_months: int = 12
    drill_months: int = 12
    share_within_minutes: float = 2
    alarm_minutes: float = 1
    first_aid_within_minutes: float = 10
    restraint_allowance_m: float = 0.5
    rescuer_kg: float = 100
    swing_look_deg: float = 20
    swing_most_deg: float = 30


@dataclass(frozen=True, slots=True)
class Clock:
    """A date that a kit or one of its parts may pass; usable through `due`, never without it."""

    part: str
    clock: str
    due: date | None


@dataclass(frozen=True, slots=True)
class Kit:
    id: str
    zone: str
    family: str
    functions: frozenset[str]
    max_load_kg: float
    max_height_m: float
    min_load_kg: float = 0
    descent_energy_j: float | None = None
    condition: str = IN_SERVICE
    seal_intact: bool = True
    missing: tuple[str, ...] = ()
    locked: bool = False
    clocks: tuple[Clock, ...] = ()
    name: str = ""
    place: str = ""


@dataclass(frozen=True, slots=True)
class Competence:
    """`kind` is "rescuer" (with the kit family) or "first aid"; valid through `valid_to`."""

    kind: str
    valid_to: date
    family: str = ""
    valid_from: date = date.min


@dataclass(frozen=True, slots=True)
class Person:
    id: str
    name: str
    zone: str
    competences: tuple[Competence, ...] = ()
    on_site: tuple[Interval, ...] = ALWAYS


@dataclass(frozen=True, slots=True)
class Anchor:
    id: str
    zone: str
    due: date | None
    condition: str = IN_SERVICE
    name: str = ""


@dataclass(frozen=True, slots=True)
class Drill:
    """`minutes` run from the kit at the place to the casualty at safety."""

    on: date
    minutes: float


@dataclass(frozen=True, slots=True)
class Plan:
    method: str
    reviewed: date | None
    target_minutes: float
    drill: Drill | None = None
    min_rescuers: int = 1
    matches_task: bool = True
    relies_on_emergency_services: bool = False
    mutual_rescue: bool = False
    accompanied: bool = False
    stop_work: bool = False


@dataclass(frozen=True, slots=True)
class Clearance:
    required_m: float | None = None
    available_m: float | None = None


@dataclass(frozen=True, slots=True)
class Restraint:
    """`reach_m` is the longest the lanyard can be set; None is not known, 0 is a rigid line."""

    reach_m: float | None = None
    deflection_m: float | None = 0
    edge_m: float | None = None


@dataclass(frozen=True, slots=True)
class Pin:
    """What a signed permit holds for its task: just these, in order of issue before all others."""

    kit: str
    people: tuple[str, ...]
    anchor: str
    order: int


@dataclass(frozen=True, slots=True)
class Task:
    """`starts_on` and `ends_on` both count; `exposed` holds the ids of people."""

    id: str
    zone: str
    starts_on: date
    ends_on: date
    system: str
    exposed: tuple[str, ...]
    heaviest_kg: float | None = None
    lightest_kg: float | None = None
    recovery: str | None = None
    remote_attach: bool = False
    lower_m: float | None = None
    raise_m: float | None = None
    stranded: int | None = None
    clearance: Clearance = Clearance()
    restraint: Restraint | None = None
    rescue_anchors: tuple[str, ...] = ()
    first_call: int | None = None
    pinned: Pin | None = None
    plan: Plan | None = None
    name: str = ""

    def active_on(self, day: date) -> bool:
        return self.starts_on <= day <= self.ends_on


@dataclass(frozen=True, slots=True)
class Situation:
    """One site on the day `on`, with all that could serve or need it in the days after."""

    on: date
    kits: tuple[Kit, ...] = ()
    people: tuple[Person, ...] = ()
    anchors: tuple[Anchor, ...] = ()
    tasks: tuple[Task, ...] = ()
    travel_minutes: Mapping[tuple[str, str], float] = field(default_factory=dict, hash=False)
    policy: Policy = Policy()
    horizon_days: int = 30
