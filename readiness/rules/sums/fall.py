"""The whole answer for one fall: room, force, swing, and what would help; an indication."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from readiness.rules.situation import Policy
from readiness.rules.sums.arrest_absorber import Arrest, force_to_stop, twice_impact_energy
from readiness.rules.sums.arrest_limits import ForceCheck, force_check, without_absorber
from readiness.rules.sums.arrest_on_line import absorb_at
from readiness.rules.sums.clearance import Clearance, System, clearance
from readiness.rules.sums.clearance_lanyard import free_fall
from readiness.rules.sums.clearance_levers import Lever, levers
from readiness.rules.sums.fall_anchor import AnchorAnswer, anchor_answer
from readiness.rules.sums.fall_figures import FallCase, read_fall
from readiness.rules.sums.fall_swing import Swung, Zone, swung_of, zone_of
from readiness.rules.sums.figures import FORCE_LIMITS_N
from readiness.rules.sums.swing import swing_policy
from readiness.rules.sums.units import G
from readiness.rules.sums.values import Refused


@dataclass(frozen=True, slots=True)
class FallAnswer:
    """`arrest` is there where the absorber's force is known, `forces` then by jurisdiction; `bare` is
    the same fall on the same lanyard without an absorber: a warning.

    `light`: the lightest person under the peak, or (force not known) under the most the place lets
    through. `least_n`: with no force known, what it must average to stop within the extension.
    `twice_j`: the energy that 29 CFR 1926.502(d)(16)(v) asks a system to hold, where its rules hold.
    """

    case: FallCase
    clearance: Clearance
    fall_factor: float | None
    arrest: Arrest | None
    forces: Mapping[str, ForceCheck]
    bare: ForceCheck | None
    swung: Swung | None
    zone: Zone
    anchor: AnchorAnswer
    levers: tuple[Lever, ...]
    light: ForceCheck | None = None
    least_n: float | None = None
    twice_j: float | None = None

    @property
    def too_hard(self) -> ForceCheck | None:
        """The peak beside the limit of where the work is, where it is past it."""
        return _too_hard(self.forces, self.case)

    @property
    def against(self) -> tuple[str, ...]:
        """What keeps room that would be enough from being counted, the worst first."""
        swung, zone = self.swung, self.zone
        found = (
            ("too-hard", self.too_hard is not None),
            ("strikes", swung is not None and bool(swung.strikes)),
            ("anchor", self.anchor.too_weak),
            ("swing", swung is not None and swung.swing.word == "too-far"),
            ("gaps", bool(zone.gaps)),
        )
        return tuple(code for code, holds in found if holds)


def fall_answer(figures: object, policy: Policy | None = None) -> FallAnswer:
    """Refused: whatever the reader or one of the sums refuses, and a lanyard without an absorber."""
    case = read_fall(figures, swing_policy(policy))
    room = _room(case)
    arrest = _arrest(case, room)
    return FallAnswer(
        case=case,
        clearance=room,
        fall_factor=_factor(case, room),
        arrest=arrest,
        forces=_forces(arrest, case.mass_kg),
        bare=_bare(case, room.free_fall_m) if case.code == "lanyard" else None,
        swung=swung_of(case, room),
        zone=zone_of(case, room),
        anchor=anchor_answer(case.held, case.place, case.where),
        levers=levers(room, _system(case), case.place, case.mass_kg, case.allowances),
        light=_light(case, arrest),
        least_n=_least(case, room) if arrest is None else None,
        twice_j=_twice(case, room),
    )


def fall_clearance(figures: object, policy: Policy | None = None) -> Clearance:
    """What the cover of a task asks: room needed and room there is. Refused as `fall_answer`, where the
    body swings into something or farther than the employer allows, where the force is known to be past
    the limit of where the work is, and where the anchor is rated for less than it needs: no figure of
    room is worth anything then."""
    answer = fall_answer(figures, policy)
    if answer.against:
        raise _refusal(answer, answer.against[0])
    return answer.clearance


def _refusal(answer: FallAnswer, code: str) -> Refused:
    hard, swung, zone = answer.too_hard, answer.swung, answer.zone
    if code == "too-hard" and hard is not None:
        return Refused("force_n", "over-force-limit", None, hard.limit.value, value=hard.peak_n)
    if code == "strikes" and swung is not None:
        return Refused("obstacles", "swing-strikes", name=swung.strikes[0].name)
    if code == "anchor":
        needed = answer.anchor.needed.value
        return Refused("anchor_rating_n", "anchor-too-weak", needed, value=answer.anchor.rating_n)
    if code == "swing" and swung is not None:
        angle = swung.swing.angle_deg
        return Refused("swing_deg", "swings-too-far", None, zone.most_deg, value=angle)
    return Refused("row", "work-outside-zone")


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


def _light(case: FallCase, arrest: Arrest | None) -> ForceCheck | None:
    """None where the lightest person is not known, or where nothing of an absorber is."""
    if case.lightest_kg is None or case.system is None:
        return None
    known = arrest.peak_n if arrest else None
    peak = FORCE_LIMITS_N[case.where].value if known is None else known
    return force_check(peak, case.lightest_kg, case.where)


def _least(case: FallCase, room: Clearance) -> float | None:
    """The least that an absorber averages over all it can open; None of anything but a lanyard."""
    opens = [part.metres for part in room.needed.parts if part.code == "extension"]
    if not opens or not room.free_fall_m:
        return None
    return force_to_stop(case.mass_kg * G, room.free_fall_m, opens[0])


def _twice(case: FallCase, room: Clearance) -> float | None:
    if case.where != "us" or case.code != "lanyard":
        return None
    return twice_impact_energy(case.mass_kg * G, room.free_fall_m)
