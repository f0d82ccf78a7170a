"""The forms of records that are not made at the item: a correction, an entry from paper."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, gettext_noop

from inspections.forms.bench import FindingForm
from inspections.forms.defects import photo_field, plain
from inspections.rules.checklists import STATEMENTS
from inspections.rules.item_facts import PASSES
from inspections.rules.kinds import KIND_CHOICES
from inspections.rules.verdict import VERDICT_CHOICES
from register.forms.days import day_field
from register.models import Person, User
from register.wording import named, shown_day

NOTHING_SAID = gettext_noop("Nothing is said of our checklist")


class RecordForm(FindingForm):
    """A look at an item told afterwards, with its day."""

    kind = forms.ChoiceField(label=gettext_lazy("Kind of inspection"), choices=named(KIND_CHOICES))
    right_verdict = forms.ChoiceField(label=gettext_lazy("Verdict"), choices=named(VERDICT_CHOICES))
    performed_on = day_field(gettext_lazy("Performed on"))
    covers_periodic = forms.BooleanField(
        label=gettext_lazy("The maker’s periodic examination procedure was followed"),
        required=False,
        help_text=gettext_lazy("For a maker’s service: its certificate says so."),
    )
    statement = forms.ChoiceField(label=gettext_lazy("Checklist"), required=False)

    def __init__(self, *args: Any, day: date, **kwargs: Any) -> None:
        super().__init__(*args, verdict="pass-with-conditions", day=day, **kwargs)
        said = [("", _(NOTHING_SAID)), *((slug, _(name)) for slug, name in STATEMENTS.items())]
        self.fields["statement"].choices = said  # type: ignore[attr-defined]

    def clean_performed_on(self) -> date:
        on: date = self.cleaned_data["performed_on"]
        if on > self.day:
            raise forms.ValidationError(
                _("%(day)s is in the future. Give the day on which it was performed.")
                % {"day": shown_day(on)}
            )
        return on

    def clean_good_until_on(self) -> date | None:
        """It may tell of a day that has passed since."""
        until: date | None = self.cleaned_data["good_until_on"]
        return until


class CorrectionForm(RecordForm):
    """The right record in the place of a wrong one, and why."""

    reason = forms.CharField(label=gettext_lazy("What was wrong with the record"), max_length=200)
    field_order = (
        *("kind", "right_verdict", "performed_on", "covers_periodic", "statement"),
        *("good_until_on", "restricted_to", "note", "reason"),
    )


class PaperForm(RecordForm):
    """An inspection that stands on paper: who looked and when, why it comes late, the sheet."""

    inspector = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("Inspected by"),
        empty_label=gettext_lazy("Choose"),
    )
    performed_time = forms.TimeField(
        label=gettext_lazy("Time"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
        help_text=gettext_lazy("On the site’s clock. Left empty, noon is taken."),
        error_messages={"invalid": gettext_lazy("Give the time as 14:30, or leave it empty.")},
    )
    late_reason = forms.CharField(
        label=gettext_lazy("Why it is entered later, and where the paper is"), max_length=200
    )
    sheet = photo_field(
        gettext_lazy("Photograph of the sheet"),
        help_text=gettext_lazy(
            "Needed for a pass by somebody else than you. JPEG or PNG, to 10 MB."
        ),
    )
    field_order = (
        *("kind", "right_verdict", "performed_on", "performed_time", "inspector"),
        *("covers_periodic", "statement", "good_until_on", "restricted_to", "note"),
        *("late_reason", "sheet"),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.own = getattr(user, "person", None)
        everyone = Person.objects.visible_to(user)
        self.fields["inspector"].queryset = everyone  # type: ignore[attr-defined]

    def clean_sheet(self) -> bytes | None:
        return plain(self.cleaned_data["sheet"])

    def clean(self) -> dict[str, Any]:
        """Good news told for somebody else comes with its evidence."""
        cleaned = super().clean() or {}
        passes = cleaned.get("right_verdict") in PASSES
        other = cleaned.get("inspector") and cleaned["inspector"] != self.own
        if passes and other and not cleaned.get("sheet") and "sheet" not in self.errors:
            self.add_error(
                "sheet",
                _("A pass by somebody else needs its sheet: photograph it and choose it here."),
            )
        return cleaned
