"""What is put into the sums of a fall: one form for every system, with rows for what is below."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms.boundfield import BoundField
from django.utils.translation import gettext_lazy

from readiness.forms.chart_rows import in_other_units
from readiness.forms.fall_boxes import (
    ALWAYS_CHOSEN,
    FEWEST_ROWS,
    MOST_ROWS,
    ROW_BOXES,
    ROW_LABELS,
    ROW_STARTS,
    ROWS,
    WHOLE_ANEW,
    Box,
    Group,
    anchor_label,
    listed,
)
from readiness.forms.fall_choices import (
    AXES,
    FOLDED,
    GROUPS,
    INCLUDES,
    NEEDED,
    PLANES,
    RULES_OF_LANYARDS,
    RULES_OF_RETRACTABLES,
    SHOWN_FOR,
    SYSTEMS,
    WHERE,
)
from readiness.forms.measures import Measure
from readiness.forms.sums_form import SumsForm
from readiness.wording.lengths import Unit
from register.models import Item, Product


class FallForm(SumsForm):
    """All boxes are blank where nothing better is known than the figure of the trade. They
    are in the units of the page."""

    system = forms.ChoiceField(
        label=gettext_lazy("What catches the fall"),
        choices=SYSTEMS,
        widget=forms.Select(attrs=WHOLE_ANEW),
    )
    product = forms.ModelChoiceField(
        Product.objects.none(),
        required=False,
        label=gettext_lazy("Product"),
        empty_label=gettext_lazy("Not named"),
        widget=forms.Select(attrs={**WHOLE_ANEW, "hx-vals": '{"fill": "product"}'}),
    )
    rule_lanyard = forms.ChoiceField(
        label=gettext_lazy("Lanyard made to"), choices=RULES_OF_LANYARDS, required=False
    )
    rule_retractable = forms.ChoiceField(
        label=gettext_lazy("Device made to"), choices=RULES_OF_RETRACTABLES, required=False
    )
    length_m = Measure(label=gettext_lazy("Length of the lanyard with its connectors"))
    extension_m = Measure(
        label=gettext_lazy("Absorber opens by, from the maker"),
        help_text=gettext_lazy("Blank: the standard’s ceiling."),
    )
    force_n = Measure("force", label=gettext_lazy("Average force of the absorber, from the maker"))
    max_free_fall_m = Measure(label=gettext_lazy("Free fall it is made for"))
    arrest_m = Measure(
        label=gettext_lazy("Arrest distance, from the maker"),
        help_text=gettext_lazy("Blank: the standard’s ceiling."),
    )
    arrest_below_m = Measure(
        label=gettext_lazy("Arrest distance below the attachment, from the maker")
    )
    max_below_m = Measure(
        label=gettext_lazy("How far below the attachment it may hang, from the maker")
    )
    arrest_edge_m = Measure(label=gettext_lazy("Arrest distance over an edge, from the maker"))
    line_stretch_m = Measure(
        label=gettext_lazy("Stretch of the line above the arrester"),
        help_text=gettext_lazy("0 is an answer."),
    )
    min_kg = Measure("mass", label=gettext_lazy("Made for, from"))
    max_kg = Measure("mass", label=gettext_lazy("Made for, to"))
    edge_rated = forms.BooleanField(
        required=False, label=gettext_lazy("Marked for a fall over an edge")
    )

    mass_kg = Measure("mass", label=gettext_lazy("Heaviest person with tools"))
    lightest_kg = Measure("mass", label=gettext_lazy("Lightest person with tools"))

    anchor = forms.ModelChoiceField(
        Item.objects.none(),
        required=False,
        label=gettext_lazy("Anchor"),
        empty_label=gettext_lazy("Not named"),
    )
    anchor_m = Measure(
        label=gettext_lazy("Anchor above the walking surface"),
        help_text=gettext_lazy("Negative below the feet."),
    )
    attachment_m = Measure(
        label=gettext_lazy("Attachment above the feet"), help_text=gettext_lazy("Blank: 1.5 m.")
    )
    crouch_m = Measure(label=gettext_lazy("Kneeling or crouching lowers it by"))
    sling_m = Measure(label=gettext_lazy("Anchor sling"))
    anchor_stretch_m = Measure(label=gettext_lazy("Anchor gives under load by"))
    over_edge = forms.BooleanField(
        required=False, label=gettext_lazy("The line would run over an edge")
    )
    setback_m = Measure(label=gettext_lazy("Anchor back from the edge"))

    lifeline = forms.BooleanField(
        required=False,
        label=gettext_lazy("Held by a horizontal lifeline"),
        help_text=gettext_lazy("The height of the anchor is then that of its ends."),
        widget=forms.CheckboxInput(attrs=WHOLE_ANEW),
    )
    line_span_m = Measure(label=gettext_lazy("Span, one bay"))
    line_total_m = Measure(label=gettext_lazy("Whole length, if over several bays"))
    line_modulus_n = Measure(
        "force",
        label=gettext_lazy("Stiffness EA of the line"),
        help_text=gettext_lazy("From whoever designed it."),
    )
    line_tension_n = Measure("force", label=gettext_lazy("Tension before the fall"))
    line_sag_m = Measure(label=gettext_lazy("Sag before the fall"))
    line_absorber_force_n = Measure(
        "force", label=gettext_lazy("Absorber in the line gives way at")
    )
    line_absorber_stroke_m = Measure(label=gettext_lazy("and opens by"))
    line_users = Measure("", label=gettext_lazy("People falling at once"))

    anchor_rating_n = Measure(
        "force",
        label=gettext_lazy("Rated, by its plate or its papers"),
        help_text=gettext_lazy("In the direction of this load; of a lifeline, its ends."),
    )
    anchor_users = Measure(
        "", label=gettext_lazy("People on it at once"), help_text=gettext_lazy("Blank: 1.")
    )
    anchor_textile = forms.BooleanField(required=False, label=gettext_lazy("It is of textile"))

    row_runs = forms.BooleanField(
        required=False, label=gettext_lazy("It runs from the first to the last: a rail or a line")
    )
    row_from_m = Measure(label=gettext_lazy("Work along the row, from"))
    row_to_m = Measure(label=gettext_lazy("Work along the row, to"))
    row_aside_m = Measure(label=gettext_lazy("Work beside the row by"))

    offset_m = Measure(label=gettext_lazy("Work to one side of the anchor"))
    harness_m = Measure(
        label=gettext_lazy("Harness stretch and slide"), help_text=gettext_lazy("Blank: 0.5 m.")
    )
    margin_m = Measure(
        label=gettext_lazy("Margin"), help_text=gettext_lazy("Blank: 1 m. Never less than 0.5 m.")
    )
    where = forms.ChoiceField(label=gettext_lazy("Limits of load as in"), choices=WHERE)

    chart_source = forms.CharField(
        required=False, max_length=200, label=gettext_lazy("Where its chart was read")
    )
    chart_axes = forms.MultipleChoiceField(
        required=False,
        choices=AXES,
        label=gettext_lazy("The chart goes by"),
        widget=forms.CheckboxSelectMultiple,
    )
    chart_plane = forms.ChoiceField(
        required=False, choices=PLANES, label=gettext_lazy("Its clearance is measured")
    )
    chart_includes = forms.MultipleChoiceField(
        required=False,
        choices=INCLUDES,
        label=gettext_lazy("Its figures hold already"),
        widget=forms.CheckboxSelectMultiple,
    )
    chart_rows = forms.CharField(
        required=False,
        label=gettext_lazy("Its rows"),
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy(
            "One line a row: a figure for each thing it goes by, in the order above, then the clearance."
        ),
    )

    LEAST = dict.fromkeys(ROWS, FEWEST_ROWS)
    MOST = MOST_ROWS

    def __init__(
        self, *args: Any, products: QuerySet[Product], anchors: QuerySet[Item], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.fields["product"].queryset = products  # type: ignore[attr-defined]
        self.fields["anchor"].queryset = anchors  # type: ignore[attr-defined]
        self.fields["anchor"].label_from_instance = anchor_label  # type: ignore[attr-defined]
        for name in NEEDED.get(self.chosen("system"), ()):
            self.fields[name].required = True

    def row_fields(self, kind: str, number: int) -> dict[str, forms.Field]:
        return {column: _row_field(column, ROW_LABELS[kind, column]) for column in ROWS[kind]}

    def in_units(self, units: Unit) -> dict[str, Any]:
        """With the rows of the chart, whose figures stand in one box: left as they are they would be read
        in the other units."""
        axes = listed(self.data, "chart_axes")
        told = super().in_units(units)
        if rows := told.get("chart_rows"):
            told["chart_rows"] = in_other_units(rows, axes, self.units, units)
        return told

    def chosen(self, name: str) -> str:
        """What is chosen now, checked or not."""
        return str(self[name].value() or "")

    @property
    def shown(self) -> frozenset[str]:
        """The boxes that the chosen system asks for; what was typed in others is carried along."""
        names = set(SHOWN_FOR.get(self.chosen("system"), SHOWN_FOR["lanyard"]))
        if not self["lifeline"].value():
            names -= {name for name in names if name.startswith("line_")} - {"line_stretch_m"}
        return frozenset(names)

    def groups(self) -> Iterator[Group]:
        """The boxes shown, under their headings."""
        for slug, heading, names in GROUPS:
            found = [self.box(name) for name in names if name in self.shown]
            if found:
                yield Group(slug, str(heading), found, slug in FOLDED and not self._says(names))

    def _says(self, names: tuple[str, ...]) -> bool:
        """Whether something stands in one of the boxes, or is wrong with it."""
        told = [name for name in names if name not in ALWAYS_CHOSEN and name in self.shown]
        return any(self[name].value() or self[name].errors for name in told)

    def is_clear_aside(self) -> bool:
        """Nothing is said of obstacles."""
        rows = [box.field for row in self.obstacle_rows() for box in row]
        return not any(field.value() or field.errors for field in rows)

    def aside(self) -> Box:
        return self.box("offset_m")

    def carried(self) -> list[BoundField]:
        """Boxes not shown, as hidden ones; so that nothing typed is lost."""
        hidden = [name for name in self.base_fields if name not in self.shown]
        if self.chosen("system") == "no-absorber":
            hidden += [name for name in self.fields if name.startswith(ROW_STARTS)]
        return [self[name] for name in hidden]

    def along(self) -> list[Box]:
        """The boxes of the work along a row."""
        return [self.box(name) for name in ROW_BOXES]

    def is_clear_along(self) -> bool:
        """Nothing is said of a row."""
        fields = [box.field for row in self.point_rows() for box in row]
        fields += [box.field for box in self.along()]
        return not any(field.value() or field.errors for field in fields)

    def point_rows(self) -> list[list[Box]]:
        return self._rows_of("point")

    def below_rows(self) -> list[list[Box]]:
        return self._rows_of("below")

    def obstacle_rows(self) -> list[list[Box]]:
        return self._rows_of("obstacle")

    def _rows_of(self, kind: str) -> list[list[Box]]:
        if self.chosen("system") == "no-absorber":
            return []
        return [
            [self.box(f"{kind}_{column}_{number}") for column in ROWS[kind]]
            for number in range(self.counts[kind])
        ]

    def boxes(self) -> list[BoundField]:
        """Every box shown, for what is said beside each."""
        kinds = (*self.below_rows(), *self.obstacle_rows(), *self.point_rows())
        rows = [box.field for row in kinds for box in row]
        return [*(self[name] for name in self.base_fields if name in self.shown), *rows]


def _row_field(column: str, label: Any) -> forms.Field:
    if column == "name":
        return forms.CharField(required=False, max_length=60, label=label)
    return Measure(label=label)
