"""Kept figures of a fall (JSON, SI units) become the values its sums are made from.

Every length is in metres, every mass in kilograms, every force in newtons. What is not there is not
known, and the sums take the figure of the trade or refuse; what is out of range they refuse.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import sqrt
from typing import Any, Final

from readiness.rules.sums.arrest_absorber import Absorber
from readiness.rules.sums.chart import Chart, ChartRow
from readiness.rules.sums.clearance import Allowances, Below, Place, System
from readiness.rules.sums.clearance_guided import Guided
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.fall_anchor import Held, read_held
from readiness.rules.sums.fall_row import Row, read_row
from readiness.rules.sums.figures import (
    ABSORBER_RULES,
    ATTACHMENT_M,
    FORCE_LIMITS_N,
    HARNESS_M,
    MARGIN_M,
    RETRACTABLE_RULES,
)
from readiness.rules.sums.given import Given
from readiness.rules.sums.lifeline import InLineAbsorber, Lifeline, sag_part
from readiness.rules.sums.ranges import length
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.swing import Swing, SwingPolicy, swing
from readiness.rules.sums.swing_path import Obstacle, block
from readiness.rules.sums.values import GIVEN, Figure, Part, Plane, Refused, within

SYSTEMS: Final = ("lanyard", "retractable", "guided-rigid", "guided-flexible", "no-absorber")
WHERE: Final = tuple(FORCE_LIMITS_N)
AXES: Final = ("anchor_m", "mass_kg", "free_fall_m", "setback_m")
PARTS_OF_A_PLACE: Final = ("harness", "crouch", "swing", "margin", "sling", "lifeline-sag")


@dataclass(frozen=True, slots=True)
class FallCase:
    """One fall, ready to be summed. `system` is None for a lanyard without an absorber: there is only
    a warning of it. `absorber` is there where its force is known. `obstacles` stand in the plane of
    the swing, the anchor at 0, heights above the walking surface."""

    code: str
    system: System | None
    place: Place
    mass_kg: float
    lightest_kg: float | None
    where: str
    allowances: Allowances
    length_m: float | None = None
    absorber: Absorber | None = None
    swing: Swing | None = None
    obstacles: tuple[Obstacle, ...] = ()
    held: Held = field(default_factory=Held)
    row: Row | None = None
    limits: SwingPolicy = field(default_factory=SwingPolicy)

    @property
    def on_lanyard(self) -> bool:
        """A line of one length; else it pays out."""
        return self.code in {"lanyard", "no-absorber"}

    @property
    def reach_m(self) -> float:
        """From the anchor to the end of a lanyard, with its sling."""
        return (self.length_m or 0.0) + self.place.sling_m

    def swing_at(self, offset_m: float, place: Place | None = None) -> Swing:
        """The swing of somebody so far aside, upright where no other place is given."""
        return swing_of(place or self.place.upright, offset_m, self._fixed, self.limits)

    @property
    def _fixed(self) -> float | None:
        return self.reach_m if self.on_lanyard else None


def read_fall(figures: object, limits: SwingPolicy | None = None) -> FallCase:
    """Refused: a figure missing, of the wrong kind or out of range, or one that nobody knows."""
    given = Given(figures)
    given.format()
    code = given.one_of("system", SYSTEMS)
    where = given.one_of("where", WHERE)
    place, reach = _place(given, where), given.number("length_m")
    aside = length("offset_m", given.number_or("offset_m", 0), 0, 50)
    system = _system(code, given, reach)
    case = FallCase(
        code=code,
        system=system,
        place=place,
        mass_kg=given.must("mass_kg"),
        lightest_kg=given.number("lightest_kg"),
        where=where,
        allowances=_allowances(given),
        length_m=reach,
        absorber=_absorber(system),
        obstacles=tuple(_obstacle(row) for row in given.rows("obstacles")),
        held=read_held(given),
        row=read_row(given),
        limits=limits or SwingPolicy(),
    )
    given.end()
    return _swung(case, aside) if aside else case


def _place(given: Given, where: str) -> Place:
    """Without the drop of a swing, which depends on the place."""
    line, users = _line(given)
    place = Place(
        anchor_m=given.must("anchor_m"),
        below=tuple(_below(row) for row in given.rows("below")),
        attachment_m=given.number_or("attachment_m", ATTACHMENT_M.value),
        sling_m=given.number_or("sling_m", 0),
        crouch_m=given.number_or("crouch_m", 0),
        over_edge=given.flag("over_edge"),
        setback_m=given.number("setback_m"),
        anchor_gives=tuple(_gives(given, line, users, where)),
        lifeline=line,
        line_users=users,
    )
    within("crouch_m", place.crouch_m, 0, place.attachment_m)
    within("sling_m", place.sling_m, 0, 5)
    return place


def _below(row: Given) -> Below:
    found = Below(row.text("name"), within(row.field("depth_m"), row.number("depth_m"), 0, 1000))
    row.end()
    return found


def _gives(given: Given, line: Lifeline | None, users: float, where: str) -> list[Part]:
    """What the anchor comes down by under load: its own stretch, and the sag of a lifeline."""
    found = []
    stretch = given.number_or("anchor_stretch_m", 0)
    if stretch:
        found.append(Part("anchor-stretch", stretch, GIVEN))
    if line is not None:
        found.append(sag_part(line, FORCE_LIMITS_N[where].value, users))
    return found


def _line(given: Given) -> tuple[Lifeline | None, float]:
    """With how many fall on it at once."""
    told = given.inner("lifeline")
    if told is None:
        return None, 1
    found, users = _lifeline(told), told.number_or("users", 1)
    told.end()
    return found, users


def _lifeline(line: Given) -> Lifeline:
    force, stroke = line.number("absorber_force_n"), line.number("absorber_stroke_m")
    absorber = None
    if force is not None or stroke is not None:
        absorber = InLineAbsorber(line.must("absorber_force_n"), line.must("absorber_stroke_m"))
    return Lifeline(
        span_m=line.must("span_m"),
        modulus_n=line.must("modulus_n"),
        tension_n=line.number_or("tension_n", 0),
        sag_m=line.number_or("sag_m", 0),
        total_m=line.number("total_m"),
        absorber=absorber,
    )


def swing_of(place: Place, offset_m: float, fixed_m: float | None, limits: SwingPolicy) -> Swing:
    """A lanyard swings at its full length (`fixed_m`), whatever it hung at before; a line that pays out
    swings at the length it had, below a sling that hung straight."""
    if fixed_m is not None:
        aside = length("offset_m", offset_m, 0, fixed_m)
        return swing(sqrt(fixed_m * fixed_m - aside * aside), aside, limits)
    heights = place.heights
    pivot = heights.anchor_m - place.sling_m
    return swing(max(0.0, pivot - heights.attachment_m), offset_m, limits)


def _swung(case: FallCase, aside_m: float) -> FallCase:
    """The swing of whoever stands upright is the widest and fastest. The drop counts where the line
    pays out, from where they are lowest; a lanyard's own length holds it already."""
    swung = replace(case, swing=case.swing_at(aside_m))
    if case.on_lanyard:
        return swung
    drop = case.swing_at(aside_m, case.place).drop_m
    return replace(swung, place=replace(case.place, swing_m=drop))


