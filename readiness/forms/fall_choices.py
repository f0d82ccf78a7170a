"""The choices of the form of a fall, and which boxes each system asks for."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext_lazy as _

SYSTEMS: Final = [
    ("lanyard", _("Lanyard with an energy absorber")),
    ("retractable", _("Retractable: overhead, at the shoulder, below it, or over an edge")),
    ("guided-rigid", _("Arrester guided on a rigid line")),
    ("guided-flexible", _("Arrester guided on a flexible line")),
    ("no-absorber", _("Textile lanyard without an absorber: a warning only")),
]
RULES_OF_LANYARDS: Final = [
    ("en-355", "EN 355"),
    ("osha", "29 CFR 1926.502"),
    ("ansi-z359-13-6ft", "ANSI Z359.13, 6 ft"),
    ("ansi-z359-13-12ft", "ANSI Z359.13, 12 ft"),
]
RULES_OF_RETRACTABLES: Final = [
    ("en-360", "EN 360"),
    ("as-nzs-1891", "AS/NZS 1891.3"),
    ("ansi-z359-14-2021-1", "ANSI/ASSP Z359.14-2021, class 1"),
    ("ansi-z359-14-2021-2", "ANSI/ASSP Z359.14-2021, class 2"),
    ("ansi-z359-14-2014-a", "ANSI Z359.14-2014, class A"),
    ("ansi-z359-14-2014-b", "ANSI Z359.14-2014, class B"),
]
WHERE: Final = [
    ("en", _("Europe, Great Britain (EN)")),
    ("queensland", _("Queensland")),
    ("us", _("United States (OSHA)")),
]
AXES: Final = [
    ("anchor_m", _("height of the anchor")),
    ("mass_kg", _("mass of the person")),
    ("free_fall_m", _("free fall")),
    ("setback_m", _("distance from the edge")),
]
PLANES: Final = [
    ("surface", _("below the walking surface")),
    ("anchor", _("below the anchor")),
    ("attachment", _("below the harness attachment before the fall")),
]
INCLUDES: Final = [
    ("harness", _("harness stretch")),
    ("margin", _("a margin")),
    ("sling", _("the anchor sling")),
    ("crouch", _("crouching")),
    ("swing", _("the drop of a swing")),
    ("lifeline-sag", _("the sag of the lifeline")),
]

NEEDED: Final = {
    "lanyard": ("mass_kg", "anchor_m", "length_m", "below_depth_0"),
    "retractable": ("mass_kg", "anchor_m", "below_depth_0"),
    "guided-rigid": ("mass_kg", "anchor_m", "below_depth_0"),
    "guided-flexible": ("mass_kg", "anchor_m", "line_stretch_m", "below_depth_0"),
    "no-absorber": ("mass_kg", "anchor_m", "length_m"),
}
_PRODUCT: Final = ("product", "min_kg", "max_kg", "edge_rated")
_PLACE: Final = ("anchor", "anchor_m", "attachment_m", "crouch_m", "sling_m")
_EDGE: Final = ("over_edge", "setback_m")
_LIFELINE: Final = (
    *("lifeline", "line_span_m", "line_total_m", "line_modulus_n", "line_tension_n"),
    *("line_sag_m", "line_absorber_force_n", "line_absorber_stroke_m", "line_users"),
)
_CHART: Final = ("chart_source", "chart_axes", "chart_plane", "chart_includes", "chart_rows")
_COMMON: Final = (
    *("system", "mass_kg", "lightest_kg", "offset_m", "harness_m", "margin_m", "where"),
    *(*_PRODUCT, *_PLACE, *_EDGE, *_CHART, "anchor_stretch_m"),
)
SHOWN_FOR: Final = {
    "lanyard": (
        *(*_COMMON, *_LIFELINE, "rule_lanyard", "length_m", "extension_m", "force_n"),
        "max_free_fall_m",
    ),
    "retractable": (
        *(*_COMMON, *_LIFELINE, "rule_retractable", "arrest_m", "arrest_below_m", "max_below_m"),
        "arrest_edge_m",
    ),
    "guided-rigid": (*_COMMON, "arrest_m"),
    "guided-flexible": (*_COMMON, "arrest_m", "line_stretch_m"),
    "no-absorber": ("system", "mass_kg", "length_m", "where", *_PLACE),
}

GROUPS: Final = [
    (
        "caught",
        _("What catches the fall"),
        (
            *("system", "product", "rule_lanyard", "rule_retractable", "length_m", "extension_m"),
            *("arrest_m", "line_stretch_m"),
        ),
    ),
    (
        "maker",
        _("More that the maker says"),
        (
            *("force_n", "arrest_below_m", "max_below_m", "arrest_edge_m", "max_free_fall_m"),
            *("min_kg", "max_kg", "edge_rated"),
        ),
    ),
    ("who", _("Who may fall"), ("mass_kg", "lightest_kg")),
    (
        "place",
        _("Where"),
        (*("anchor", "anchor_m"),),
    ),
    (
        "stance",
        _("More of the place"),
        (
            *("attachment_m", "crouch_m", "sling_m", "anchor_stretch_m"),
            *("setback_m", "over_edge"),
        ),
    ),
    ("lifeline", _("Horizontal lifeline"), _LIFELINE),
    ("allowed", _("Allowances"), ("harness_m", "margin_m", "where")),
    ("chart", _("The product’s own chart"), _CHART),
]
"""Slug, heading, boxes in order. What is below, and what a swing meets, are rows of their own."""

FOLDED: Final = ("maker", "stance", "lifeline", "allowed", "chart")
"""Groups that are shut while nothing stands in their boxes."""
