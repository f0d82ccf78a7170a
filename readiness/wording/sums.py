"""The planning sums in sentences: answers, what speaks against them, and why there is none."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.arrest_limits import AnchorCheck, ForceCheck
from readiness.rules.sums.clearance import Clearance
from readiness.rules.sums.clearance_levers import Lever
from readiness.rules.sums.units import (
    KILOGRAMS_IN_POUND,
    METRES_IN_FOOT,
    NEWTONS_IN_POUND_FORCE,
    STEP_FT,
    available,
    feet,
    pounds,
    pounds_force,
    required,
)
from readiness.rules.sums.values import Basis, Flag, Refused
from readiness.wording.sums_refusals import REFUSALS
from readiness.wording.sums_words import field_name, field_unit, status_name
from register.wording import shown_number

CAUTION = gettext_noop(
    "Indication only. The maker's instructions and a competent person's judgement govern; "
    "use the larger clearance."
)

_FLAGS: Mapping[str, str] = {
    "mass-over-maximum": gettext_noop(
        "%(mass_kg)s is more than the %(max_kg)s the absorber is made for."
    ),
    "mass-under-minimum": gettext_noop(
        "%(mass_kg)s is less than the %(min_kg)s the absorber is made for: it may stay shut "
        "and stop hard."
    ),
    "bottoms-out": gettext_noop("The absorber is used up: its %(max_stroke_m)s are not enough."),
    "extension-near-end": gettext_noop(
        "The absorber opens %(stroke_m)s of its %(max_stroke_m)s: more than 85 per cent."
    ),
    "formula-asks-for-more": gettext_noop(
        "The product's chart is used. The formula asks for %(more_m)s more."
    ),
}

_LEVERS: Mapping[str, str] = {
    "raise-anchor": gettext_noop("Raise the anchor to %(set)s above the walking surface"),
    "shorter-lanyard": gettext_noop("Take a lanyard of %(set)s"),
    "retractable-overhead": gettext_noop("Take a retractable, anchored at %(set)s or higher"),
    "restraint": gettext_noop("Work in restraint, so that nobody can reach the edge."),
    "platform": gettext_noop("Work from a platform or behind a guard rail."),
}


def refusal_sentence(refused: Refused, *, in_feet: bool = False) -> str:
    """Which field, what range, and what to do. A code without a sentence still names the field."""
    sentence = REFUSALS.get(refused.code, REFUSALS["out-of-range"])
    if sentence == REFUSALS["out-of-range"] and "value" not in refused.facts:
        sentence = gettext_noop("This sum does not hold here: %(what)s%(range)s.")
    unit, divisor = _told_in(refused.field, in_feet=in_feet)
    value = refused.facts.get("value")
    told = shown_number(value / divisor) if isinstance(value, int | float) else ""
    return _(sentence) % {
        "what": field_name(refused.field),
        "range": _range(refused.low, refused.high, unit, divisor),
        "value": f"{told} {unit}".strip(),
        "name": str(refused.facts.get("name") or _("something")),
    }


_US: Mapping[str, tuple[str, float]] = {
    "m": ("ft", METRES_IN_FOOT),
    "kg": ("lb", KILOGRAMS_IN_POUND),
    "kN": ("lbf", NEWTONS_IN_POUND_FORCE),
}


def _told_in(field: str, *, in_feet: bool) -> tuple[str, float]:
    """The unit shown, and what a figure in SI is divided by for it."""
    unit, divisor = field_unit(field)
    return _US[unit] if in_feet and unit in _US else (unit, divisor)


def _range(low: float | None, high: float | None, unit: str, divisor: float) -> str:
    """The least is told rounded up, the most rounded down: what is told is always within."""
    facts = {"unit": f" {unit}" if unit else ""}
    if low is not None:
        facts["low"] = shown_number(required(low / divisor))
    if high is not None:
        facts["high"] = shown_number(available(high / divisor))
    if low is None and high is None:
        return ""
    if high is None:
        return _(", %(low)s%(unit)s or more") % facts
    if low is None:
        return _(", %(high)s%(unit)s at most") % facts
    return _(", from %(low)s to %(high)s%(unit)s") % facts


def flag_sentence(flag: Flag, *, in_feet: bool = False) -> str:
    facts = {key: _flag_fact(key, value, in_feet=in_feet) for key, value in flag.facts.items()}
    return _(_FLAGS[flag.code]) % facts


def _flag_fact(key: str, value: object, *, in_feet: bool) -> object:
    if not isinstance(value, int | float):
        return value
    if key.endswith("_kg"):
        return f"{shown_number(pounds(value))} lb" if in_feet else f"{shown_number(value)} kg"
    return needed_length(value, in_feet=in_feet) if in_feet else f"{shown_number(value)} m"


def clearance_sentence(found: Clearance, *, in_feet: bool = False) -> str:
    """Never 'safe': enough by so much on these figures, or short and on what."""
    facts = {
        "name": found.first_struck.name or _("what lies below"),
        "length": gap_length(found.required_m, found.available_m, in_feet=in_feet),
    }
    if found.enough:
        return _("Enough by %(length)s above %(name)s, on these figures.") % facts
    return _("Not enough: strikes %(name)s, short by %(length)s.") % facts


def room_alone_sentence(found: Clearance, *, in_feet: bool = False) -> str:
    """Beside something that speaks against it: room there would be, and it does not count."""
    facts = {
        "name": found.first_struck.name or _("what lies below"),
        "length": gap_length(found.required_m, found.available_m, in_feet=in_feet),
    }
    return _("The room alone would do, by %(length)s above %(name)s.") % facts


def lever_sentence(lever: Lever, *, in_feet: bool = False) -> str:
    """What to do, and what it would leave."""
    if lever.set_m is None or lever.spare_m is None:
        return _(_LEVERS[lever.code])
    act = _(_LEVERS[lever.code]) % {"set": _set_length(lever, in_feet=in_feet)}
    spare, gain = lever.spare_m, lever.gain_m or 0
    facts = {"act": act, "gain": available_length(gain, in_feet=in_feet)}
    if spare >= 0:
        facts["length"] = available_length(spare, in_feet=in_feet)
        return _("%(act)s: %(gain)s more, then enough by %(length)s.") % facts
    facts["length"] = needed_length(-spare, in_feet=in_feet)
    return _("%(act)s: %(gain)s more, then still short by %(length)s.") % facts


def _set_length(lever: Lever, *, in_feet: bool) -> str:
    """A height is told rounded up, a lanyard rounded down."""
    told = available_length if lever.code == "shorter-lanyard" else needed_length
    return told(lever.set_m or 0, in_feet=in_feet)


def basis_words(basis: Basis) -> str:
    """'EN 355:2002 (read second hand)', or the status alone where it says it all."""
    status = status_name(basis.status)
    return f"{basis.source} ({status})" if basis.source else status


def force_sentence(check: ForceCheck, *, in_feet: bool = False) -> str:
    facts = {
        "peak": _force(required, check.peak_n, in_feet=in_feet),
        "limit": _force(available, check.limit.value, in_feet=in_feet),
    }
    if check.within_limit:
        return _("%(peak)s on the person; the limit is %(limit)s.") % facts
    return _("%(peak)s on the person: more than the limit of %(limit)s.") % facts


def force_words(newtons: float, *, in_feet: bool = False) -> str:
    """A force that acts or is needed, rounded up."""
    return _force(required, newtons, in_feet=in_feet)


def force_there(newtons: float, *, in_feet: bool = False) -> str:
    """A rating or a limit, rounded down."""
    return _force(available, newtons, in_feet=in_feet)


def energy_words(joules: float, *, in_feet: bool = False) -> str:
    """What has to be borne, rounded up: '5.05 kJ', '3720 ft·lbf'."""
    if in_feet:
        return f"{shown_number(required(feet(pounds_force(joules)), 1))} ft·lbf"
    return f"{shown_number(required(joules / 1000))} kJ"


def _force(rounded: Callable[[float, float], float], newtons: float, *, in_feet: bool) -> str:
    """'6.01 kN', '1800 lbf'."""
    if in_feet:
        return f"{shown_number(rounded(pounds_force(newtons), 1))} lbf"
    return f"{shown_number(rounded(newtons / 1000, 0.01))} kN"


def without_absorber_sentence(check: ForceCheck, *, in_feet: bool = False) -> str:
    """The warning beside a fall: an upper bound, and never a reason to go without."""
    peak = (
        f"{shown_number(required(pounds_force(check.peak_n), 10))} lbf"
        if in_feet
        else f"{shown_number(required(check.peak_n / 1000, 0.1))} kN"
    )
    return _("Without an absorber the same fall would pull about %(peak)s.") % {"peak": peak}


def anchor_sentence(check: AnchorCheck) -> str:
    facts = {
        "rating": shown_number(available(check.rating_n / 1000)),
        "needed": shown_number(required(check.needed.value / 1000)),
    }
    if check.enough:
        return _("The anchor is rated %(rating)s kN; it needs %(needed)s kN.") % facts
    return _("The anchor is rated %(rating)s kN: not enough, it needs %(needed)s kN.") % facts


def needed_length(metres: float, *, in_feet: bool = False) -> str:
    """A length that is needed, rounded up: '6.75 m', '22.2 ft'."""
    return (
        f"{shown_number(required(feet(metres), STEP_FT))} ft"
        if in_feet
        else f"{shown_number(required(metres))} m"
    )


def available_length(metres: float, *, in_feet: bool = False) -> str:
    """A length that there is, rounded down: '4.2 m', '13.7 ft'."""
    if in_feet:
        return f"{shown_number(available(feet(metres), STEP_FT))} ft"
    return f"{shown_number(available(metres))} m"


def gap_length(required_m: float, available_m: float, *, in_feet: bool = False) -> str:
    """What is spare or missing: the difference of the two as they are told."""
    if not in_feet:
        return f"{shown_number(abs(available_m - required_m))} m"
    there, needed = available(feet(available_m), STEP_FT), required(feet(required_m), STEP_FT)
    by = there - needed if available_m >= required_m else needed - there
    return f"{shown_number(round(max(0.0, by), 1))} ft"
