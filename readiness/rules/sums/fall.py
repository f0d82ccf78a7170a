"""The whole answer for one fall: room, force, swing, and what would help; an indication."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.rules.sums.arrest_absorber import Arrest
from readiness.rules.sums.arrest_limits import ForceCheck, force_check, without_absorber
from readiness.rules.sums.arrest_on_line import absorb_at
from readiness.rules.sums.clearance import Clearance, System, clearance
from readiness.rules.sums.clearance_lanyard import free_fall
from readiness.rules.sums.clearance_levers import Lever, levers
from readiness.rules.sums.fall_figures import FallCase, read_fall
from readiness.rules.sums.figures import FORCE_LIMITS_N
from readiness.rules.sums.swing import Swing
from readiness.rules.sums.swing_path import Body, Strike, Sweep, strikes, sweep
from readiness.rules.sums.values import Refused


@dataclass(frozen=True, slots=True)
class Swung:
    """The swing with what its body passes through and what it meets."""

    swing: Swing
    path: Sweep
    strikes: tuple[Strike, ...]


@dataclass(frozen=True, slots=True)
class FallAnswer:
    """`arrest` is there where the absorber's force is known, `forces` then by jurisdiction; `bare` is
    the same fall on the same lanyard without an absorber: a warning."""

    case: FallCase
    clearance: Clearance
    fall_factor: float | None
    arrest: Arrest | None
    forces: Mapping[str, ForceCheck]
    bare: ForceCheck | None
    swung: Swung | None
    levers: tuple[Lever, ...]

    @property
    def too_hard(self) -> ForceCheck | None:
        """The peak beside the limit of where the work is, where it is past it."""
        return _too_hard(self.forces, self.case)


def fall_answer(figures: object) -> FallAnswer:
    """Refused: whatever the reader or one of the sums refuses, and a lanyard without an absorber."""
    case = read_fall(figures)
    room = _room(case)
    arrest = _arrest(case, room)
    tried = levers(room, _system(case), case.place, case.mass_kg, case.allowances)
    return FallAnswer(
        case=case,
        clearance=room,
        fall_factor=_factor(case, room),
        arrest=arrest,
        forces=_forces(arrest, case.mass_kg),
        bare=_bare(case, room.free_fall_m) if case.code == "lanyard" else None,
        swung=_swung(case, room),
        levers=tried,
    )


def fall_clearance(figures: object) -> Clearance:
    """What the cover of a task asks: room needed and room there is. Refused as `fall_answer`, where the
    body swings into something, and where the force is known to be past the limit of where the work is:
    no figure of room is worth anything then."""
    case = read_fall(figures)
    room = _room(case)
    hard = _too_hard(_forces(_arrest(case, room), case.mass_kg), case)
    if hard is not None:
        raise Refused("force_n", "over-force-limit", None, hard.limit.value, value=hard.peak_n)
    swung = _swung(case, room)
    if swung is not None and swung.strikes:
        raise Refused("obstacles", "swing-strikes", name=swung.strikes[0].name)
    return room


def warning_without_absorber(figures: object) -> ForceCheck:
    """What a textile lanyard without an absorber would do; never a reason to use one."""
    case = read_fall(figures)
    heights = case.place.upright.heights
    if case.length_m is None:
        raise Refused("length_m", "missing")
    fall = free_fall(case.length_m, heights.attachment_m, heights.anchor_m)
    return without_absorber(case.mass_kg, fall, case.length_m, case.where)


def _system(case: FallCase) -> System:
    if case.system is None:
        raise Refused("system", "no-absorber")
    return case.system


def _room(case: FallCase) -> Clearance:
    """By the heaviest; that the system is made for the lightest too is asked beside it."""
    system = _system(case)
    if case.lightest_kg is not None:
        if case.lightest_kg > case.mass_kg:
            raise Refused("lightest_kg", "out-of-range", None, case.mass_kg, value=case.lightest_kg)
        try:
            system.forbids(case.place, case.lightest_kg)
        except Refused as refused:
            if refused.field == "mass_kg":
                raise _of_the_lightest(refused) from refused
            raise
    return clearance(system, case.place, case.mass_kg, case.allowances)


def _of_the_lightest(refused: Refused) -> Refused:
    return Refused("lightest_kg", refused.code, refused.low, refused.high, **refused.facts)


def _factor(case: FallCase, room: Clearance) -> float | None:
    return room.free_fall_m / case.length_m if case.code == "lanyard" and case.length_m else None


def _arrest(case: FallCase, room: Clearance) -> Arrest | None:
    if case.absorber is None:
        return None
    place = case.place
    return absorb_at(
        place.lifeline, place.line_users, case.mass_kg, room.free_fall_m, case.absorber
    )


def _forces(arrest: Arrest | None, mass_kg: float) -> Mapping[str, ForceCheck]:
    if arrest is None or arrest.peak_n is None:
        return {}
    return {where: force_check(arrest.peak_n, mass_kg, where) for where in FORCE_LIMITS_N}


def _too_hard(forces: Mapping[str, ForceCheck], case: FallCase) -> ForceCheck | None:
    check = forces.get(case.where)
    return None if check is None or check.within_limit else check


def _bare(case: FallCase, fall_m: float) -> ForceCheck | None:
    """None where the spring sum does not hold, as for a fall past twice the lanyard."""
    try:
        return without_absorber(case.mass_kg, fall_m, case.length_m or 0, case.where)
    except Refused:
        return None


def _swung(case: FallCase, room: Clearance) -> Swung | None:
    """The ring reaches down to where the sum ends without its margin, from upright or crouched."""
    if case.swing is None:
        return None
    grows = {"extension", "arrest", "harness", "lifeline-sag", "anchor-stretch", "line-stretch"}
    stretch = sum(part.metres for part in room.needed.parts if part.code in grows)
    if case.code != "lanyard":  # whose line is as long for somebody who crouches
        stretch += case.place.crouch_m
    body = Body(below_m=case.place.attachment_m)
    sling = 0.0 if case.code == "lanyard" else case.place.sling_m  # a lanyard's length holds it
    path = sweep(case.swing, case.place.heights.anchor_m - sling, stretch, body)
    return Swung(case.swing, path, strikes(case.swing, path, case.obstacles))
