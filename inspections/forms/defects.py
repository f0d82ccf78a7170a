"""The forms for what is wrong with an item: each defect, its place, its photograph."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core import signing
from django.core.files.uploadedfile import UploadedFile
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from inspections.actions.finding import Flaw
from inspections.checklist_wording import point_name, worded
from inspections.rules.checklists import Checklist
from inspections.rules.verdict import DEFECT_CLASS_CHOICES
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.models import Document
from register.rules.photos import NotAPhoto, plain_photo
from register.wording import named, shown_day

PHOTO_BYTES = 10 * 1024 * 1024
PHOTO_REFUSED = {
    "not-a-photo": gettext_noop("“%(name)s” is no JPEG or PNG photograph. Choose another file."),
    "damaged": gettext_noop("“%(name)s” is damaged. Take the photograph again."),
    "too-many-pixels": gettext_noop("“%(name)s” has too many pixels. Take a smaller photograph."),
}
MOST_DEFECTS = 6
KEPT = "defect-photo"  # salt of the sealed note that a photograph of this form is kept already


def photo_field(label: str, **particulars: Any) -> forms.FileField:
    """One photograph, made plain by ``plain``."""
    return forms.FileField(
        label=label,
        widget=forms.FileInput(attrs={"accept": "image/jpeg,image/png"}),
        **{"required": False, **particulars},
    )


def plain(photo: UploadedFile | None) -> bytes | None:
    """The picture without what the phone wrote beside it; refused in a sentence."""
    if not photo:
        return None
    if (photo.size or 0) > PHOTO_BYTES:
        size = (photo.size or 0) // (1024 * 1024)
        raise forms.ValidationError(
            _(
                "“%(name)s” has %(size)d MB, and 10 MB is the most. Take a smaller photograph and choose"
                " it again; all else you entered is still here."
            )
            % {"name": photo.name, "size": size}
        )
    try:
        return plain_photo(photo.read())
    except NotAPhoto as refused:
        words = _(PHOTO_REFUSED[refused.code]) % {"name": photo.name}
        raise forms.ValidationError(words) from refused


class DefectForm(PlainForm):
    """One defect; left empty as a whole it says nothing."""

    grade = forms.ChoiceField(
        label=gettext_lazy("How bad"),
        choices=[
            (slug, format_lazy("{}: {}", slug, name)) for slug, name in named(DEFECT_CLASS_CHOICES)
        ],
        widget=forms.RadioSelect,
        error_messages={"required": gettext_lazy("Choose how bad it is: A, B or C.")},
    )
    danger_by_on = day_field(
        gettext_lazy("Could become a danger by"),
        required=False,
        help_text=gettext_lazy("Only for class B: the item is out from the day after."),
    )
    what = forms.CharField(
        label=gettext_lazy("What is wrong"),
        max_length=200,
        widget=forms.TextInput(attrs={"list": "usual-defects"}),
        error_messages={"required": gettext_lazy("Say what is wrong.")},
    )
    point = forms.ChoiceField(label=gettext_lazy("Point of the checklist"), required=False)
    place = forms.CharField(label=gettext_lazy("Where on the item"), max_length=80, required=False)
    action = forms.CharField(label=gettext_lazy("What was done"), max_length=200, required=False)
    photo = photo_field(
        gettext_lazy("Photograph"),
        help_text=gettext_lazy(
            "JPEG or PNG, up to 10 MB. Place and time are taken out of it; leave people out."
        ),
    )
    photo_kept = forms.CharField(required=False, widget=forms.HiddenInput)

    field_order = ("what", "point", "grade", "danger_by_on", "place", "photo", "action")

    def __init__(
        self, *args: Any, day: date, checklist: Checklist | None = None, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.day, self.checklist = day, checklist
        if checklist is None:
            del self.fields["point"]
        else:
            self.fields["point"].choices = _points(checklist)  # type: ignore[attr-defined]

    def clean_photo(self) -> bytes | None:
        return plain(self.cleaned_data["photo"])

    def clean_photo_kept(self) -> int | None:
        """The photograph kept when this form was sent before; a note we did not seal is nothing."""
        try:
            kept: int = signing.loads(self.cleaned_data["photo_kept"], salt=KEPT)
        except signing.BadSignature:
            return None
        return kept

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
        """The defect as the action takes it; without words of its own its place is the part."""
        told = {name: self.cleaned_data[name] for name in ("grade", "what", "place", "action")}
        point = self.cleaned_data.get("point", "")
        part = self.checklist.part_of(point) if self.checklist and point else None
        if part and not told["place"]:
            told["place"] = part.name
        by = self.cleaned_data["danger_by_on"] if told["grade"] == "B" else None
        return Flaw(**told, point=point, danger_by_on=by, photo=photo)


class BaseDefects(forms.BaseFormSet):  # type: ignore[type-arg]
    """Up to six defects; ``wanted`` says that there must be one."""

    def __init__(self, *args: Any, wanted: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if wanted:
            self.forms[0].empty_permitted = False

    def initial_form_count(self) -> int:
        """None is fixed: a defect filled in beforehand may be cleared away."""
        return 0

    @property
    def goes_on(self) -> bool:
        """Whether more than the first was written in, or filled in beforehand."""
        return any(form.has_changed() or form.initial for form in self.forms[1:])

    @property
    def told(self) -> list[DefectForm]:
        """The forms in which something was written."""
        return [form for form in self.forms if form.has_changed()]


DefectFormSet = forms.formset_factory(
    DefectForm, formset=BaseDefects, extra=MOST_DEFECTS, max_num=MOST_DEFECTS, validate_max=True
)


def _points(checklist: Checklist) -> list[Any]:
    """The points by their parts."""
    parts = [
        (part.name, [(point.slug, point_name(part, point)) for point in part.points])
        for part in worded(checklist).parts
    ]
    return [("", _("None of these")), *parts]
