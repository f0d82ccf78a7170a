"""The force of a fall in words: on the heaviest, on the lightest, on the anchor; and what speaks against."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.arrest_limits import ForceCheck
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.fall import FallAnswer
from readiness.rules.sums.fall_anchor import AnchorAnswer
from readiness.rules.sums.units import required
from readiness.wording.lengths import Unit, needed_words
from readiness.wording.rescue_sums import mass_there
from readiness.wording.sums import (
    basis_words,
    energy_words,
    force_sentence,
    force_there,
    force_words,
    without_absorber_sentence,
)
from register.wording import fixed_number, shown_number

_WHERE = {
    "en": gettext_noop("EN"),
    "queensland": gettext_noop("Queensland"),
    "us": gettext_noop("United States"),
}
_TWICE = "29 CFR 1926.502(d)(16)(v)"


def against_sentence(answer: FallAnswer, code: str, *, in_feet: bool) -> str:
    """Why room is not counted, in one sentence."""
    if code == "too-hard" and answer.too_hard is not None:
        force = force_sentence(answer.too_hard, in_feet=in_feet)
        return _("Too hard: %(force)s") % {"force": force}
    if code == "strikes" and answer.swung is not None:
        name = answer.swung.strikes[0].name or _("something")
        return _("The swing strikes %(name)s.") % {"name": name}
    if code == "anchor":
        return _("The anchor is rated for less than it needs.")
    if code == "swing" and answer.swung is not None:
        told = {
            "angle": fixed_number(required(answer.swung.swing.angle_deg, 0.1), 1),
            "most": shown_number(answer.zone.most_deg),
        }
        return _("Swings farther than you allow: %(angle)s° where %(most)s° is the limit.") % told
    return _("Part of the work along the row lies where a fall swings farther than you allow.")


def force_lines(answer: FallAnswer, unit: Unit) -> Iterable[str]:
    in_feet = unit == "ft"
    if isinstance(answer.case.system, Lanyard) and answer.arrest is None:
        yield _("The force is not known: the maker’s average force of the absorber is not given.")
        yield from _least(answer, unit)
    for where, check in answer.forces.items():
        said = force_sentence(check, in_feet=in_feet)
        facts = {"where": _(_WHERE[where]), "said": said, "basis": basis_words(check.limit.basis)}
        yield _("%(where)s: %(said)s Basis: %(basis)s.") % facts
    absorber, arrest = answer.case.absorber, answer.arrest
    if arrest is not None and absorber is not None and absorber.stroke_m:
        share = shown_number(round(100 * arrest.stroke_m / absorber.stroke_m))
        yield _("Absorber used: %(share)s per cent of what it can open.") % {"share": share}
    if answer.case.system is not None:
        yield from _light(answer, in_feet=in_feet)
    if answer.twice_j is not None:
        facts = {"energy": energy_words(answer.twice_j, in_feet=in_feet), "rule": _TWICE}
        yield (
            _("Twice the energy of this free fall is %(energy)s: what %(rule)s asks it to bear.")
            % facts
        )
    if answer.bare is not None:
        yield without_absorber_sentence(answer.bare, in_feet=in_feet)


def _least(answer: FallAnswer, unit: Unit) -> Iterable[str]:
    if answer.least_n is None:
        return
    opens = sum(part.metres for part in answer.clearance.needed.parts if part.code == "extension")
    facts = {
        "length": needed_words(opens, unit),
        "force": force_words(answer.least_n, in_feet=unit == "ft"),
    }
    yield _("To stop this fall within %(length)s it averages %(force)s or more.") % facts


def _light(answer: FallAnswer, *, in_feet: bool) -> Iterable[str]:
    """A light body is stopped harder by the same force; what it bears is not told by any rule here."""
    check, mass = answer.light, answer.case.lightest_kg
    if check is None or mass is None:
        yield _("The lightest person is not given: the same force stops a light body hardest.")
        return
    yield _light_sentence(check, mass, known=bool(answer.forces), in_feet=in_feet)


def _light_sentence(check: ForceCheck, mass_kg: float, *, known: bool, in_feet: bool) -> str:
    facts = {
        "mass": mass_there(mass_kg, "ft" if in_feet else "m"),
        "force": force_words(check.peak_n, in_feet=in_feet),
        "weights": fixed_number(required(check.gravities + 1, 0.1), 1),
        "g": fixed_number(required(check.gravities, 0.1), 1),
        "limit": force_there(check.limit.value, in_feet=in_feet),
    }
    if known:
        return (
            _(
                "On the lightest person, %(mass)s, %(force)s is %(weights)s times their weight: slowed "
                "down with %(g)s g. The maker’s average is no peak, which may be higher; no limit in g is "
                "kept here. Take the softest absorber made for that mass."
            )
            % facts
        )
    return (
        _(
            "On the lightest person, %(mass)s, the limit of %(limit)s would be %(weights)s times their "
            "weight: slowed down with %(g)s g at most. No limit in g is kept here."
        )
        % facts
    )


def anchor_lines(found: AnchorAnswer, *, in_feet: bool) -> Iterable[str]:
    """What it needs, what it is rated, what the ends of a lifeline get; never that it holds."""
    facts = {
        "needed": force_words(found.needed.value, in_feet=in_feet),
        "basis": basis_words(found.needed.basis),
        "n": found.users,
    }
    if found.pull_n is not None:
        facts["pull"] = force_words(found.pull_n, in_feet=in_feet)
        yield (
            _(
                "Each end of the lifeline gets up to %(pull)s along the line, with %(n)s falling at once: "
                "rigid ends, everybody in the middle of one span."
            )
            % facts
        )
        yield _("An end needs %(needed)s: %(basis)s. This is no design of a lifeline.") % facts
    else:
        yield _("The anchor needs %(needed)s for so many at once: %(n)s. Basis: %(basis)s.") % facts
    if found.rating_n is None:
        yield _("Its rating is not given: read it from its plate, in the direction of this load.")
        return
    facts["rating"] = force_there(found.rating_n, in_feet=in_feet)
    if found.too_weak:
        yield _("It is rated %(rating)s: not enough, it needs %(needed)s.") % facts
    else:
        yield _("It is rated %(rating)s, if that holds in the direction of this load.") % facts
