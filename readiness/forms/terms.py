"""Lead times and costs of acts, hours between sites and course days as forms."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.models import CourseDate, RemedyTerms
from readiness.models.people import FAMILY_CHOICES, Competence
from readiness.rules.remedies.terms import KINDS
from register.forms.days import DayInput
from register.forms.figures import FigureField
from register.models import Site
from register.wording import named


class TermsForm(forms.Form):
    """Two figures for each kind of act; they begin with what holds now."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        own = {row.kind: row for row in RemedyTerms.objects.all()}
        for slug, kind in KINDS.items():
            row = own.get(slug)
            whose = _("Yours.") if row else _("A proposal, no source.")
            self.fields[f"{slug}.hours"] = forms.IntegerField(
                label=_("%(kind)s: hours") % {"kind": _(kind.name)},
                min_value=0,
                max_value=2000,
                initial=row.lead_hours if row else kind.lead_hours,
                help_text=whose,
            )
            self.fields[f"{slug}.cost"] = forms.IntegerField(
                label=_("%(kind)s: cost") % {"kind": _(kind.name)},
                min_value=0,
                max_value=1_000_000,
                initial=row.cost if row else kind.cost,
            )

    def pairs(self) -> list[tuple[str, Any, Any]]:
        """Each kind with its two fields, for the table."""
        return [
            (_(kind.name), self[f"{slug}.hours"], self[f"{slug}.cost"])
            for slug, kind in KINDS.items()
        ]

    def rows(self) -> list[RemedyTerms]:
        said = self.cleaned_data
        return [
            RemedyTerms(kind=slug, lead_hours=said[f"{slug}.hours"], cost=said[f"{slug}.cost"])
            for slug in KINDS
        ]


class TravelForm(forms.Form):
    """Hours from one site to another; the same both ways."""

    start = forms.ModelChoiceField(Site.objects.all(), label=gettext_lazy("From"))
    end = forms.ModelChoiceField(Site.objects.all(), label=gettext_lazy("To"))
    hours = FigureField(label=gettext_lazy("Hours"), min_value=0)


class CourseForm(forms.Form):
    """A day on which people can be trained."""

    kind = forms.ChoiceField(choices=Competence.Kind.choices, label=gettext_lazy("Training"))
    family = forms.ChoiceField(
        choices=[("", gettext_lazy("None (first aid)")), *named(FAMILY_CHOICES)],
        required=False,
        label=gettext_lazy("Kit family"),
    )
    held_on = forms.DateField(widget=DayInput(), label=gettext_lazy("Held on"))

    def clean(self) -> dict[str, Any]:
        super().clean()
        said = self.cleaned_data
        if (said.get("kind") == Competence.Kind.RESCUER) != bool(said.get("family")):
            self.add_error("family", _("A rescuer is trained on one family; first aid has none."))
        same = CourseDate.objects.filter(**{key: said.get(key) for key in self.fields})
        if not self.errors and same.exists():
            self.add_error("held_on", _("This course is kept already."))
        return said
