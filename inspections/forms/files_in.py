"""The forms of a file of any kind: the file, then its columns and all that it does not say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from inspections.forms.intake import FileForm as WorkbookForm
from inspections.forms.intake import read_as
from inspections.intake.ways import Question, Way
from inspections.models import Intake
from register.forms.asking import PlainForm, ask_plainly
from register.forms.days import day_field
from register.intake.columns import Guess
from register.intake.wording import letter_of

_ASKED = {"ambiguous", "mixed"}
_MOST_MONTHS = 600


class FileInForm(WorkbookForm):
    """One file; ``suffixes`` are those that the kind takes."""

    def __init__(self, *args: Any, suffixes: str, label: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["file"].label = label
        self.fields["file"].widget.attrs["accept"] = suffixes
        self.fields["file"].help_text = _(
            "%(suffixes)s. It is kept as it is; nothing goes in before you say so."
        ) % {"suffixes": suffixes.replace(",", ", ")}


class QuestionsForm(PlainForm):
    """What each column is, which sheets count, and the way's own questions."""

    def __init__(self, *args: Any, way: Way, intake: Intake, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.way, self.intake = way, intake
        self.guesses = way.mapping(intake)
        self.asked: Sequence[Question] = way.questions(intake)
        self._ask_order()
        for number, sheet in enumerate(intake.seen["sheets"]):
            self._ask_sheet(number, sheet)
        for number, question in enumerate(self.asked):
            self.fields[f"q-{number}"] = _field_of(question)
        ask_plainly(self)

    def _ask_order(self) -> None:
        """Only where the file's own dates do not prove the order: asked once for the file."""
        seen = self.intake.seen
        if seen["order"] not in _ASKED:
            return
        example = next(iter(seen["examples"]), "03/04/2024")
        others = ", ".join(seen["examples"][1:])
        self.fields["date_order"] = forms.ChoiceField(
            label=_("“%s” in this file: which day is it?") % example,
            choices=[(order, read_as(example, order)) for order in ("day-first", "month-first")],
            widget=forms.RadioSelect,
            initial=self.intake.choices.get("date_order", ""),
            help_text=_("Read alike: %s.") % others if others else "",
            error_messages={"required": _("Say which day it is: nothing in the file tells.")},
        )

    def _ask_sheet(self, number: int, sheet: Mapping[str, Any]) -> None:
        found = self.guesses.get(sheet["name"], Guess())
        left_out = self.intake.choices.get("left_out", ())
        self.fields[f"use-{number}"] = forms.BooleanField(
            label=_("Bring this sheet in"),
            required=False,
            initial=bool(found.mapping) and sheet["name"] not in left_out,
        )
        fields = self.way.book.fields.values()
        choices = [("", _(self.way.unnamed))]
        choices += [(one.slug, _(one.name)) for one in fields if one.slug != "ignored"]
        for column, heading in enumerate(found.headings):
            if heading:
                letter = letter_of(column)
                self.fields[f"col-{number}-{column}"] = forms.ChoiceField(
                    label=_("%(name)s, column %(letter)s %(heading)s")
                    % {"name": sheet["name"], "letter": letter, "heading": heading},
                    choices=choices,
                    required=False,
                    initial=found.mapping.get(column, "").replace("ignored", ""),
                )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        used = [n for n, _sheet in enumerate(self.intake.seen["sheets"]) if cleaned.get(f"use-{n}")]
        if not used:
            self.add_error(None, _("Choose at least one sheet to bring in."))
        for number in used:
            self._check_sheet(number, cleaned)
        return cleaned

    def _check_sheet(self, number: int, cleaned: Mapping[str, Any]) -> None:
        """Each field once, and of each group of fields that are needed at least one."""
        taken: dict[str, str] = {}
        for name, slug in tuple(cleaned.items()):
            if not (slug and name.startswith(f"col-{number}-")):
                continue
            letter = letter_of(int(name.rsplit("-", 1)[1]))
            if slug in taken and slug not in self.way.book.repeated:
                told = _("Column %s has this already. Choose one of the two.") % taken[slug]
                self.add_error(name, told)
            taken.setdefault(slug, letter)
        for group in self.way.needed:
            if taken.keys().isdisjoint(group):
                names = " / ".join(_(self.way.book.fields[slug].name) for slug in group)
                told = _("Say which column holds this, or leave the sheet out: %(names)s.")
                self.add_error(f"use-{number}", told % {"names": names})

    def mapping(self) -> dict[str, Guess]:
        """The columns of each sheet as answered; what nobody named stays unknown in a matrix."""
        found = {}
        nothing = "" if self.way.is_matrix else "ignored"
        for number, sheet in enumerate(self.intake.seen["sheets"]):
            guess = self.guesses.get(sheet["name"], Guess())
            columns = {
                column: self.cleaned_data.get(f"col-{number}-{column}") or nothing
                for column, heading in enumerate(guess.headings)
                if heading
            }
            found[sheet["name"]] = guess.changed(columns, self.way.book)
        return found

    def choices(self) -> dict[str, Any]:
        """All else, as the intake keeps it."""
        told = self.cleaned_data
        sheets = enumerate(self.intake.seen["sheets"])
        answers = (told[f"q-{number}"] for number, _question in enumerate(self.asked))
        said = dict(self.intake.choices.get("said", {}))
        for question, answer in zip(self.asked, answers, strict=True):
            said[question.name] = ("yes" if answer else "") if question.asked == "tick" else answer
        return {
            "date_order": told.get("date_order", ""),
            "left_out": [sheet["name"] for number, sheet in sheets if not told[f"use-{number}"]],
            "said": {name: str(value or "") for name, value in said.items()},
        }

    @property
    def sheets(self) -> list[dict[str, Any]]:
        """For the page: each sheet with its own fields and the first cells of each column."""
        found = []
        for number, sheet in enumerate(self.intake.seen["sheets"]):
            columns = [
                {
                    "letter": letter_of(column),
                    "heading": heading,
                    "samples": sheet["samples"][column],
                    "field": self[f"col-{number}-{column}"],
                }
                for column, heading in enumerate(sheet["headings"])
                if f"col-{number}-{column}" in self.fields
            ]
            use = self[f"use-{number}"]
            told = {"name": sheet["name"], "lines": sheet["lines"], "number": number}
            found.append({**told, "use": use, "columns": columns})
        return found

    @property
    def groups(self) -> list[tuple[str, list[forms.BoundField]]]:
        """The way's own questions under their headings."""
        found: dict[str, list[forms.BoundField]] = {}
        for number, question in enumerate(self.asked):
            found.setdefault(question.group, []).append(self[f"q-{number}"])
        return list(found.items())


def _field_of(question: Question) -> forms.Field:
    told: dict[str, Any] = {
        "label": question.label,
        "required": question.is_needed,
        "initial": question.initial,
        "help_text": question.help_text,
    }
    if question.asked == "choice":
        return forms.ChoiceField(choices=question.choices, **told)
    if question.asked == "tick":
        return forms.BooleanField(**{**told, "initial": question.initial == "yes"})
    if question.asked == "day":
        return day_field(**told)
    if question.asked == "number":
        return forms.IntegerField(min_value=1, max_value=_MOST_MONTHS, **told)
    return forms.CharField(max_length=120, **told)
