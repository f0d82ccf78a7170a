"""The choices of the form of a fall, and which boxes each system asks for."""

from __future__ import annotations

from typing import Final

from django.utils.translation import gettext_lazy

from readiness.forms.fall_boxes import ROW_BOXES

SYSTEMS: Final = [
    ("lanyard", gettext_lazy("Lanyard with an energy absorber")),
    (
        "retractable",
        gettext_lazy("Retractable: overhead, at the shoulder, below it, or over an edge"),
    ),
    ("guided-rigid", gettext_lazy("Arrester guided on a rigid line")),
    ("guided-flexible", gettext_lazy("Arrester guided on a flexible line")),
    ("no-absorber", gettext_lazy("Textile lanyard without an absorber: a warning only")),
]
RULES_OF_LANYARDS: Final = [
    ("en-355", gettext_lazy("EN 355")),
    ("osha", gettext_lazy("29 CFR 1926.502")),
    ("ansi-z359-13-6ft", gettext_lazy("ANSI Z359.13, 6 ft")),
    ("ansi-z359-13-12ft", gettext_lazy("ANSI Z359.13, 12 ft")),
]
RULES_OF_RETRACTABLES: Final = [
    ("en-360", gettext_lazy("EN 360")),
    ("as-nzs-1891", gettext_lazy("AS/NZS 1891.3")),
    ("ansi-z359-14-2021-1", gettext_lazy("ANSI/ASSP Z359.14-2021, class 1")),
    ("ansi-z359-14-2021-2", gettext_lazy("ANSI/ASSP Z359.14-2021, class 2")),
    ("ansi-z359-14-2014-a", gettext_lazy("ANSI Z359.14-2014, class A")),
    ("ansi-z359-14-2014-b", gettext_lazy("ANSI Z359.14-2014, class B")),
]
WHERE: Final = [
    ("en", gettext_lazy("Europe, Great Britain (EN)")),
    ("queensland", gettext_lazy("Queensland")),
    ("us", gettext_lazy("United States (OSHA)")),
]
AXES: Final = [
    ("anchor_m", gettext_lazy("height of the anchor")),
    ("mass_kg", gettext_lazy("mass of the person")),
    ("free_fall_m", gettext_lazy("free fall")),
    ("setback_m", gettext_lazy("distance from the edge")),
]
PLANES: Final = [
    ("surface", gettext_lazy("below the walking surface")),
    ("anchor", gettext_lazy("below the anchor")),
    ("attachment", gettext_lazy("below the harness attachment before the fall")),
]
INCLUDES: Final = [
    ("harness", gettext_lazy("harness stretch")),
    ("margin", gettext_lazy("a margin")),
    ("sling", gettext_lazy("the anchor sling")),
    ("crouch", gettext_lazy("crouching")),
    ("swing", gettext_lazy("the drop of a swing")),
    ("lifeline-sag", gettext_lazy("the sag of the lifeline")),
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
_HELD: Final = ("anchor_rating_n", "anchor_users", "anchor_textile")
_EDGE: Final = ("over_edge", "setback_m")
_LIFELINE: Final = (
    *("lifeline", "line_span_m", "line_total_m", "line_modulus_n", "line_tension_n"),
    *("line_sag_m", "line_absorber_force_n", "line_absorber_stroke_m", "line_users"),
)
_CHART: Final = ("chart_source", "chart_axes", "chart_plane", "chart_includes", "chart_rows")
_COMMON: Final = (
    *("system", "mass_kg", "lightest_kg", "offset_m", "harness_m", "margin_m", "where"),
    *(*_PRODUCT, *_PLACE, *_EDGE, *_CHART, *_HELD, *ROW_BOXES, "anchor_stretch_m"),
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
        gettext_lazy("What catches the fall"),
        (
            *("system", "product", "rule_lanyard", "rule_retractable", "length_m", "extension_m"),
            *("arrest_m", "line_stretch_m"),
        ),
    ),
    (
        "maker",
        gettext_lazy("More that the maker says"),
        (
            *("force_n", "arrest_below_m", "max_below_m", "arrest_edge_m", "max_free_fall_m"),
            *("min_kg", "max_kg", "edge_rated"),
        ),
    ),
    ("who", gettext_lazy("Who may fall"), ("mass_kg", "lightest_kg")),
    (
        "place",
        gettext_lazy("Where"),
        (*("anchor", "anchor_m"),),
    ),
    (
        "stance",
        gettext_lazy("More of the place"),
        (
            *("attachment_m", "crouch_m", "sling_m", "anchor_stretch_m"),
            *("setback_m", "over_edge"),
        ),
    ),
    ("held", gettext_lazy("What the anchor is rated"), _HELD),
    ("lifeline", gettext_lazy("Horizontal lifeline"), _LIFELINE),
    ("allowed", gettext_lazy("Allowances"), ("harness_m", "margin_m", "where")),
    ("chart", gettext_lazy("The product’s own chart"), _CHART),
]
"""Slug, heading, boxes in order. What is below, and what a swing meets, are rows of their own."""

FOLDED: Final = ("maker", "stance", "held", "lifeline", "allowed", "chart")
"""Groups that are shut while nothing stands in their boxes."""