def _system(code: str, given: Given, reach: float | None) -> System | None:
    """Only what the system asks for may be given, so that nothing is lost in silence."""
    if code == "no-absorber":
        return None
    if code == "lanyard":
        return _lanyard(given, reach)
    if code == "retractable":
        return _retractable(given)
    return Guided(
        line=code.removeprefix("guided-"),
        line_stretch_m=given.number("line_stretch_m"),
        arrest=_figure(given, "arrest_m"),
        **_limits(given),
    )


def _lanyard(given: Given, reach: float | None) -> Lanyard:
    return Lanyard(
        length_m=within("length_m", reach, 0, 10),
        rule=given.one_of("rule", tuple(ABSORBER_RULES)),
        extension=_figure(given, "extension_m"),
        force_n=given.number("force_n"),
        max_free_fall_m=given.number("max_free_fall_m"),
        **_limits(given),
    )


def _retractable(given: Given) -> Retractable:
    return Retractable(
        rule=given.one_of("rule", tuple(RETRACTABLE_RULES)),
        arrest=_figure(given, "arrest_m"),
        arrest_below=_figure(given, "arrest_below_m"),
        arrest_edge=_figure(given, "arrest_edge_m"),
        max_below_m=given.number("max_below_m"),
        **_limits(given),
    )


def _limits(given: Given) -> dict[str, Any]:
    """What every product says of itself."""
    return {
        "edge_rated": given.flag("edge_rated"),
        "min_kg": given.number("min_kg"),
        "max_kg": given.number("max_kg"),
        "chart": _chart(given.inner("chart")),
    }


def _figure(given: Given, name: str) -> Figure | None:
    """The maker's figure, where there is one."""
    value = given.number(name)
    return None if value is None else Figure(value, GIVEN)


def _absorber(system: System | None) -> Absorber | None:
    if not isinstance(system, Lanyard) or system.force_n is None:
        return None
    chosen = system.extension or ABSORBER_RULES[system.rule].extension
    return Absorber(system.force_n, chosen.value, min_kg=system.min_kg, max_kg=system.max_kg)


def _allowances(given: Given) -> Allowances:
    def or_else(name: str, figure: Figure) -> Figure:
        value = given.number(name)
        return figure if value is None or value == figure.value else Figure(value, GIVEN)

    return Allowances(or_else("harness_m", HARNESS_M), or_else("margin_m", MARGIN_M))


def _chart(given: Given | None) -> Chart | None:
    if given is None:
        return None
    axes = given.words("axes")
    source, plane = given.text("source"), given.one_of("plane", tuple(Plane))
    includes = frozenset(given.words("includes"))
    rows = tuple(_chart_row(row) for row in given.rows("rows"))
    given.end()
    if not axes or not set(axes) <= set(AXES) or not includes <= set(PARTS_OF_A_PLACE):
        raise Refused("chart.axes", "not-known")
    if not source.strip():
        raise Refused("chart.source", "missing")
    if not rows or any(len(row.at) != len(axes) for row in rows):
        raise Refused("chart.rows", "missing")
    return Chart(source, axes, rows, Plane(plane), includes)


def _chart_row(row: Given) -> ChartRow:
    found = ChartRow(row.numbers("at"), row.must("required_m"))
    row.end()
    return found


def _obstacle(row: Given) -> Obstacle:
    sides = [row.must(name) for name in ("left_m", "right_m", "bottom_m", "top_m")]
    left, right, bottom, top = (
        within(row.field(name), side, -1000, 1000)
        for name, side in zip(("left_m", "right_m", "bottom_m", "top_m"), sides, strict=True)
    )
    if left >= right or bottom >= top:
        raise Refused(row.field("right_m" if left >= right else "top_m"), "out-of-range", left)
    found = block(row.text("name"), left, right, bottom, top)
    row.end()
    return found
