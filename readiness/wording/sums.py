"""The planning sums in sentences: answers, what speaks against them, and why there is none."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.arrest_limits import AnchorCheck, ForceCheck
from readiness.rules.sums.clearance import Clearance
from readiness.rules.sums.clearance_levers import Lever
from readiness.rules.sums.units import STEP_FT, available, feet, required
from readiness.rules.sums.values import Basis, Flag, Refused
from readiness.wording.sums_fields import RESCUE_REFUSALS
from readiness.wording.sums_words import field_name, field_unit, status_name
from register.wording import shown_number

CAUTION = gettext_noop(
    "Indication only. The maker's instructions and a competent person's judgement govern; "
    "use the larger clearance."
)

_REFUSALS: Mapping[str, str] = {
    "missing": gettext_noop("Not known: %(what)s. Give it%(range)s."),
    "not-a-number": gettext_noop("Not a figure: %(what)s. Give it%(range)s."),
    "out-of-range": gettext_noop(
        "%(value)s is outside what this sum holds for: %(what)s%(range)s."
    ),
    "not-known": gettext_noop("Nothing is kept here of this: %(what)s. Choose another."),
    "out-of-reach": gettext_noop(
        "The lanyard does not reach the anchor from here. Look at the heights and the length: "
        "%(what)s%(range)s."
    ),
    "below-the-attachment": gettext_noop(
        "This retractable may not hang that low. Put it higher, or take one made for it: "
        "%(what)s%(range)s."
    ),
    "not-edge-rated": gettext_noop(
        "This product is not marked for a fall over an edge. Move the anchor, or take one that is."
    ),
    "maker-figure-needed": gettext_noop(
        "Only the maker can give the arrest distance for this use. Take it from the instructions."
    ),
    "outside-product": gettext_noop(
        "The product is not made for %(value)s: %(what)s%(range)s. Take another product."
    ),
    "over-free-fall-limit": gettext_noop(
        "The free fall would be %(value)s; the product stops%(range)s. Raise the anchor, or take a "
        "shorter lanyard."
    ),
    "bottoms-out": gettext_noop(
        "The absorber would be used up before it stops the fall: %(what)s%(range)s. Nothing can be "
        "promised then. Shorten the fall, or take another absorber."
    ),
    "cannot-stop": gettext_noop(
        "A force no greater than the weight stops nobody: %(what)s%(range)s."
    ),
    "wire-rope": gettext_noop(
        "This sum is for textile lines. Wire rope hardly stretches: something else would give way "
        "first. Never fall on it without an absorber."
    ),
    "no-absorber": gettext_noop(
        "A lanyard without an absorber stops nobody softly enough: there is only a warning of it, and "
        "no sum. Take one with an absorber, or a retractable."
    ),
    "swing-strikes": gettext_noop(
        "The swing strikes %(name)s. Move the anchor or the work, so that nothing stands in its way."
    ),
    "under-twice-the-weight": gettext_noop(
        "Even a fall of nothing on a line pulls twice the weight: %(what)s%(range)s."
    ),
    "too-steep": gettext_noop(
        "The line is so soft that it would hang steeper than 45 degrees. This sum does not hold; "
        "ask whoever designed the lifeline."
    ),
    "not-known-for-so-many": gettext_noop(
        "No figure is kept for so many people: %(what)s%(range)s. Ask whoever designed the anchor."
    ),
    "outside-chart": gettext_noop(
        "The product's chart has no figure for this: %(what)s%(range)s. Ask the maker."
    ),
    "no-edge": gettext_noop(
        "Nothing to fall from is drawn. Draw at least one edge that is not guarded, or a fragile area."
    ),
    "too-few-corners": gettext_noop("Too few corners: %(what)s. Give it all its corners."),
    "not-convex": gettext_noop(
        "This shape has a dent: %(what)s. Draw it as several shapes without one."
    ),
    "not-a-class": gettext_noop(
        "There is no such class: %(what)s. Read it from the device's label."
    ),
    "chart-has-no-figure": gettext_noop(
        "The product's chart has no figure here. Look into the instructions, or ask the maker."
    ),
    **RESCUE_REFUSALS,
}

_FLAGS: Mapping[str, str] = {
    "mass-over-maximum": gettext_noop(
        "%(mass_kg)s kg is more than the %(max_kg)s kg the absorber is made for."
    ),
    "mass-under-minimum": gettext_noop(
        "%(mass_kg)s kg is less than the %(min_kg)s kg the absorber is made for: it may stay shut "
        "and stop hard."
    ),
    "bottoms-out": gettext_noop("The absorber is used up: its %(max_stroke_m)s m are not enough."),
    "extension-near-end": gettext_noop(
        "The absorber opens %(stroke_m)s m of its %(max_stroke_m)s m: more than 85 per cent."
    ),
    "formula-asks-for-more": gettext_noop(
        "The product's chart is used. The formula asks for %(more_m)s m more."
    ),
}

_LEVERS: Mapping[str, str] = {
    "raise-anchor": gettext_noop("Raise the anchor to %(set)s m above the walking surface"),
    "shorter-lanyard": gettext_noop("Take a lanyard of %(set)s m"),
    "retractable-overhead": gettext_noop("Take a retractable, anchored at %(set)s m or higher"),
    "restraint": gettext_noop("Work in restraint, so that nobody can reach the edge."),
    "platform": gettext_noop("Work from a platform or behind a guard rail."),
}


def refusal_sentence(refused: Refused) -> str:
    """Which field, what range, and what to do. A code without a sentence still names the field."""
    sentence = _REFUSALS.get(refused.code, _REFUSALS["out-of-range"])
    if sentence == _REFUSALS["out-of-range"] and "value" not in refused.facts:
        sentence = gettext_noop("This sum does not hold here: %(what)s%(range)s.")
    unit, divisor = field_unit(refused.field)
    value = refused.facts.get("value")
    told = shown_number(value / divisor) if isinstance(value, int | float) else ""
    return _(sentence) % {
        "what": field_name(refused.field),
        "range": _range(refused.low, refused.high, unit, divisor),
        "value": f"{told} {unit}".strip(),
        "name": str(refused.facts.get("name") or _("something")),
    }


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


def flag_sentence(flag: Flag) -> str:
    facts = {
        key: shown_number(value) if isinstance(value, int | float) else value
        for key, value in flag.facts.items()
    }
    return _(_FLAGS[flag.code]) % facts


def clearance_sentence(found: Clearance) -> str:
    """Never 'safe': enough by so much on these figures, or short and on what."""
    facts = {"name": found.first_struck.name, "metres": shown_number(abs(found.spare_m))}
    if found.enough:
        return _("Enough by %(metres)s m above %(name)s, on these figures.") % facts
    return _("Not enough: strikes %(name)s, short by %(metres)s m.") % facts


def lever_sentence(lever: Lever) -> str:
    """What to do, and what it would leave."""
    if lever.set_m is None or lever.spare_m is None:
        return _(_LEVERS[lever.code])
    act = _(_LEVERS[lever.code]) % {"set": shown_number(lever.set_m)}
    facts = {"act": act, "metres": shown_number(abs(lever.spare_m))}
    if lever.spare_m >= 0:
        return _("%(act)s: then enough by %(metres)s m.") % facts
    return _("%(act)s: then still short by %(metres)s m.") % facts


def basis_words(basis: Basis) -> str:
    """'EN 355:2002 (read second hand)', or the status alone where it says it all."""
    status = status_name(basis.status)
    return f"{basis.source} ({status})" if basis.source else status


def force_sentence(check: ForceCheck) -> str:
    facts = {
        "peak": shown_number(required(check.peak_n / 1000)),
        "limit": shown_number(available(check.limit.value / 1000)),
    }
    if check.within_limit:
        return _("%(peak)s kN on the person; the limit is %(limit)s kN.") % facts
    return _("%(peak)s kN on the person: more than the limit of %(limit)s kN.") % facts


def without_absorber_sentence(check: ForceCheck) -> str:
    """The warning beside a fall: an upper bound, and never a reason to go without."""
    peak = shown_number(required(check.peak_n / 1000, 0.1))
    return _("Without an absorber the same fall would pull about %(peak)s kN.") % {"peak": peak}


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
