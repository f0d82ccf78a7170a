"""Lengths and speeds in metres or feet: what is needed rounds up, what there is rounds down."""

from __future__ import annotations

from typing import Literal

from django.utils.translation import gettext as _

from readiness.rules.sums.units import feet
from readiness.wording.sums import available_length, gap_length, needed_length
from register.wording import fixed_number

Unit = Literal["m", "ft"]


def length_words(metres: float, unit: Unit) -> str:
    """A length to the centimetre, or to the tenth of a foot."""
    if unit == "ft":
        return _("%(length)s ft") % {"length": fixed_number(feet(metres), 1)}
    return _("%(length)s m") % {"length": fixed_number(metres, 2)}


def speed_words(m_s: float, unit: Unit) -> str:
    if unit == "ft":
        return _("%(speed)s ft/s") % {"speed": fixed_number(feet(m_s), 1)}
    return _("%(speed)s m/s") % {"speed": fixed_number(m_s, 1)}


def needed_words(metres: float, unit: Unit) -> str:
    """What is needed, and what is missing, rounds up."""
    return needed_length(metres, in_feet=unit == "ft")


def there_words(metres: float, unit: Unit) -> str:
    """What there is, and what is spare, rounds down."""
    return available_length(metres, in_feet=unit == "ft")


def gap_words(required_m: float, available_m: float, unit: Unit) -> str:
    """What is spare or missing: the difference of the two as they are told."""
    return gap_length(required_m, available_m, in_feet=unit == "ft")
