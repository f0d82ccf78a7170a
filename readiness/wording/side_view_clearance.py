"""The side view of a fall in words: what lies below, and the picture as a list from above."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.wording.lengths import Unit, gap_words, length_words, needed_words, there_words
from readiness.wording.sums_words import part_name, plane_name

Facts = Mapping[str, Any]


def clear_note(facts: Facts, unit: Unit) -> str:
    words = {
        "name": facts["name"],
        "spare": gap_words(facts["required_m"], facts["available_m"], unit),
    }
    if not facts["counted"]:
        return _("%(name)s: room alone would do, by %(spare)s") % words
    return _("%(name)s: enough by %(spare)s") % words


def strike_note(facts: Facts, unit: Unit) -> str:
    words = {
        "name": facts["name"],
        "short": gap_words(facts["required_m"], facts["available_m"], unit),
    }
    return _("strikes %(name)s, short by %(short)s") % words


def clearance_lines(facts: Facts, unit: Unit) -> list[str]:
    total = needed_words(facts["total_m"], unit)
    lowest = needed_words(facts["lowest_m"], unit)
    return [
        *_before(facts, unit),
        *(
            _("%(length)s %(name)s") % {"name": part_name(code), "length": length_words(long, unit)}
            for code, long in facts["parts"]
        ),
        _("Together %(length)s %(plane)s.")
        % {"length": total, "plane": plane_name(facts["plane"])},
        _("The lowest point of the hanging body is %(length)s below the walking surface.")
        % {"length": lowest},
        *(
            _("%(name)s: %(length)s below the walking surface.")
            % {"name": name, "length": there_words(deep, unit)}
            for name, deep in facts["levels"]
        ),
        _verdict(facts, unit),
    ]


def _before(facts: Facts, unit: Unit) -> list[str]:
    """Anchor and attachment, before anybody falls."""
    anchor = {
        "name": facts["anchor"] or _("The anchor"),
        "length": length_words(abs(facts["anchor_m"]), unit),
    }
    where = (
        _("%(name)s is %(length)s above the walking surface.")
        if facts["anchor_m"] >= 0
        else _("%(name)s is %(length)s below the walking surface.")
    )
    held = {"length": length_words(facts["attachment_m"], unit)}
    return [
        where % anchor,
        _("The harness attachment is %(length)s above the walking surface before the fall.") % held,
    ]


_SHORT = gettext_noop(
    "Needed below the walking surface: %(required)s; there is %(available)s. "
    "Not enough: strikes %(name)s, short by %(by)s."
)
_ALONE = gettext_noop(
    "Needed below the walking surface: %(required)s; there is %(available)s to %(name)s. "
    "The room alone would do, by %(by)s; it does not count, for the reason that the verdict "
    "gives."
)
_ENOUGH = gettext_noop(
    "Needed below the walking surface: %(required)s; there is %(available)s to %(name)s. "
    "Enough by %(by)s on these figures."
)


def _verdict(facts: Facts, unit: Unit) -> str:
    words = {
        "name": facts["struck"],
        "required": needed_words(facts["required_m"], unit),
        "available": there_words(facts["available_m"], unit),
        "by": gap_words(facts["required_m"], facts["available_m"], unit),
    }
    if facts["spare_m"] < 0:
        return _(_SHORT) % words
    return _(_ENOUGH if facts["counted"] else _ALONE) % words
