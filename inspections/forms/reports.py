"""The form by which an examiner makes the report: what the record does not hold."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.actions.reporting import THOROUGH
from inspections.models import Defect, Inspection
from inspections.rules.item_facts import PASSES
from inspections.rules.reports import FIRST, OCCASION_CHOICES
from register.forms.asking import PlainForm
from register.forms.days import day_field
from register.wording import lower_first, named

REMEDY = "remedy_"
YES_NO = [("", gettext_lazy("Not a first examination")), ("yes", gettext_lazy("Yes")), ("no", gettext_lazy("No"))]  # fmt: skip


class ReportForm(PlainForm):
    """For both reports; what only a thorough examination must say is left out of the other."""

    employer_name = forms.CharField(label=gettext_lazy("Made for: the employer"), max_length=120)
    employer_address = forms.CharField(
        label=gettext_lazy("Address of the employer"), max_length=200
    )
    premises = forms.CharField(
        label=gettext_lazy("Where it was made: name and address"), max_length=300
    )
    occasion = forms.ChoiceField(
        label=gettext_lazy("Why it was made"),
        choices=[("", gettext_lazy("Choose one")), *named(OCCASION_CHOICES)],
    )
    installed_well = forms.ChoiceField(
        label=gettext_lazy("If the first: installed correctly and safe to operate"),
        choices=YES_NO,
        required=False,
    )
    safe_load = forms.CharField(
        label=gettext_lazy("Safe working load"),
        max_length=200,
        help_text=gettext_lazy(
            "As marked, or the mass for which its maker rates it; where it depends on how it is put"
            " together, of what was examined."
        ),
    )
    tests = forms.CharField(
        label=gettext_lazy("Tests made, and what came of them"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("Left empty, the report says ‘none’."),
    )
    next_on = day_field(
        gettext_lazy("The next one by"),
        required=False,
        help_text=gettext_lazy("The latest day. An earlier one may be given, never a later one."),
    )
    imminent = forms.BooleanField(
        label=gettext_lazy("There is an existing or imminent risk of serious personal injury"),
        required=False,
        help_text=gettext_lazy("Then a copy goes to the enforcing authority."),
    )
    further = forms.CharField(
        label=gettext_lazy("What else is still to be done"), max_length=400, required=False
    )
    position = forms.CharField(label=gettext_lazy("Your position"), max_length=120)
    author_address = forms.CharField(
        label=gettext_lazy("Your address at work"),
        max_length=200,
        help_text=gettext_lazy("Of your employer or your business, never your home."),
    )
    qualifications = forms.CharField(label=gettext_lazy("Your qualifications"), max_length=200)
    self_employed = forms.BooleanField(label=gettext_lazy("I am self-employed"), required=False)
    author_employer = forms.CharField(
        label=gettext_lazy("Your employer: name and address"), max_length=300, required=False
    )

    def __init__(self, *args: Any, inspection: Inspection, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for flaw in inspection.defects.all():
            self.fields[f"{REMEDY}{flaw.pk}"] = _remedy(flaw)
        for name in _left_out(inspection):
            del self.fields[name]

    def clean_installed_well(self) -> bool | None:
        said = self.cleaned_data["installed_well"]
        return None if said == "" else said == "yes"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("occasion") == FIRST and cleaned.get("installed_well") is None:
            self.add_error("installed_well", _("Say so of a first examination: yes or no."))
        missing = not (cleaned.get("self_employed") or cleaned.get("author_employer"))
        if "author_employer" in self.fields and missing:
            self.add_error(
                "author_employer", _("Name your employer, or tick ‘I am self-employed’.")
            )
        return cleaned

    def told(self) -> Mapping[str, Any]:
        """What was said, the remedies by the key of their defect."""
        said = dict(self.cleaned_data)
        names = [name for name in said if name.startswith(REMEDY)]
        remedies = {name.removeprefix(REMEDY): said.pop(name) for name in names}
        return {**said, "remedies": remedies}


def _remedy(flaw: Defect) -> forms.CharField:
    facts = {"what": flaw.what, "grade": lower_first(flaw.get_grade_display())}
    return forms.CharField(
        label=_("Repair, renewal or alteration needed: %(what)s (%(grade)s)") % facts,
        max_length=300,
        required=flaw.grade in ("A", "B"),
    )


def _left_out(one: Inspection) -> set[str]:
    """The fields that this report does not ask."""
    if one.kind != THOROUGH:
        return {
            *("occasion", "installed_well", "safe_load", "tests", "next_on", "imminent"),
            *("author_address", "qualifications", "self_employed", "author_employer"),
        }
    left = {"position", "further"}
    if one.verdict in PASSES:
        left.add("imminent")
    else:
        left.add("next_on")
    return left
