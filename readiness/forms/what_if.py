"""What a site is asked to be tried with; everything comes from the address."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from readiness.board.what_if import Asked, Ground
from readiness.models import Task
from readiness.rules.demand import Resource
from register.forms.days import DayInput
from register.forms.figures import FigureField

MOST_LATER = 60


class WhatIfForm(forms.Form):
    """Each part may be left as it is."""

    on = forms.DateField(widget=DayInput(), label=gettext_lazy("From day"), required=False)
    take = forms.MultipleChoiceField(
        widget=forms.CheckboxSelectMultiple, required=False, label=gettext_lazy("Take away")
    )
    kit = forms.ChoiceField(required=False, label=gettext_lazy("Bring a kit from another site"))
    person = forms.ChoiceField(required=False, label=gettext_lazy("Put a trained person on"))
    task = forms.ChoiceField(required=False, label=gettext_lazy("Do a task another way"))
    system = forms.ChoiceField(
        choices=[("", gettext_lazy("as it is")), *Task.System.choices],
        required=False,
        label=gettext_lazy("Protected by"),
    )
    heaviest_kg = FigureField(
        required=False, min_value=1, label=gettext_lazy("Heaviest with tools (kg)")
    )
    lower_m = FigureField(required=False, min_value=0, label=gettext_lazy("Height to lower (m)"))
    later_days = forms.IntegerField(
        required=False,
        min_value=-MOST_LATER,
        max_value=MOST_LATER,
        label=gettext_lazy("Days later (negative: earlier)"),
    )
    first_call = forms.BooleanField(required=False, label=gettext_lazy("Give it first call"))
    at = forms.TimeField(
        required=False,
        label=gettext_lazy("Hour for the file"),
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
    )

    def __init__(self, *args: Any, ground: Ground, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        here, others = ground.here, ground.timelines.items()
        self._offer("take", [*_kits(here.kits), *_people(here), *_anchors(here)])
        away = [(site, one) for site, held in others if site != here.site for one in held.kits]
        kits = [(one.kit.id, f"{one.kit.name}, {ground.sites[site].name}") for site, one in away]
        self._offer("kit", [("", gettext_lazy("none")), *kits])
        self._offer("person", [("", gettext_lazy("nobody")), *_trained(ground)])
        tasks = [(one.task.id, f"{one.task.id} {one.task.name}") for one in here.tasks]
        self._offer("task", [("", gettext_lazy("none")), *tasks])

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]

    def asked(self) -> Asked:
        """What cannot be read is left out, and told beside its field."""
        said: Mapping[str, Any] = self.cleaned_data if self.is_bound and self.is_valid() else {}
        taken = tuple(Resource(*one.split(":", 1)) for one in said.get("take", ()))  # type: ignore[arg-type]
        wanted = {name: said.get(name) for name in ("system", "heaviest_kg", "lower_m")}
        return Asked(
            take=taken,
            kit=said.get("kit", ""),
            person=said.get("person", ""),
            task=said.get("task", ""),
            said={name: value for name, value in wanted.items() if value not in {None, ""}},
            later_days=said.get("later_days") or 0,
            first_call=bool(said.get("first_call")),
        )


def _kits(kits: Any) -> list[tuple[str, str]]:
    return [(f"kit:{one.kit.id}", f"kit {one.kit.name}") for one in kits]


def _people(here: Any) -> list[tuple[str, str]]:
    """Only those who can rescue or give first aid: nobody else's absence changes an answer."""
    able = [one.person for one in here.people if one.stays and one.person.competences]
    return [(f"person:{one.id}", one.name) for one in able]


def _anchors(here: Any) -> list[tuple[str, str]]:
    return [(f"anchor:{one.anchor.id}", one.anchor.name or one.anchor.id) for one in here.anchors]


def _trained(ground: Ground) -> list[tuple[str, str]]:
    found: dict[str, str] = {}
    for site, timeline in ground.timelines.items():
        for one in timeline.people:
            held = sorted({each.family or each.kind for each in one.person.competences})
            if held:
                where = ground.sites[site].name
                found.setdefault(one.person.id, f"{one.person.name}, {where}: {', '.join(held)}")
    return sorted(found.items(), key=lambda pair: pair[1])
