"""An energy absorber that hangs from a horizontal lifeline: the body falls on while the line gives.

On the safe side: what the line takes of the energy is counted only as far as it leaves the absorber no
less to do than a rigid anchor would, for a line may be stiffer than the figure that was given of it.
"""

from __future__ import annotations

from dataclasses import replace

from readiness.rules.sums.arrest_absorber import Absorber, Arrest, absorb, flags_of
from readiness.rules.sums.lifeline import Lifeline, drop, loaded, slack_sag
from readiness.rules.sums.units import G


def absorb_at(
    line: Lifeline | None, users: float, mass_kg: float, fall_m: float, absorber: Absorber
) -> Arrest:
    """As `absorb`, at a rigid anchor (no line) or in the middle of a lifeline.

    `fall_m` is the free fall until the line begins to hold, its slack included; `users` fall at once,
    each on an absorber of their own. The distance is that of the absorber: the sag is not in it.
    """
    rigid = absorb(mass_kg, fall_m, absorber)
    if line is None or rigid.bottomed or absorber.force_n <= mass_kg * G:
        return rigid
    straight = max(0.0, fall_m - slack_sag(line))
    stroke = drop(line, mass_kg, straight, absorber.force_n, users).stroke_m
    if stroke <= rigid.stroke_m:
        return rigid
    there_is = absorber.stroke_m
    if there_is is not None and stroke > there_is:
        found = Arrest(there_is, None, None, bottomed=True)
    else:
        found = Arrest(stroke, stroke, absorber.force_n, bottomed=False)
    return replace(found, flags=flags_of(mass_kg, found, absorber))


def line_falls(line: Lifeline, users: float, fall_m: float, force_n: float) -> float:
    """How far (m) a body comes down until the line carries `force_n` for each: the free fall, and the
    sag beyond the slack that is in it already."""
    return fall_m - slack_sag(line) + loaded(line, force_n, users).sag_m
