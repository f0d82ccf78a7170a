"""What the forms of planning sums share: boxes with units, and rows that grow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django import forms
from django.forms.boundfield import BoundField
from django.http import HttpRequest, QueryDict

from readiness.forms.fall_boxes import Box, listed, unit_of
from readiness.forms.measures import Measure, from_si, to_si
from readiness.rules.sums.values import Refused
from readiness.wording.lengths import Unit
from readiness.wording.sums import refusal_sentence


class SumsForm(forms.Form):
    """`units` are those of the page; `counts` says how many rows of each kind there are. A box of a
    row is called 'kind_column_number'."""

    LEAST: ClassVar[Mapping[str, int]] = {}
    MOST: ClassVar[int] = 40

    def __init__(self, *args: Any, units: Unit, counts: Mapping[str, int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.units = units
        self.counts = {
            kind: min(max(counts.get(kind, 0), least), self.MOST)
            for kind, least in self.LEAST.items()
        }
        for kind, count in self.counts.items():
            for number in range(count):
                for column, field in self.row_fields(kind, number).items():
                    self.fields[f"{kind}_{column}_{number}"] = field

    def row_fields(self, kind: str, number: int) -> dict[str, forms.Field]:
        """The boxes of one row, by column."""
        raise NotImplementedError

    def box(self, name: str) -> Box:
        return Box(self[name], unit_of(self[name], self.units))

    def boxes(self) -> list[BoundField]:
        """Every box, for what is said beside it."""
        return [self[name] for name in self.fields]

    def cell(self, kind: str, column: str, number: int) -> str:
        return f"{kind}_{column}_{number}"

    def rows_with(self, kind: str, columns: Sequence[str]) -> list[int]:
        """The rows in which any of these boxes holds something."""
        return [
            number
            for number in range(self.counts[kind])
            if any(self.said(self.cell(kind, column, number)) for column in columns)
        ]

    def said(self, name: str) -> bool:
        """Whether a box holds anything; 0 is something."""
        value = self.cleaned_data.get(name)
        return value is not None and value is not False and value != ""

    def si(self, name: str) -> float | None:
        """What stands in a box, in SI units; None where it is blank or not a figure."""
        value, field = self.cleaned_data.get(name), self.fields[name]
        if value is None or not isinstance(field, Measure):
            return None
        return to_si(field.kind, value, self.units)

    def in_units(self, units: Unit) -> dict[str, Any]:
        """All that was typed, told in other units; what is no figure stays as it was typed."""
        told: dict[str, Any] = {}
        for name, field in self.fields.items():
            is_list = isinstance(field, forms.MultipleChoiceField)
            value = listed(self.data, name) if is_list else self.data.get(name)
            if isinstance(field, Measure) and (figure := self.si(name)) is not None:
                value = from_si(field.kind, figure, units)
            if value not in (None, "", []):
                told[name] = value
        return told

    def refuse(self, refused: Refused, box: str | None) -> None:
        """Beside its box where there is one, else over the form."""
        told = refusal_sentence(refused, in_feet=self.units == "ft")
        self.add_error(box if box in self.fields else None, told)


def as_data(told: Mapping[str, Any]) -> QueryDict:
    data = QueryDict(mutable=True)
    for name, value in told.items():
        data.setlist(name, value if isinstance(value, list) else [value])
    return data


def counted(told: Mapping[str, Any], kind: str) -> int:
    """The rows of a kind that are there."""
    numbers = [name.rpartition("_")[2] for name in told if name.startswith(f"{kind}_")]
    return max((int(one) for one in numbers if one.isdigit()), default=-1) + 1


def asked_units(request: HttpRequest) -> Unit:
    """As the page was, or as it was last chosen."""
    asked = request.POST.get("units") or request.GET.get("units") or request.session.get("units")
    return "ft" if asked == "ft" else "m"


def other_units(request: HttpRequest) -> Unit | None:
    """The units that a button asks for; remembered."""
    asked = request.POST.get("to_units")
    if asked is None:
        return None
    request.session["units"] = "ft" if asked == "ft" else "m"
    return "ft" if asked == "ft" else "m"
