"""The forms at the inspector's bench: the round, one finding, its defects, a correction."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.actions.inspecting import Flaw
from inspections.rules.kinds import KIND_CHOICES
from inspections.rules.verdict import DEFECT_CLASS_CHOICES, VERDICT_CHOICES
from register.access import sites_for
from register.models import Document, Site, User
from register.rules.photos import NotAPhoto, plain_photo
from register.wording import shown_day

PHOTO_BYTES = 10 * 1024 * 1024
PHOTO_REFUSED = {
    "not-a-photo": gettext_noop("“%(name)s” is no JPEG or PNG photograph. Choose another file."),
    "damaged": gettext_noop("“%(name)s” is damaged. Take the photograph again."),
    "too-many-pixels": gettext_noop("“%(name)s” has too many pixels. Take a smaller photograph."),
}
MOST_DEFECTS = 3
DAY_INPUT = {"type": "date"}
# What a verdict must say beside itself; the others may.
NEEDS_A_DEFECT = frozenset({"fail", "refer"})
NEEDS_A_NOTE = frozenset({"not-identified"})


def day_field(label: str, **particulars: Any) -> forms.DateField:
    """A day, picked or typed as 2026-03-09."""
    widget = forms.DateInput(attrs=DAY_INPUT, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **particulars)


class RoundForm(forms.Form):
    """Where, and what kind of inspection; asked once and kept for the round."""

    site = forms.ModelChoiceField(
        Site.objects.none(), label="Site", to_field_name="code", empty_label=None
    )
    kind = forms.ChoiceField(label="Kind of inspection", choices=KIND_CHOICES, initial="detailed")
    covers_periodic = forms.BooleanField(
        label="I follow the maker’s periodic examination procedure",
        required=False,
        help_text="With this tick a thorough examination restarts the periodic clock too.",
    )
    code = forms.CharField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "inspection.record")  # type: ignore[attr-defined]


class FindingForm(forms.Form):
    """What an inspector says beside a verdict that is not a plain pass."""

    good_until_on = day_field(
        "Good until", required=False, help_text="Only where that is sooner than the next due day."
    )
    restricted_to = forms.CharField(
        label="Only for",
        required=False,
        max_length=60,
        help_text="The one use it is left for, such as: restraint.",
    )
    note = forms.CharField(
        label="Note", required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args: Any, verdict: str, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.verdict, self.day = verdict, day
        if verdict != "pass-with-conditions":
            del self.fields["good_until_on"], self.fields["restricted_to"]
        self.fields["note"].required = verdict in NEEDS_A_NOTE
        if verdict in NEEDS_A_NOTE:
            self.fields["note"].label = "What the label and the item show"
            self.fields["note"].error_messages["required"] = _("Say what the label shows.")

    def clean_good_until_on(self) -> date | None:
        until: date | None = self.cleaned_data["good_until_on"]
        if until and until < self.day:
            raise forms.ValidationError(
                _("%(day)s has passed. Give a day to come, or fail the item.")
                % {"day": shown_day(until)}
            )
        return until


class DefectForm(forms.Form):
    """One defect; left empty as a whole it says nothing."""

    grade = forms.ChoiceField(
        label="How bad",
        choices=[(slug, f"{slug}: {name}") for slug, name in DEFECT_CLASS_CHOICES],
        widget=forms.RadioSelect,
        error_messages={"required": "Choose how bad it is: A, B or C."},
    )
    danger_by_on = day_field(
        "Could become a danger by",
        required=False,
        help_text="Only for class B: the item is out from the day after.",
    )
    what = forms.CharField(
        label="What is wrong",
        max_length=200,
        widget=forms.TextInput(attrs={"list": "usual-defects"}),
        error_messages={"required": "Say what is wrong."},
    )
    place = forms.CharField(label="Where on the item", max_length=80, required=False)
    action = forms.CharField(label="What was done", max_length=200, required=False)
    photo = forms.FileField(
        label="Photograph",
        required=False,
        help_text="JPEG or PNG, up to 10 MB. Place and time are taken out of it; leave people out.",
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png"}),
    )

    field_order = ("what", "grade", "danger_by_on", "place", "photo", "action")

    def __init__(self, *args: Any, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.day = day

    def clean_photo(self) -> bytes | None:
        """The picture without what the phone wrote beside it."""
        photo: UploadedFile | None = self.cleaned_data["photo"]
        if not photo:
            return None
        if (photo.size or 0) > PHOTO_BYTES:
            raise forms.ValidationError(
                _("This file is larger than 10 MB. Take a smaller photograph.")
            )
        try:
            return plain_photo(photo.read())
        except NotAPhoto as refused:
            words = _(PHOTO_REFUSED[refused.code]) % {"name": photo.name}
            raise forms.ValidationError(words) from refused

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        by: date | None = cleaned.get("danger_by_on")
        if cleaned.get("grade") == "B" and by is None and "danger_by_on" not in self.errors:
            self.add_error("danger_by_on", _("Give the day by which this could become a danger."))
        if by and by < self.day:
            self.add_error(
                "danger_by_on",
                _("%(day)s has passed: what is a danger now is class A.") % {"day": shown_day(by)},
            )
        return cleaned

    def flaw(self, photo: Document | None) -> Flaw:
        """The defect as the action takes it."""
        told = {name: self.cleaned_data[name] for name in ("grade", "what", "place", "action")}
        by = self.cleaned_data["danger_by_on"] if told["grade"] == "B" else None
        return Flaw(**told, danger_by_on=by, photo=photo)


class BaseDefects(forms.BaseFormSet):  # type: ignore[type-arg]
    """Up to three defects; ``wanted`` says that there must be one."""

    def __init__(self, *args: Any, wanted: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if wanted:
            self.forms[0].empty_permitted = False

    def initial_form_count(self) -> int:
        """None is fixed: a defect filled in beforehand may be cleared away."""
        return 0

    @property
    def told(self) -> list[DefectForm]:
        """The forms in which something was written."""
        return [form for form in self.forms if form.has_changed()]


DefectFormSet = forms.formset_factory(
    DefectForm, formset=BaseDefects, extra=MOST_DEFECTS, max_num=MOST_DEFECTS, validate_max=True
)


class CorrectionForm(FindingForm):
    """The right record in the place of a wrong one, and why."""

    kind = forms.ChoiceField(label="Kind of inspection", choices=KIND_CHOICES)
    right_verdict = forms.ChoiceField(label="Verdict", choices=VERDICT_CHOICES)
    performed_on = day_field("Performed on")
    covers_periodic = forms.BooleanField(
        label="The maker’s periodic examination procedure was followed", required=False
    )
    reason = forms.CharField(label="What was wrong with the record", max_length=200)
    field_order = (
        *("kind", "right_verdict", "performed_on", "covers_periodic"),
        *("good_until_on", "restricted_to", "note", "reason"),
    )

    def clean_performed_on(self) -> date:
        on: date = self.cleaned_data["performed_on"]
        if on > self.day:
            raise forms.ValidationError(
                _("%(day)s is in the future. Give the day on which it was performed.")
                % {"day": shown_day(on)}
            )
        return on

    def clean_good_until_on(self) -> date | None:
        """A correction may tell of a day that has passed since."""
        until: date | None = self.cleaned_data["good_until_on"]
        return until
