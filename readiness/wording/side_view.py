"""The words of a side view: labels in the picture, and the same picture as a list."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.rules.sums.side_view import Column, Note, Scene, Span
from readiness.wording.lengths import (
    Unit,
    gap_words,
    length_words,
    needed_words,
    speed_words,
    there_words,
)
from readiness.wording.rescue_sums import restraint_lines
from readiness.wording.side_view_clearance import clear_note, clearance_lines, strike_note
from readiness.wording.side_view_zone import ZONE_NOTES, zone_scene_lines
from readiness.wording.sums_words import part_name, plane_name
from register.wording import fixed_number

Facts = Mapping[str, Any]

_SPANS = {
    "clear-height": gettext_noop("clear height"),
    "taken": gettext_noop("needed"),
    "spare": gettext_noop("spare"),
    "short": gettext_noop("short"),
}

_COLUMNS = {
    "needed": gettext_noop("Needed: %(length)s"),
    "clear": gettext_noop("There is: %(length)s"),
}

_SWING_WORDS = {
    "plumb": gettext_noop("There is no swing: the attachment is plumb below the anchor."),
    "small": gettext_noop("The angle is within the employer's limit."),
    "look": gettext_noop(
        "The angle is within the employer's limit, but large enough to look again."
    ),
    "too-far": gettext_noop("The angle is past the employer's limit: come closer to plumb."),
}


def span_words(span: Span, column: Column, unit: Unit) -> str:
    """One length of a bar, the figure first: it is never cut off where there is little room."""
    name = _(_SPANS[span.code]) if span.code in _SPANS else part_name(span.code)
    return _("%(length)s %(name)s") % {"name": name, "length": _span_length(span, column, unit)}


def _span_length(span: Span, column: Column, unit: Unit) -> str:
    there = column.total_m
    if span.code == "spare":
        return gap_words(there - span.metres, there, unit)
    if span.code == "short":
        return gap_words(there + span.metres, there, unit)
    if span.code == "clear-height":
        return there_words(span.metres, unit)
    told = needed_words if span.code == "taken" else length_words
    return told(span.metres, unit)


def column_words(column: Column, unit: Unit) -> tuple[str, str]:
    """The two lines above a bar: how much in all, and below which plane."""
    told = (needed_words if column.code == "needed" else there_words)(column.total_m, unit)
    return _(_COLUMNS[column.code]) % {"length": told}, plane_name(column.plane)


def foot_words() -> str:
    """What stands under every picture."""
    return _("One scale in all directions. An indication on the figures given, no promise.")


def note_words(note: Note, unit: Unit) -> str:
    """The label at one place of the picture; '' where there is nothing to say."""
    return _NOTES[note.code](note.facts, unit).strip()


def scene_title(scene: Scene) -> str:
    return {
        "clearance": _("Side view of the fall, to scale"),
        "swing": _("The swing, seen square to it, to scale"),
        "rescue": _("Side view of the rescue, to scale"),
        "plan": _("Restraint seen from above, to scale"),
        "zone": _("Where one may work, seen from above, to scale"),
    }[scene.kind]


def scene_lines(scene: Scene, unit: Unit) -> list[str]:
    """All that the picture shows, in words, in its order from above."""
    lines = {"clearance": clearance_lines, "swing": _swing, "rescue": _rescue, "plan": _plan}
    return (lines | {"zone": zone_scene_lines})[scene.kind](scene.facts, unit)


def _named(facts: Facts, unnamed: str) -> str:
    return str(facts["name"]) or unnamed


def _swing_note(facts: Facts, unit: Unit) -> str:
    return _("%(angle)s°, drop %(drop)s, %(speed)s") % {
        "angle": fixed_number(float(str(facts["angle_deg"])), 1),
        "drop": length_words(facts["drop_m"], unit),
        "speed": speed_words(facts["speed_m_s"], unit),
    }


def _struck_note(facts: Facts, unit: Unit) -> str:
    words = {"name": facts["name"], "speed": speed_words(facts["speed_m_s"], unit)}
    return _("strikes %(name)s at %(speed)s") % words


def _way_note(sentence: str) -> Callable[[Facts, Unit], str]:
    return lambda facts, unit: _(sentence) % {"length": length_words(facts["metres"], unit)}


_NOTES: dict[str, Callable[[Facts, Unit], str]] = {
    **ZONE_NOTES,
    "anchor": lambda facts, _unit: _named(facts, _("anchor")),
    "surface": lambda facts, _unit: _named(facts, _("walking surface")),
    "clears": clear_note,
    "strikes": strike_note,
    "swing": _swing_note,
    "obstacle": lambda facts, _unit: _named(facts, _("obstacle")),
    "body-struck": _struck_note,
    "line-struck": lambda facts, _unit: _("the line meets %(name)s") % facts,
    "below": lambda facts, unit: (
        _("%(name)s, %(length)s below")
        % {"name": facts["name"], "length": there_words(facts["metres"], unit)}
    ),
    "attachment": lambda facts, unit: length_words(facts["metres"], unit),
    "rescue-anchor": lambda facts, _unit: (
        _("%(anchor)s, rope of %(kit)s")
        % {
            "anchor": _named(facts, _("rescue anchor")),
            "kit": facts["kit"] or _("the rescue kit"),
        }
    ),
    "rescuer": lambda facts, _unit: (
        _("rescuer and kit, %(minutes)g min away") % {"minutes": facts["minutes"]}
    ),
    "landing": lambda facts, _unit: str(facts["name"]),
    "guarded": lambda facts, _unit: _("%(name)s, guarded") % facts,
    "edge-held": lambda facts, unit: (
        _("%(name)s: %(spare)s to spare")
        % {"name": facts["name"], "spare": there_words(facts["spare_m"], unit)}
    ),
    "edge-passed": lambda facts, unit: (
        _("%(name)s: can be passed by %(past)s")
        % {"name": facts["name"], "past": needed_words(-facts["spare_m"], unit)}
    ),
    "lower": _way_note(gettext_noop("lower by %(length)s")),
    "raise": _way_note(gettext_noop("raise by %(length)s")),
}


def _swing(facts: Facts, unit: Unit) -> list[str]:
    words = {
        "offset": length_words(facts["offset_m"], unit),
        "line": length_words(facts["line_m"], unit),
        "angle": fixed_number(float(str(facts["angle_deg"])), 1),
        "drop": length_words(facts["drop_m"], unit),
        "speed": speed_words(facts["speed_m_s"], unit),
    }
    lines = [
        _("The person stands %(offset)s to one side of the anchor, on %(line)s of line.") % words,
        _(
            "The swing drops %(drop)s through %(angle)s°; its speed at the lowest point is %(speed)s."
        )
        % words,
        _(_SWING_WORDS[facts["word"]]),
    ]
    for name, speed, what in facts["strikes"]:
        struck = {"name": name, "speed": speed_words(speed, unit)}
        lines.append(
            _("It strikes %(name)s at %(speed)s.") % struck
            if what == "body"
            else _(
                "The line meets %(name)s: the swing turns about it and these figures do not hold."
            )
            % struck
        )
    return lines + [_("It passes %(name)s.") % {"name": name} for name in facts["passes"]]


def _rescue(facts: Facts, unit: Unit) -> list[str]:
    words = {
        "anchor": facts["anchor"] or _("the rescue anchor"),
        "length": length_words(facts["metres"], unit),
        "kit": facts["kit"] or _("The rescue kit"),
        "landing": facts["landing"] or _("the place of safety"),
        "minutes": facts["minutes"],
    }
    way = {
        "lower": _("The casualty is lowered by %(length)s to %(landing)s."),
        "raise": _("The casualty is raised by %(length)s to %(landing)s."),
    }[facts["way"]]
    return [
        _("%(kit)s is rigged at %(anchor)s.") % words,
        way % words,
        _("Rescuer and kit are %(minutes)g min away.") % words,
    ]


def _plan(facts: Facts, unit: Unit) -> list[str]:
    held = _NOTES["edge-held"]
    lines = [_("%(name)s is what the lanyard is tied to.") % {"name": facts["anchor"]}]
    lines += [
        held({"name": hold.name, "spare_m": hold.spare_m}, unit) + "."
        for hold in facts["answer"].holds
        if not hold.can_be_passed
    ]
    lines += [_NOTES["guarded"]({"name": name}, unit) + "." for name in facts["guarded"]]
    return [*lines, *restraint_lines(facts["answer"], unit)]
