"""The two forms of the hatch: out to a person, and back with the two questions."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy

from register.finding import person_named
from register.forms.asking import PlainForm
from register.forms.days import DayInput
from register.models import Movement, Person
from register.refusal import Refusal

ANSWER_MISSING = gettext_lazy("Ask: No, Yes or Don’t know.")


class IssueForm(PlainForm):
    """To whom, until when, and the code just scanned."""

    person = forms.CharField(
        label=gettext_lazy("To whom"),
        max_length=120,
        widget=forms.TextInput(attrs={"list": "people", "autocomplete": "off"}),
        help_text=gettext_lazy("Type a part of the name."),
    )
    due_back_on = forms.DateField(
        label=gettext_lazy("Back on"),
        required=False,
        widget=DayInput(),
        help_text=gettext_lazy("It must be usable through this day. Blank: until called in."),
    )
    code = forms.CharField(max_length=200)

    def __init__(self, *args: Any, people: QuerySet[Person], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.people = people

    def clean_person(self) -> Person:
        try:
            return person_named(self.people, self.cleaned_data["person"])
        except Refusal as refusal:
            raise forms.ValidationError(refusal.sentence, code=refusal.code) from refusal


class ReturnForm(PlainForm):
    """What came back, and the two questions; neither has an answer until somebody gave it."""

    code = forms.CharField(max_length=200)
    loaded = forms.ChoiceField(
        label=gettext_lazy("Has it held a fall, or been loaded hard?"),
        choices=Movement.Answer.choices,
        widget=forms.RadioSelect,
        error_messages={"required": ANSWER_MISSING},
    )
    wrong = forms.ChoiceField(
        label=gettext_lazy("Is anything wrong with it?"),
        choices=Movement.Answer.choices,
        widget=forms.RadioSelect,
        error_messages={"required": ANSWER_MISSING},
    )
    note = forms.CharField(label=gettext_lazy("What they say"), required=False, max_length=400)
