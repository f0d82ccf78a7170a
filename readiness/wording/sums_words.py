"""Names of what the planning sums ask for and answer with."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from readiness.wording.sums_fields import RESCUE_FIELDS, shape_name

# What a field is, its unit as shown, and what its own unit is divided by.
_FIELDS: dict[str, tuple[str, str, float]] = {
    "anchor_m": (gettext_noop("the height of the anchor above the walking surface"), "m", 1),
    "attachment_m": (gettext_noop("the height of the harness attachment above the feet"), "m", 1),
    "below": (gettext_noop("the depth of what lies below"), "m", 1),
    "crouch_m": (gettext_noop("how much lower than standing the attachment is"), "m", 1),
    "sling_m": (gettext_noop("the length of the anchor sling"), "m", 1),
    "swing_m": (gettext_noop("the drop of the swing"), "m", 1),
    "setback_m": (gettext_noop("the distance from the anchor to the edge"), "m", 1),
    "harness": (gettext_noop("the stretch and slide of the harness"), "m", 1),
    "margin": (gettext_noop("the margin"), "m", 1),
    "over_edge": (gettext_noop("the line over an edge"), "", 1),
    "mass_kg": (gettext_noop("the mass of the person with tools"), "kg", 1),
    "min_kg": (gettext_noop("the least mass the product is made for"), "kg", 1),
    "max_kg": (gettext_noop("the largest mass the product is made for"), "kg", 1),
    "length_m": (gettext_noop("the length of the line"), "m", 1),
    "extension": (gettext_noop("the extension of the absorber"), "m", 1),
    "free_fall_m": (gettext_noop("the free fall"), "m", 1),
    "max_free_fall_m": (gettext_noop("the free fall the product is made for"), "m", 1),
    "max_below_m": (gettext_noop("how far below the attachment the device may hang"), "m", 1),
    "arrest": (gettext_noop("the arrest distance"), "m", 1),
    "line": (gettext_noop("the kind of line"), "", 1),
    "line_stretch_m": (gettext_noop("the stretch of the flexible line"), "m", 1),
    "anchor-stretch": (gettext_noop("how far the anchor gives"), "m", 1),
    "lifeline-sag": (gettext_noop("the sag of the lifeline"), "m", 1),
    "rule": (gettext_noop("the standard"), "", 1),
    "chart": (gettext_noop("the product's chart"), "m", 1),
    "material": (gettext_noop("the material of the line"), "", 1),
    "modulus_n": (gettext_noop("the stiffness of the line (EA)"), "kN", 1000),
    "fall_factor": (gettext_noop("the fall factor"), "", 1),
    "peak_n": (gettext_noop("the peak force"), "kN", 1000),
    "force_n": (gettext_noop("the force of the absorber"), "kN", 1000),
    "stroke_m": (gettext_noop("the extension there is in the absorber"), "m", 1),
    "stiffness": (gettext_noop("the stiffness behind the absorber"), "kN/m", 1000),
    "stop": (gettext_noop("the stopping distance"), "", 1),
    "rating_n": (gettext_noop("the rating of the anchor"), "kN", 1000),
    "anchor_rating_n": (gettext_noop("the rating of the anchor"), "kN", 1000),
    "anchor_users": (gettext_noop("how many are on the anchor at once"), "", 1),
    "anchor_textile": (gettext_noop("an anchor of textile"), "", 1),
    "swing_deg": (gettext_noop("the angle of the swing"), "°", 1),
    "row": (gettext_noop("the anchors along the row"), "", 1),
    "at_m": (gettext_noop("the place of an anchor along the row"), "m", 1),
    "from_m": (gettext_noop("where the work along the row begins"), "m", 1),
    "to_m": (gettext_noop("where the work along the row ends"), "m", 1),
    "aside_m": (gettext_noop("how far beside the row the work is"), "m", 1),
    "users": (gettext_noop("the number of people"), "", 1),
    "where": (gettext_noop("the place whose rules hold"), "", 1),
    "span_m": (gettext_noop("the span of the lifeline"), "m", 1),
    "total_m": (gettext_noop("the whole length of the lifeline"), "m", 1),
    "span": (gettext_noop("the span of the lifeline"), "", 1),
    "sag": (gettext_noop("the sag of the lifeline"), "", 1),
    "sag_m": (gettext_noop("how far the unloaded lifeline hangs"), "m", 1),
    "sag_angle_deg": (gettext_noop("the angle of the lifeline below the horizontal"), "°", 1),
    "tension_n": (gettext_noop("the tension of the unloaded lifeline"), "kN", 1000),
    "in_line_absorber": (gettext_noop("the extension of the absorber in the line"), "m", 1),
    "absorber_force_n": (gettext_noop("the force of the absorber in the line"), "kN", 1000),
    "absorber_stroke_m": (gettext_noop("the extension of the absorber in the line"), "m", 1),
    "system": (gettext_noop("what catches the fall"), "", 1),
    "lightest_kg": (gettext_noop("the mass of the lightest person"), "kg", 1),
    "offset_m": (gettext_noop("how far the work is to one side of the anchor"), "m", 1),
    "extension_m": (gettext_noop("the extension of the absorber"), "m", 1),
    "arrest_m": (gettext_noop("the arrest distance"), "m", 1),
    "arrest_below_m": (gettext_noop("the arrest distance below the attachment"), "m", 1),
    "arrest_edge_m": (gettext_noop("the arrest distance over an edge"), "m", 1),
    "harness_m": (gettext_noop("the stretch and slide of the harness"), "m", 1),
    "margin_m": (gettext_noop("the margin"), "m", 1),
    "depth_m": (gettext_noop("the depth of what lies below"), "m", 1),
    "left_m": (gettext_noop("where an obstacle begins"), "m", 1),
    "right_m": (gettext_noop("where an obstacle ends"), "m", 1),
    "bottom_m": (gettext_noop("the underside of an obstacle"), "m", 1),
    "top_m": (gettext_noop("the top of an obstacle"), "m", 1),
    "obstacles": (gettext_noop("what stands in the way of the swing"), "", 1),
    "required_m": (gettext_noop("a figure of the product's chart"), "m", 1),
    "axes": (gettext_noop("what the product's chart goes by"), "", 1),
    "rows": (gettext_noop("the rows of the product's chart"), "", 1),
    "source": (gettext_noop("where the product's chart was read"), "", 1),
    "format": (gettext_noop("the format of the figures kept"), "", 1),
} | RESCUE_FIELDS

_PARTS = {
    "lanyard": gettext_noop("lanyard"),
    "extension": gettext_noop("absorber extension"),
    "body": gettext_noop("body below the attachment"),
    "free-fall": gettext_noop("fall before the line is out"),
    "arrest": gettext_noop("arrest distance"),
    "line-stretch": gettext_noop("stretch of the line"),
    "sling": gettext_noop("anchor sling"),
    "anchor-stretch": gettext_noop("anchor gives"),
    "lifeline-sag": gettext_noop("sag of the lifeline"),
    "harness": gettext_noop("harness stretch and slide"),
    "crouch": gettext_noop("crouching or kneeling"),
    "swing": gettext_noop("drop of the swing"),
    "margin": gettext_noop("margin"),
    "chart": gettext_noop("the product's own chart"),
}

_PLANES = {
    "anchor": gettext_noop("below the anchor"),
    "attachment": gettext_noop("below the harness attachment before the fall"),
    "surface": gettext_noop("below the walking surface"),
}

_STATUS = {
    "read": gettext_noop("read in the source"),
    "read-2": gettext_noop("read second hand"),
    "from memory, to be verified": gettext_noop("from memory, to be verified"),
    "common practice, no source": gettext_noop("common practice, no source"),
    "policy": gettext_noop("the employer's own figure"),
    "computed": gettext_noop("computed"),
    "given": gettext_noop("as given"),
}


def field_name(field: str) -> str:
    """What is asked for; a field without words of its own is told as it is. Of 'below.0.depth_m',
    the last part says it; a shape is told with its name."""
    if shape := shape_name(field):
        return shape
    known = _FIELDS.get(field.rpartition(".")[2])
    return field if known is None else _(known[0])


def field_unit(field: str) -> tuple[str, float]:
    """The unit shown ('' for none) and what the field's own figure is divided by for it."""
    known = _FIELDS.get(field.rpartition(".")[2])
    return ("", 1) if known is None else known[1:]


def part_name(code: str) -> str:
    return _(_PARTS[code])


def plane_name(plane: str) -> str:
    return _(_PLANES[plane])


def status_name(status: str) -> str:
    return _(_STATUS[status])
