"""The forms of bringing a workbook in: the file, and all that is asked about it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.conf import settings
from django.core.files import File
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.intake.answers import Answers, answers_of
from inspections.models import Intake
from register.forms.asking import PlainForm
from register.intake.columns import Guess
from register.intake.dates import date_of
from register.intake.fields import FIELDS
from register.intake.keys import name_key
from register.intake.wording import letter_of
from register.models import Site
from register.rules.classes import CLASS_CHOICES
from register.wording import named, shown_day

FIELD_CHOICES = [
    ("", gettext_lazy("Not brought in")),
    *named((one.slug, one.name) for one in FIELDS.values() if one.slug != "ignored"),
]
_ASKED = {"ambiguous", "mixed"}


class FileForm(PlainForm):
    """One workbook."""

    file = forms.FileField(
        label=gettext_lazy("Workbook"),
        help_text=gettext_lazy(
            ".xlsx, .ods, .xls or .csv. It is kept as it is; nothing goes in before you say so."
        ),
        widget=forms.FileInput(attrs={"accept": ".xlsx,.ods,.xls,.csv"}),
        error_messages={
            "required": gettext_lazy("Choose a file."),
            "empty": gettext_lazy("There is nothing in the file. Choose the workbook again."),
        },
    )

    def clean_file(self) -> File[bytes]:
        file: File[bytes] = self.cleaned_data["file"]
        most = settings.MAX_UPLOAD_BYTES
        if (file.size or 0) > most:
            raise forms.ValidationError(
                _("The file has %(size)s MB; %(most)s MB is the most. Split it into several files.")
                % {"size": (file.size or 0) >> 20, "most": most >> 20}
            )
        return file


class AnswersForm(PlainForm):
    """What each column is, where each sheet goes, and what the file itself cannot tell."""

    maker = forms.CharField(
        label=gettext_lazy("Maker, for lines that name none"), required=False, max_length=80
    )
    inspector = forms.CharField(
        label=gettext_lazy("Inspector, for inspections that name none"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Without a name an inspection is kept, but moves no date."),
    )
    confirmed = forms.CharField(
        label=gettext_lazy("Serials read off the label"),
        required=False,
        help_text=gettext_lazy("One a line, for serials that are doubted and right all the same."),
        widget=forms.Textarea(attrs={"rows": 3, "spellcheck": "false"}),
    )

    def __init__(self, *args: Any, intake: Intake, sites: Iterable[Site], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.intake = intake
        self.answers: Answers = answers_of(intake)
        self._offered = [(site.code, site.name) for site in sites]
        self._ask_order()
        for number, sheet in enumerate(intake.seen["sheets"]):
            self._ask_sheet(number, sheet)
        self._ask_sites()
        self._ask_classes()
        for name in ("maker", "inspector"):
            self.fields[name].initial = getattr(self.answers, name)
        self.fields["confirmed"].initial = "\n".join(self.answers.confirmed)

    def _ask_order(self) -> None:
        """Only where the file's own dates do not prove the order."""
        seen = self.intake.seen
        if seen["order"] not in _ASKED:
            return
        example = next(iter(seen["examples"]), "03/04/2024")
        choices = [(order, read_as(example, order)) for order in ("day-first", "month-first")]
        others = ", ".join(seen["examples"][1:])
        self.fields["date_order"] = forms.ChoiceField(
            label=_("“%s” in this file: which day is it?") % example,
            choices=choices,
            widget=forms.RadioSelect,
            initial=self.answers.date_order,
            help_text=_("Read alike: %s.") % others if others else "",
            error_messages={"required": _("Say which day it is: nothing in the file tells.")},
        )

    def _ask_sheet(self, number: int, sheet: Mapping[str, Any]) -> None:
        found = self.answers.mapping.get(sheet["name"], Guess())
        self.fields[f"use-{number}"] = forms.BooleanField(
            label=_("Bring this sheet in"),
            required=False,
            initial=bool(found.mapping) and sheet["name"] not in self.answers.left_out,
        )
        self.fields[f"row-{number}"] = forms.IntegerField(
            label=_("Line of the headings"),
            required=False,
            min_value=1,
            max_value=1000,
            initial=found.header_row,
        )
        for column, heading in enumerate(found.headings):
            if heading or sheet["samples"][column : column + 1]:
                letter = letter_of(column)
                self.fields[f"col-{number}-{column}"] = forms.ChoiceField(
                    label=_("%(name)s, column %(letter)s %(heading)s")
                    % {"name": sheet["name"], "letter": letter, "heading": heading},
                    choices=FIELD_CHOICES,
                    required=False,
                    initial=found.mapping.get(column, "").replace("ignored", ""),
                )

    def _ask_sites(self) -> None:
        nowhere = ("", _("No site: its lines stay out"))
        for number, text in enumerate(self.intake.seen["sites"]):
            self.fields[f"site-{number}"] = forms.ChoiceField(
                label=_("“%(text)s” is") % {"text": text},
                choices=[nowhere, *self._offered],
                required=False,
                initial=self.answers.sites.get(name_key(text), ""),
            )
        if self.intake.seen["lacks_site"]:
            self.fields["site"] = forms.ChoiceField(
                label=_("Site of lines that name none"),
                choices=[nowhere, *self._offered],
                required=False,
                initial=self.answers.site,
            )

    def _ask_classes(self) -> None:
        """Words that the look through the file did not understand; asked for on the way back."""
        asked = dict.fromkeys(map(name_key, self.intake.findings.get("classes", ())))
        self.class_keys: dict[str, str] = {}
        self.words = {name_key(one): one for one in self.intake.findings.get("classes", ())}
        for number, key in enumerate(dict.fromkeys([*self.answers.classes, *asked])):
            self.fields[f"class-{number}"] = forms.ChoiceField(
                label=_("“%(word)s” is") % {"word": self.words.get(key, key)},
                choices=[
                    ("", gettext_lazy("Not known: its lines stay out")),
                    *named(CLASS_CHOICES),
                ],
                required=False,
                initial=self.answers.classes.get(key, ""),
            )
            self.class_keys[f"class-{number}"] = key

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        for number, _sheet in enumerate(self.intake.seen["sheets"]):
            if cleaned.get(f"use-{number}") and not self.moves_headings(number):
                self._check_sheet(number, cleaned)
        if not any(value for name, value in cleaned.items() if name.startswith("use-")):
            self.add_error(None, _("Choose at least one sheet to bring in."))
        return cleaned

    def _check_sheet(self, number: int, cleaned: Mapping[str, Any]) -> None:
        """Each field once, and the serial at least."""
        taken: dict[str, str] = {}
        for name, slug in tuple(cleaned.items()):
            if not (slug and name.startswith(f"col-{number}-")):
                continue
            letter = letter_of(int(name.rsplit("-", 1)[1]))
            if slug in taken:
                told = _("Column %s has this already. Choose one of the two.") % taken[slug]
                self.add_error(name, told)
            taken.setdefault(slug, letter)
        if "serial" not in taken:
            self.add_error(
                f"use-{number}",
                _("Say which column holds the serial, or leave this sheet out."),
            )

    def moves_headings(self, number: int) -> bool:
        """Whether somebody named another line for the headings of the sheet."""
        wanted = self.cleaned_data.get(f"row-{number}")
        sheet = self.intake.seen["sheets"][number]
        return bool(wanted) and wanted != sheet["header_row"]

    def mapping(self) -> dict[str, Guess]:
        """The columns of each sheet as answered."""
        found = {}
        for number, sheet in enumerate(self.intake.seen["sheets"]):
            guess = self.answers.mapping.get(sheet["name"], Guess())
            columns = {
                column: self.cleaned_data.get(f"col-{number}-{column}") or "ignored"
                for column, heading in enumerate(guess.headings)
                if heading
            }
            found[sheet["name"]] = guess.changed(columns)
        return found

    def choices(self) -> dict[str, Any]:
        """All else, as the intake keeps it."""
        said = self.cleaned_data
        seen = self.intake.seen
        return {
            "date_order": said.get("date_order", ""),
            "maker": said["maker"],
            "inspector": said["inspector"],
            "site": said.get("site", ""),
            "sites": {
                name_key(text): said[f"site-{number}"]
                for number, text in enumerate(seen["sites"])
                if said[f"site-{number}"]
            },
            "classes": {key: said[name] for name, key in self.class_keys.items() if said[name]},
            "confirmed": [one.strip() for one in said["confirmed"].splitlines() if one.strip()],
            "left_out": [
                sheet["name"]
                for number, sheet in enumerate(seen["sheets"])
                if not said[f"use-{number}"]
            ],
        }

    def asked_of_sheets(self) -> list[dict[str, Any]]:
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
            own = {"use": self[f"use-{number}"], "row": self[f"row-{number}"], "columns": columns}
            found.append({"name": sheet["name"], "lines": sheet["lines"], "number": number, **own})
        return found

    def asked_with(self, prefix: str) -> list[forms.BoundField]:
        """The fields whose names begin like this."""
        return [self[name] for name in self.fields if name.startswith(prefix)]

    @property
    def asked_of_sites(self) -> list[forms.BoundField]:
        return self.asked_with("site")

    @property
    def asked_of_classes(self) -> list[forms.BoundField]:
        return self.asked_with("class-")


def read_as(example: str, order: str) -> str:
    """'3 April 2024 (day first)'."""
    words = _("day first") if order == "day-first" else _("month first")
    day = date_of(example, order).value.first
    return f"{shown_day(day)} ({words})" if day else words
