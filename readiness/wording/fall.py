"""The answer for a fall in words: verdict, parts, planes, forces, swing, levers, assumptions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.clearance import Clearance
from readiness.rules.sums.fall import FallAnswer
from readiness.rules.sums.redo import Changed
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.values import Flag, Plane, Sum
from readiness.wording.fall_force import against_sentence, anchor_lines, force_lines
from readiness.wording.fall_swing import swing_lines, zone_lines
from readiness.wording.lengths import Unit, length_words
from readiness.wording.sums import (
    available_length,
    basis_words,
    clearance_sentence,
    flag_sentence,
    gap_length,
    lever_sentence,
    needed_length,
    room_alone_sentence,
)
from readiness.wording.sums_words import part_name, plane_name
from readiness.wording.words import listed
from register.wording import shown_number

_ASSUMES = (
    gettext_noop("a rigid body falling straight, from standing still"),
    gettext_noop("figures as typed here, and those of the standards named where none was given"),
    gettext_noop("anchor and structure hold"),
    gettext_noop("equipment used to its maker's instructions and unworn"),
)

_AGAINST = {
    "too-hard": gettext_noop("Stopped too hard"),
    "strikes": gettext_noop("Strikes something"),
    "anchor": gettext_noop("Anchor too weak"),
    "swing": gettext_noop("Swings too far"),
    "gaps": gettext_noop("Work outside the zone"),
}

_CHANGED = {
    "heaviest_kg": gettext_noop("heaviest person %(now)s kg, they were done for %(was)s kg"),
    "lightest_kg": gettext_noop("lightest person %(now)s kg, they were done for %(was)s kg"),
    "task_system": gettext_noop("how the task is protected has changed"),
    "task_zone": gettext_noop("the task is in zone %(now)s, they were done in %(was)s"),
    "clear_height_m": gettext_noop(
        "the clear height of the task is %(now)s m, it was %(was)s m when they were done"
    ),
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
    """All that a page or a sheet says of the answer; `brief` is the verdict in a few words, for where
    there is little room."""

    verdict: str
    brief: str
    enough: bool
    used: str
    parts: tuple[PartRow, ...]
    planes: tuple[PlaneRow, ...]
    fall: tuple[str, ...]
    force: tuple[str, ...]
    anchor: tuple[str, ...]
    swing: tuple[str, ...]
    zone: tuple[str, ...]
    levers: tuple[str, ...]
    flags: tuple[str, ...]
    caution: str


def fall_words(answer: FallAnswer, unit: Unit) -> FallWords:
    room, in_feet = answer.clearance, unit == "ft"
    return FallWords(
        verdict=_verdict(answer, in_feet=in_feet),
        brief=_brief(answer, in_feet=in_feet),
        enough=room.enough and not answer.against,
        used=_used(room, in_feet=in_feet),
        parts=tuple(_part_rows(room.needed, in_feet=in_feet)),
        planes=tuple(_plane_rows(room, in_feet=in_feet)),
        fall=tuple(_fall_lines(answer, unit)),
        force=tuple(force_lines(answer, unit)),
        anchor=tuple(anchor_lines(answer.anchor, in_feet=in_feet)),
        swing=tuple(swing_lines(answer.swung, unit)),
        zone=tuple(zone_lines(answer.zone, unit)),
        levers=tuple(lever_sentence(one, in_feet=in_feet) for one in answer.levers),
        flags=tuple(flag_sentence(one, in_feet=in_feet) for one in _flags(answer)),
        caution=caution(_ASSUMES),
    )


def caution(assumes: Iterable[str]) -> str:
    """What stands beside every answer."""
    return _(
        "Indication only. Maker’s instructions and a competent person’s judgement govern; use the "
        "larger clearance. Assumes %(list)s."
    ) % {"list": listed([_(one) for one in assumes])}


def _verdict(answer: FallAnswer, *, in_feet: bool) -> str:
    """What speaks against it goes first; room that is not counted for it never reads as enough."""
    room = answer.clearance
    if not answer.against:
        return clearance_sentence(room, in_feet=in_feet)
    told = " ".join(against_sentence(answer, code, in_feet=in_feet) for code in answer.against)
    if not room.enough:
        return f"{told} {clearance_sentence(room, in_feet=in_feet)}"
    return f"{told} {room_alone_sentence(room, in_feet=in_feet)}"


def _brief(answer: FallAnswer, *, in_feet: bool) -> str:
    room = answer.clearance
    by = {"length": gap_length(room.required_m, room.available_m, in_feet=in_feet)}
    if not room.enough:
        return _("Short by %(length)s") % by
    if answer.against:
        return listed([_(_AGAINST[code]) for code in answer.against])
    return _("Enough by %(length)s") % by


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
