"""Figures of standards and law that the sums use, each with what it rests on.

None is looked up anew here: 'from memory' figures are to be checked against the clause before they
are shown as more than a default. SI units inside; `unit` and `printed` are those of the text.
"""

from __future__ import annotations

from dataclasses import dataclass

from readiness.rules.sums.units import metres, metres_from_inches, newtons
from readiness.rules.sums.values import Basis, Figure, Status


@dataclass(frozen=True, slots=True)
class RuleFigure:
    """A figure as its rule prints it; a range is low..high, both ends included."""

    rule: str
    item: str
    printed: str
    unit: str
    basis: Basis


_MINE: Status = "from memory, to be verified"
_TEST_HOUSE = "read in a test house's summary"

RULE_FIGURES = (
    RuleFigure("29 CFR 1926.502(d)(16)", "max_arrest_force_harness", "1800", "lbf", Basis("read")),
    RuleFigure("29 CFR 1926.502(d)(16)", "max_free_fall", "6", "ft", Basis("read")),
    RuleFigure("29 CFR 1926.502(d)(15)", "anchorage_per_employee", "5000", "lbf", Basis("read")),
    RuleFigure("EN 355", "max_force", "6.0", "kN", Basis("read-2", _TEST_HOUSE)),
    RuleFigure(
        *("CSA Z259.11-05 E4", "user_mass_range", "45..115", "kg"),
        Basis("read-2", "Alberta OHS Code explanation guide, s.142.3; dropped in the 2017 edition"),
    ),
    RuleFigure(
        *("CSA Z259.11-05 E6", "user_mass_range", "90..175", "kg"),
        Basis("read-2", "Alberta OHS Code explanation guide, s.142.3; dropped in the 2017 edition"),
    ),
    RuleFigure(
        *("ANSI/ASSP Z359.14-2021 Class 1", "max_free_fall", "2", "ft"),
        Basis("read-2", "a legal summary"),
    ),
    RuleFigure(
        *("ANSI/ASSP Z359.14-2021 Class 2", "max_free_fall", "6", "ft"),
        Basis("read-2", "a legal summary"),
    ),
    RuleFigure(
        *("Qld WHS Reg 2011 s306I", "anchor_1_person_free_fall", "15", "kN"),
        Basis("read"),
    ),
)


def rule_figure(rule: str, item: str) -> RuleFigure:
    return next(each for each in RULE_FIGURES if (each.rule, each.item) == (rule, item))


# What a sum takes where nobody gave a better figure.
ATTACHMENT_M = Figure(1.5, Basis("common practice, no source"))
HARNESS_M = Figure(0.5, Basis("common practice, no source"))
MARGIN_M = Figure(1.0, Basis("policy"))
LEAST_MARGIN_M = 0.5  # policy: drop tests found elongation understated by up to 70 % (Carrion 2021)
MASSES_KG = (50.0, 150.0)  # where the formulas here were held to an integration


@dataclass(frozen=True, slots=True)
class AbsorberRule:
    """What a standard promises of an energy-absorbing lanyard: lengths in m, masses in kg."""

    extension: Figure
    max_length_m: float
    max_free_fall: Figure
    max_kg: Figure


ABSORBER_RULES = {
    "en-355": AbsorberRule(
        Figure(1.75, Basis("read-2", f"EN 355:2002, {_TEST_HOUSE}")),
        2.0,
        Figure(4.0, Basis("read-2", "EN 355:2002: twice the 2 m lanyard of its drop test")),
        Figure(100.0, Basis(_MINE, "EN 355:2002: its test mass, where the label says no other")),
    ),
    "osha": AbsorberRule(
        Figure(metres(3.5), Basis("read", "29 CFR 1926.502(d)(16): stop within 3.5 ft")),
        metres(6),
        Figure(metres(6), Basis("read", "29 CFR 1926.502(d)(16): free fall of 6 ft at most")),
        Figure(140.0, Basis("read-2", "310 lb with tools; WAC 296-880-40020, note")),
    ),
    "ansi-z359-13-6ft": AbsorberRule(
        Figure(metres_from_inches(48), Basis(_MINE, "ANSI Z359.13, 6 ft free fall")),
        metres(6),
        Figure(metres(6), Basis(_MINE, "ANSI Z359.13, 6 ft free fall")),
        Figure(140.0, Basis(_MINE, "ANSI Z359.13: 310 lb with tools")),
    ),
    "ansi-z359-13-12ft": AbsorberRule(
        Figure(metres_from_inches(60), Basis(_MINE, "ANSI Z359.13, 12 ft free fall")),
        metres(6),
        Figure(metres(12), Basis(_MINE, "ANSI Z359.13, 12 ft free fall")),
        Figure(140.0, Basis(_MINE, "ANSI Z359.13: 310 lb with tools")),
    ),
}


@dataclass(frozen=True, slots=True)
class RetractableRule:
    """`max_below_m`: how far the device may hang below the attachment; 0 where only the maker knows."""

    arrest: Figure
    max_below_m: float
    max_kg: Figure


_EN_MASS = Figure(100.0, Basis(_MINE, "the standard's test mass, where the label says no other"))
_US_MASS = Figure(140.0, Basis("read-2", "310 lb: the test mass of ANSI/ASSP Z359.14-2021"))

RETRACTABLE_RULES = {
    "en-360": RetractableRule(Figure(2.0, Basis(_MINE, "EN 360: 2.0 m at most")), 0, _EN_MASS),
    "as-nzs-1891": RetractableRule(Figure(1.4, Basis(_MINE, "AS/NZS 1891.3")), 0, _EN_MASS),
    "ansi-z359-14-2014-a": RetractableRule(
        Figure(metres_from_inches(24), Basis(_MINE, "ANSI Z359.14-2014 class A")), 0, _US_MASS
    ),
    "ansi-z359-14-2014-b": RetractableRule(
        Figure(metres_from_inches(54), Basis("read-2", "ANSI Z359.14-2014 class B")), 0, _US_MASS
    ),
    "ansi-z359-14-2021-1": RetractableRule(
        Figure(metres_from_inches(42), Basis("read-2", "ANSI/ASSP Z359.14-2021")), 0, _US_MASS
    ),
    "ansi-z359-14-2021-2": RetractableRule(
        Figure(metres_from_inches(42), Basis("read-2", "ANSI/ASSP Z359.14-2021")),
        metres(6),
        _US_MASS,
    ),
}

GUIDED_ARREST = {
    "rigid": Figure(1.0, Basis("read-2", f"EN 353-1, {_TEST_HOUSE}")),
    # A summary prints 1 m for the flexible line too; it looks carried over from the rigid one.
    "flexible": Figure(3.0, Basis(_MINE, "EN 353-2:2002")),
}
GUIDED_MASS = _EN_MASS

# The peak force on a person, by where the work is (N).
FORCE_LIMITS_N = {
    "en": Figure(6000.0, Basis("read-2", f"EN 355:2002, {_TEST_HOUSE}")),
    "queensland": Figure(6000.0, Basis("read", "WHS Regulation 2011 (Qld) s 306I")),
    "us": Figure(newtons(1800), Basis("read", "29 CFR 1926.502(d)(16): 1,800 lbf")),
}
RIGID_MASS_FACTOR = Figure(1.4, Basis(_MINE, "29 CFR 1910.140 App D: 2,520 lbf on a rigid weight"))

# Spring moduli (N) of lanyards without an absorber. The middle one gives the 15-16 kN that the trade
# tells of 100 kg falling 1 m on 1 m; no published test of it is known.
STATIC_LANYARD_MODULUS_N = Figure(110_000.0, Basis("common practice, no source"))
