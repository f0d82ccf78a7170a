"""Names of what the sums of restraint, swing and rescue ask for."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

_SHAPES = {
    "side": gettext_noop("the edge %(name)s"),
    "area": gettext_noop("the area %(name)s"),
    "anchorage": gettext_noop("the anchorage %(name)s"),
    "obstacle": gettext_noop("the obstacle %(name)s"),
}

RESCUE_REFUSALS: Mapping[str, str] = {
    "too-few-points": gettext_noop("Too few points: %(what)s. Give it all its points%(range)s."),
    "one-anchor": gettext_noop(
        "An anchor is one point. For several, choose a rail or a line, or do the sums for each anchor."
    ),
    "same-place": gettext_noop("Two corners in one place. Take one of them away, or move it."),
    "same-name": gettext_noop(
        "Two edges or areas are called %(name)s. Give each a name of its own."
    ),
    "not-whole": gettext_noop("A whole number, please: %(what)s%(range)s."),
    "outside-rim": gettext_noop(
        "This lies outside the rim that is drawn, where no edge was looked at: %(what)s. Look at the "
        "points again."
    ),
}


def shape_name(field: str) -> str:
    """'area roof light' as 'the area roof light'; '' for what is no shape."""
    kind, _space, name = field.partition(" ")
    return _(_SHAPES[kind]) % {"name": name} if kind in _SHAPES and name else ""


RESCUE_FIELDS: dict[str, tuple[str, str, float]] = {
    "layout": (gettext_noop("the edges and fragile areas around the place of work"), "", 1),
    "points": (gettext_noop("the points of the anchor, rail or line"), "", 1),
    "corners": (gettext_noop("the corners"), "", 1),
    "areas": (gettext_noop("the openings and fragile areas"), "", 1),
    "x_m": (gettext_noop("where a point lies, along"), "m", 1),
    "y_m": (gettext_noop("where a point lies, across"), "m", 1),
    "name": (gettext_noop("its name"), "", 1),
    "anchorage": (gettext_noop("the anchor, rail or line that the lanyard is tied to"), "", 1),
    "lanyard_m": (gettext_noop("the longest the lanyard can be set"), "m", 1),
    "reach_m": (gettext_noop("how far somebody can get from the line"), "m", 1),
    "body_m": (gettext_noop("what the body reaches past its attachment"), "m", 1),
    "deflection_m": (gettext_noop("how far the line gives sideways"), "m", 1),
    "vertical_m": (gettext_noop("how far the attachment lies below the anchor"), "m", 1),
    "offset_m": (gettext_noop("how far to one side of the anchor somebody stands"), "m", 1),
    "angle_deg": (gettext_noop("the angle of the line from plumb"), "°", 1),
    "most_deg": (gettext_noop("the largest angle the employer allows"), "°", 1),
    "spare_m": (gettext_noop("what the clearance leaves"), "m", 1),
    "radius_m": (gettext_noop("the radius of the zone below an anchor"), "m", 1),
    "aside_m": (gettext_noop("how far the work runs beside the anchors"), "m", 1),
    "line_m": (gettext_noop("the length of line that is out"), "m", 1),
    "stretch_m": (gettext_noop("by how much the line may grow"), "m", 1),
    "height_m": (gettext_noop("the height of the descent"), "m", 1),
    "to_device_m": (gettext_noop("the distance from the anchor to the device"), "m", 1),
    "tail_m": (gettext_noop("the rope left over at the end"), "m", 1),
    "ratio": (gettext_noop("the ratio of the haul"), "", 1),
    "separation_m": (gettext_noop("how far the two blocks are apart"), "m", 1),
    "need_m": (gettext_noop("the rope that is needed"), "m", 1),
    "actual_m": (gettext_noop("the length of the rope as it is today"), "m", 1),
    "max_height_m": (gettext_noop("the greatest height by the maker"), "m", 1),
    "pole_m": (gettext_noop("the length of the pole"), "m", 1),
    "to_casualty_m": (gettext_noop("the distance to the casualty's attachment"), "m", 1),
    "efficiency": (gettext_noop("what share of the pull each pulley passes on"), "", 1),
    "load": (gettext_noop("the load"), "", 1),
    "lift_m": (gettext_noop("how far the casualty is lifted"), "m", 1),
    "load_kg": (gettext_noop("the load"), "kg", 1),
    "casualty_kg": (gettext_noop("the mass of the casualty with tools"), "kg", 1),
    "rescuer_kg": (gettext_noop("the mass of the rescuer on the same rope"), "kg", 1),
    "heaviest_kg": (gettext_noop("the heaviest person with tools"), "kg", 1),
    "lightest_kg": (gettext_noop("the lightest person with tools"), "kg", 1),
    "components": (gettext_noop("the components of the kit"), "", 1),
    "times": (gettext_noop("the number of descents"), "", 1),
    "used": (gettext_noop("the number of descents made"), "", 1),
    "energy_j": (gettext_noop("the energy of the descender"), "J", 1),
    "en341_class": (gettext_noop("the class of the descender, A to D"), "", 1),
    "slowest_m_s": (gettext_noop("the slowest speed of descent"), "m/s", 1),
    "fastest_m_s": (gettext_noop("the fastest speed of descent"), "m/s", 1),
    "rope_m_s": (gettext_noop("the speed at which rope is pulled in"), "m/s", 1),
    "lower_m": (gettext_noop("how far the casualty is lowered"), "m", 1),
    "lower_m_s": (gettext_noop("the speed of lowering"), "m/s", 1),
    "alarm_s": (gettext_noop("the time until the alarm is raised"), "s", 1),
    "reach_s": (gettext_noop("the time until kit and rescuer are there"), "s", 1),
    "rig_s": (gettext_noop("the time to rig the kit"), "s", 1),
    "drill_s": (gettext_noop("the time of the drill"), "s", 1),
    "target_minutes": (gettext_noop("the plan's target"), "min", 1),
    "study": (gettext_noop("the study"), "", 1),
    "kits": (gettext_noop("the kits"), "", 1),
    "kit": (gettext_noop("the name of a kit"), "", 1),
    "doubled": (gettext_noop("whether the rope is doubled"), "", 1),
    "casualty_m": (gettext_noop("the height at which the casualty hangs"), "m", 1),
    "landing_m": (gettext_noop("the height of the place of safety"), "m", 1),
    "travel_m": (gettext_noop("how far the casualty is brought"), "m", 1),
}
