"""Tasks, who is exposed on them and who has first call."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.forms.people import people_of
from readiness.models import Task
from register.forms.days import DayInput
from register.forms.figures import figures_with_commas
from register.models import Item, Person, Shift, Site, Zone
from register.rules.classes import CLASSES

ANCHOR_CLASSES = [one.slug for one in CLASSES.values() if one.is_anchor]


def anchors_of(site: Site) -> QuerySet[Item]:
    return (
        Item.objects.filter(site=site, product__equipment_class__in=ANCHOR_CLASSES)
        .exclude(condition__in=["withdrawn", "destroyed", "left"])
        .select_related("product", "zone")
        .order_by("place", "code")
    )


class AnchorsField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.place or obj.product.kind_name} – {obj.shown_code}"


class TaskForm(forms.ModelForm[Task]):
    """A task with all that cover asks; what is left blank keeps it from being assessed."""

    shifts = forms.ModelMultipleChoiceField(
        Shift.objects.none(), widget=forms.CheckboxSelectMultiple, label=gettext_lazy("Worked on")
    )
    exposed = forms.ModelMultipleChoiceField(
        Person.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        label=gettext_lazy("Who may be hanging (on every shift)"),
        help_text=gettext_lazy("With nobody named the task is not assessed."),
    )
    anchors = AnchorsField(
        Item.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        label=gettext_lazy("Rescue anchors"),
        help_text=gettext_lazy("Not for lifting, and not for more users than marked."),
    )

    class Meta:
        model = Task
        formfield_callback = figures_with_commas
        fields = [
            *("code", "name", "zone", "from_on", "to_on", "system"),
            *("heaviest_kg", "lightest_kg", "stranded"),
            *("recovery", "remote_attach", "lower_m", "raise_m"),
            *("clearance_required_m", "clearance_available_m"),
            *("restraint_reach_m", "restraint_deflection_m", "restraint_edge_m"),
        ]
        widgets = {"from_on": DayInput(), "to_on": DayInput()}
        help_texts = {
            "stranded": gettext_lazy("How many people one kit may have to lower; blank: all named.")
        }

    def __init__(self, *args: Any, site: Site, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.instance.site = site
        self._offer("zone", Zone.objects.filter(site=site))
        self._offer("shifts", Shift.objects.filter(site=site))
        self._offer("exposed", people_of(site, day))
        self._offer("anchors", anchors_of(site))
        if self.instance.pk:
            self.fields["code"].disabled = True
            named = self.instance.exposures.filter(shift=None).values_list("person", flat=True)
            self.initial["exposed"] = list(named)
            self.initial["shifts"] = list(self.instance.shifts.all())
            self.initial["anchors"] = list(self.instance.rescue_anchors.all())

    def _offer(self, name: str, rows: QuerySet[Any]) -> None:
        self.fields[name].queryset = rows  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        super().clean()
        restraint = self.cleaned_data.get("system") == Task.System.RESTRAINT
        if restraint and self.cleaned_data.get("restraint_deflection_m") is None:
            self.add_error(
                "restraint_deflection_m",
                _("How far the line gives under a load; 0 for a rigid one."),
            )
        return self.cleaned_data

    def _get_validation_exclusions(self) -> set[str]:
        """The site is set by us, so that 'this code is taken here' is told beside the field."""
        return super()._get_validation_exclusions() - {"site"}  # type: ignore[misc,no-any-return]

    def parts(self) -> dict[str, Any]:
        """What the action wants beside the task itself."""
        said = self.cleaned_data
        return {
            "shifts": list(said["shifts"]),
            "anchors": list(said["anchors"]),
            "exposed": list(said["exposed"]),
        }


class EndTaskForm(forms.Form):
    last_on = forms.DateField(label=gettext_lazy("Last day it is worked"), widget=DayInput())
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=200, required=False)


class ExposedForm(forms.Form):
    """Who may be hanging on one shift, beside those named for every shift."""

    shift = forms.ModelChoiceField(Shift.objects.none(), label=gettext_lazy("On which shift"))
    people = forms.ModelMultipleChoiceField(
        Person.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        label=gettext_lazy("Who may be hanging on that shift only"),
    )

    def __init__(self, *args: Any, task: Task, day: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["shift"].queryset = task.shifts.all()  # type: ignore[attr-defined]
        self.fields["people"].queryset = people_of(task.site, day)  # type: ignore[attr-defined]


class FirstCallForm(forms.Form):
    """A number for each running task of the site; blank: no first call."""

    def __init__(self, *args: Any, tasks: QuerySet[Task], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.tasks = {f"task_{task.pk}": task for task in tasks}
        for name, task in self.tasks.items():
            self.fields[name] = forms.IntegerField(
                label=str(task), required=False, min_value=1, initial=task.first_call
            )

    def clean(self) -> dict[str, Any]:
        super().clean()
        given = [rank for rank in self.cleaned_data.values() if rank]
        twice = sorted({rank for rank in given if given.count(rank) > 1})
        if twice:
            raise forms.ValidationError(
                _("%(twice)s stands twice. Give each place to one task.") % {"twice": twice[0]}
            )
        return self.cleaned_data

    @property
    def order(self) -> list[Task]:
        ranked = [(self.cleaned_data[name], name) for name in self.tasks if self.cleaned_data[name]]
        return [self.tasks[name] for _, name in sorted(ranked)]
