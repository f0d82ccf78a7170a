"""Lengths and speeds in metres or feet: what is needed rounds up, what there is rounds down."""

from __future__ import annotations

from typing import Literal

from django.utils.translation import gettext as _

from readiness.rules.sums.units import feet
from readiness.wording.sums import available_length, gap_length, needed_length

Unit = Literal["m", "ft"]


def length_words(metres: float, unit: Unit) -> str:
    """A length to the centimetre, or to the tenth of a foot."""
    if unit == "ft":
        return _("%(length).1f ft") % {"length": feet(metres)}
    return _("%(length).2f m") % {"length": metres}


def speed_words(m_s: float, unit: Unit) -> str:
    if unit == "ft":
        return _("%(speed).1f ft/s") % {"speed": feet(m_s)}
    return _("%(speed).1f m/s") % {"speed": m_s}


def needed_words(metres: float, unit: Unit) -> str:
    """What is needed, and what is missing, rounds up."""
    return needed_length(metres, in_feet=unit == "ft")


def there_words(metres: float, unit: Unit) -> str:
    """What there is, and what is spare, rounds down."""
    return available_length(metres, in_feet=unit == "ft")


def gap_words(required_m: float, available_m: float, unit: Unit) -> str:
    """What is spare or missing: the difference of the two as they are told."""
    return gap_length(required_m, available_m, in_feet=unit == "ft")
