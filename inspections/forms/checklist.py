"""The checklist as a form: one statement on the points as a whole, single answers, measurements."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.checklist_wording import how_words, if_not_words, worded
from inspections.rules.checklists import ANSWERS, Answers, Checklist, Part, Point, for_kind, hash_of
from register.forms.asking import PlainForm
from register.forms.figures import ExactField
from register.models import KitPart

PREFIX = "check"
FIGURE = {"inputmode": "decimal", "autocomplete": "off"}


@dataclass(frozen=True, slots=True)
class Asked:
    """A point as it stands on the page, with its fields."""

    point: Point
    how: str
    if_not: str
    answer: forms.BoundField
    figure: forms.BoundField | None


class ChecklistForm(PlainForm):
    """The points for one kind of inspection, part by part. Nothing is ticked beforehand."""

    rest_good = forms.BooleanField(
        label=gettext_lazy("All other points looked at, good"), required=False
    )

    def __init__(self, *args: Any, checklist: Checklist, kind: str, **kwargs: Any) -> None:
        self.checklist, self.asked = checklist, for_kind(worded(checklist), kind)
        super().__init__(*args, prefix=PREFIX, **kwargs)
        for point in self.asked.points:
            self.fields[f"answer-{point.slug}"] = forms.ChoiceField(
                label=point.look,
                choices=[(slug, _(name)) for slug, name in ANSWERS.items()],
                widget=forms.RadioSelect,
                required=False,
            )
            if point.how == "measure":
                self.fields[f"measured-{point.slug}"] = _figure(point)

    @property
    def version(self) -> str:
        """The hash that comes back with the answers, so that they meet the list that was shown."""
        return hash_of(self.checklist)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        shown = self.data.get(self.add_prefix("version"), self.version)
        if shown != self.version:
            raise forms.ValidationError(
                _("The checklist has changed since this page was shown. Look through it once more.")
            )
        return cleaned

    @property
    def parts(self) -> list[tuple[Part, list[Asked], bool]]:
        """Each part with its points, and whether something was said in it."""
        return [
            (part, [self._asked(point) for point in part.points], self._is_open(part))
            for part in self.asked.parts
        ]

    def _asked(self, point: Point) -> Asked:
        figure = f"measured-{point.slug}"
        return Asked(
            point,
            how_words(point),
            if_not_words(point),
            self[f"answer-{point.slug}"],
            self[figure] if figure in self.fields else None,
        )

    def _is_open(self, part: Part) -> bool:
        names = [f"{what}-{p.slug}" for p in part.points for what in ("answer", "measured")]
        return any(self.data.get(self.add_prefix(name)) for name in names)

    @property
    def answers(self) -> Answers:
        told = self.cleaned_data
        points, measured = {}, {}
        for point in self.asked.points:
            if answer := told.get(f"answer-{point.slug}"):
                points[point.slug] = answer
            if (figure := told.get(f"measured-{point.slug}")) is not None:
                measured[point.slug] = Decimal(figure)
        statement = ("rest-good" if points else "all-good") if told["rest_good"] else ""
        return Answers(statement=statement, points=points, measured=measured)


class ContentsForm(PlainForm):
    """The contents card of a kit, each piece ticked by its serial, and the new seal."""

    whole = forms.BooleanField(
        label=gettext_lazy("Not opened: the seal is whole and its number is the one on record"),
        required=False,
    )
    seal = forms.CharField(
        label=gettext_lazy("Number on the new seal"),
        max_length=30,
        required=False,
        help_text=gettext_lazy("Where the kit was opened. Close it, then read the number."),
    )

    def __init__(
        self, *args: Any, parts: Sequence[KitPart], may_stay_shut: bool, **kwargs: Any
    ) -> None:
        super().__init__(*args, prefix="card", **kwargs)
        self.parts = parts
        if not may_stay_shut:
            del self.fields["whole"]
        for part in parts:
            if part.item:
                self.fields[f"seen-{part.pk}"] = forms.BooleanField(
                    label=f"{part.role}: {part.item.shown_code}, {_('serial')} {part.item.serial}",
                    required=False,
                )

    @property
    def lines(self) -> list[forms.BoundField]:
        return [self[f"seen-{part.pk}"] for part in self.parts if part.item]

    @property
    def ticked(self) -> list[str]:
        """The codes of the pieces that were seen."""
        told = self.cleaned_data
        return [part.item.code for part in self.parts if part.item and told[f"seen-{part.pk}"]]


def _figure(point: Point) -> ExactField:
    label = f"{_('Measured')}, {point.unit}" if point.unit else _("Measured")
    return ExactField(
        label=label,
        required=False,
        max_digits=9,
        decimal_places=3,
        min_value=0,
        widget=forms.TextInput(attrs=FIGURE),
        error_messages={"invalid": _("Give a figure, such as 6 or 1.5.")},
    )
