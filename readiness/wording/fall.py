"""The answer for a fall in words: verdict, parts, planes, forces, swing, levers, assumptions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.clearance import Clearance
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.fall import FallAnswer, Swung
from readiness.rules.sums.redo import Changed
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.values import Flag, Plane, Sum
from readiness.wording.lengths import Unit, length_words, speed_words
from readiness.wording.sums import (
    available_length,
    basis_words,
    clearance_sentence,
    flag_sentence,
    force_sentence,
    lever_sentence,
    needed_length,
    without_absorber_sentence,
)
from readiness.wording.sums_words import part_name, plane_name
from readiness.wording.words import listed
from register.wording import shown_number

_WHERE = {
    "en": gettext_noop("EN"),
    "queensland": gettext_noop("Queensland"),
    "us": gettext_noop("United States"),
}

_ASSUMES = (
    gettext_noop("a rigid body falling straight, from standing still"),
    gettext_noop("figures as typed here, and those of the standards named where none was given"),
    gettext_noop("anchor and structure hold"),
    gettext_noop("equipment used to its maker's instructions and unworn"),
)

_CHANGED = {
    "heaviest_kg": gettext_noop("heaviest person %(now)s kg, they were done for %(was)s kg"),
    "lightest_kg": gettext_noop("lightest person %(now)s kg, they were done for %(was)s kg"),
    "task_system": gettext_noop("how the task is protected has changed"),
    "task_zone": gettext_noop("the task is in zone %(now)s, they were done in %(was)s"),
    "product": gettext_noop("the product is %(now)s, they were done for %(was)s"),
    "product_min_kg": gettext_noop("the product is made from %(now)s kg on, then from %(was)s kg"),
    "product_max_kg": gettext_noop("the product is made for %(now)s kg, then for %(was)s kg"),
    "product_length_m": gettext_noop("the product is %(now)s m long, then %(was)s m"),
    "product_edge_tested": gettext_noop("what the product says of edges has changed"),
    "anchor": gettext_noop("the anchor is %(now)s, they were done for %(was)s"),
    "anchor_site": gettext_noop("the anchor is at %(now)s, it was at %(was)s"),
    "anchor_zone": gettext_noop("the anchor is in zone %(now)s, it was in %(was)s"),
    "anchor_place": gettext_noop("the anchor is at %(now)s, it was at %(was)s"),
    "anchor_in_use": gettext_noop("the anchor is no longer in use, or it is again"),
}


@dataclass(frozen=True, slots=True)
class PartRow:
    """One part of the sum: what, how much, on what basis."""

    name: str
    length: str
    basis: str


@dataclass(frozen=True, slots=True)
class PlaneRow:
    """The same sum measured below one plane: needed, and there is."""

    name: str
    needed: str
    there: str


@dataclass(frozen=True, slots=True)
class FallWords:
    """All that a page or a sheet says of the answer."""

    verdict: str
    enough: bool
    used: str
    parts: tuple[PartRow, ...]
    planes: tuple[PlaneRow, ...]
    fall: tuple[str, ...]
    force: tuple[str, ...]
    swing: tuple[str, ...]
    levers: tuple[str, ...]
    flags: tuple[str, ...]
    caution: str


def fall_words(answer: FallAnswer, unit: Unit) -> FallWords:
    room, in_feet = answer.clearance, unit == "ft"
    return FallWords(
        verdict=_verdict(answer, in_feet=in_feet),
        enough=room.enough and not struck(answer) and answer.too_hard is None,
        used=_used(room, in_feet=in_feet),
        parts=tuple(_part_rows(room.needed, in_feet=in_feet)),
        planes=tuple(_plane_rows(room, in_feet=in_feet)),
        fall=tuple(_fall_lines(answer, unit)),
        force=tuple(_force_lines(answer, in_feet=in_feet)),
        swing=tuple(_swing_lines(answer.swung, unit)),
        levers=tuple(lever_sentence(one, in_feet=in_feet) for one in answer.levers),
        flags=tuple(flag_sentence(one, in_feet=in_feet) for one in _flags(answer)),
        caution=caution(_ASSUMES),
    )


def struck(answer: FallAnswer) -> bool:
    return answer.swung is not None and bool(answer.swung.strikes)


def caution(assumes: Iterable[str]) -> str:
    """What stands beside every answer."""
    return _(
        "Indication only. Maker’s instructions and a competent person’s judgement govern; use the "
        "larger clearance. Assumes %(list)s."
    ) % {"list": listed([_(one) for one in assumes])}


def _verdict(answer: FallAnswer, *, in_feet: bool) -> str:
    told = clearance_sentence(answer.clearance, in_feet=in_feet)
    if answer.too_hard is not None:
        force = force_sentence(answer.too_hard, in_feet=in_feet)
        told = _("Too hard: %(force)s %(told)s") % {"force": force, "told": told}
    if answer.swung is None or not answer.swung.strikes:
        return told
    name = answer.swung.strikes[0].name or _("something")
    return _("The swing strikes %(name)s. %(told)s") % {"name": name, "told": told}


def _used(room: Clearance, *, in_feet: bool) -> str:
    """Which of chart and formula the figures are from, and what the other would have said."""
    if room.used == "formula":
        return _("By formula: no chart of the product was given.")
    source = room.needed.parts[0].basis.source
    if room.formula is None:
        return _("By the product’s own chart (%(source)s); no formula holds for it.") % {
            "source": source
        }
    other = needed_length(max(0.0, room.formula.below(Plane.SURFACE)), in_feet=in_feet)
    facts = {"source": source, "other": other}
    return (
        _(
            "By the product’s own chart (%(source)s), not by formula. The formula would ask for "
            "%(other)s below the walking surface."
        )
        % facts
    )


def _part_rows(needed: Sum, *, in_feet: bool) -> Iterable[PartRow]:
    for part in needed.parts:
        length = needed_length(part.metres, in_feet=in_feet)
        yield PartRow(part_name(part.code), length, basis_words(part.basis))
    whole = needed_length(needed.metres, in_feet=in_feet)
    yield PartRow(_("Together, %(plane)s") % {"plane": plane_name(needed.plane)}, whole, "")


def _plane_rows(room: Clearance, *, in_feet: bool) -> Iterable[PlaneRow]:
    for plane in (Plane.ANCHOR, Plane.ATTACHMENT, Plane.SURFACE):
        needed = room.needed.below(plane)
        told = needed if plane is not Plane.SURFACE else room.required_m
        yield PlaneRow(
            plane_name(plane),
            needed_length(told, in_feet=in_feet),
            available_length(room.available_below(plane), in_feet=in_feet),
        )


def _fall_lines(answer: FallAnswer, unit: Unit) -> Iterable[str]:
    room = answer.clearance
    yield _("Free fall %(length)s.") % {"length": length_words(room.free_fall_m, unit)}
    if answer.fall_factor is not None:
        yield _("Fall factor %(factor)s.") % {"factor": shown_number(answer.fall_factor)}
    system, place = answer.case.system, answer.case.place
    if isinstance(system, Retractable):
        below = system.free_fall(place)
        if below > 0:
            facts = {"length": length_words(below, unit)}
            yield _("The device hangs %(length)s below the attachment.") % facts
        else:
            yield _("The device is overhead or level with the attachment.")
        yield _("A retractable is not for use over edges or lying flat unless marked for it.")
    if place.over_edge:
        yield _("The line runs over an edge.")


def _force_lines(answer: FallAnswer, *, in_feet: bool) -> Iterable[str]:
    if isinstance(answer.case.system, Lanyard) and answer.arrest is None:
        yield _("The force is not known: the maker’s average force of the absorber is not given.")
    for where, check in answer.forces.items():
        said = force_sentence(check, in_feet=in_feet)
        facts = {"where": _(_WHERE[where]), "said": said, "basis": basis_words(check.limit.basis)}
        yield _("%(where)s: %(said)s Basis: %(basis)s.") % facts
    absorber, arrest = answer.case.absorber, answer.arrest
    if arrest is not None and absorber is not None and absorber.stroke_m:
        share = shown_number(round(100 * arrest.stroke_m / absorber.stroke_m))
        yield _("Absorber used: %(share)s per cent of what it can open.") % {"share": share}
    if answer.bare is not None:
        yield without_absorber_sentence(answer.bare, in_feet=in_feet)


def _swing_lines(swung: Swung | None, unit: Unit) -> Iterable[str]:
    """Angle, drop and speed; what is struck is told by the picture's own list too."""
    if swung is None:
        return
    found = swung.swing
    facts = {
        "angle": shown_number(round(found.angle_deg, 1)),
        "drop": length_words(found.drop_m, unit),
        "speed": speed_words(found.speed_m_s, unit),
    }
    yield _("Swing through %(angle)s°: drop %(drop)s, %(speed)s at the lowest point.") % facts
    if found.word == "too-far":
        yield _("The angle is past the employer’s limit: come closer to plumb.")
    for one in swung.strikes:
        name = one.name or _("something")
        if one.what == "line":
            yield _("The line meets %(name)s: these figures do not hold then.") % {"name": name}
        else:
            at = speed_words(one.speed_m_s, unit)
            yield _("It strikes %(name)s at %(speed)s.") % {"name": name, "speed": at}


def _flags(answer: FallAnswer) -> tuple[Flag, ...]:
    arrest = answer.arrest.flags if answer.arrest else ()
    return (*answer.clearance.flags, *arrest)


def changed_words(changed: Iterable[Changed]) -> str:
    """'heaviest person 120 kg, they were done for 100 kg; ...'."""
    return "; ".join(
        _(_CHANGED[one.code]) % {"was": _told(one.was), "now": _told(one.now)} for one in changed
    )


def _told(value: object) -> str:
    if value is None or value == "":
        return _("not known")
    return shown_number(value) if isinstance(value, int | float) else str(value)
