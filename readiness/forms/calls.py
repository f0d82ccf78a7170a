"""The form of a site's alarm: how it is raised, whom to ring, where help is met."""

from __future__ import annotations

import re

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from readiness.models import RescueCall
from register.forms.asking import PlainForm

MOST_NUMBERS = 6
_LINE = re.compile(r"^(?P<whom>.{1,60}?)\s*[:;,]?\s+(?P<number>\+?[\d][\d\s()/.-]{1,28}\d)$")


class CallForm(PlainForm):
    """Whom to ring is typed a line each: 'Site office 01632 960 001'."""

    alarm = forms.CharField(
        label=gettext_lazy("How the alarm is raised"),
        max_length=200,
        help_text=gettext_lazy(
            "Such as: shout RESCUE three times on channel 4. It must reach the rescuers at their work."
        ),
    )
    numbers = forms.CharField(
        label=gettext_lazy("Whom to ring"),
        required=False,
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy(
            "One a line, name and number: “Site office 01632 960 001”. Name an office or a post, not a person: the sheet hangs on the wall."
        ),
    )
    meeting_place = forms.CharField(
        label=gettext_lazy("Where the emergency services are met"), max_length=200, required=False
    )

    def clean_numbers(self) -> list[tuple[str, str]]:
        lines = [" ".join(line.split()) for line in self.cleaned_data["numbers"].splitlines()]
        told = [line for line in lines if line]
        if len(told) > MOST_NUMBERS:
            raise ValidationError(
                _("At most %(most)d numbers: nobody reads a longer list in a rescue.")
                % {"most": MOST_NUMBERS}
            )
        return [_read(line) for line in told]

    @staticmethod
    def begun_with(call: RescueCall | None) -> dict[str, str]:
        """What the form shows first."""
        if call is None:
            return {}
        numbers = "\n".join(f"{whom} {number}" for whom, number in call.numbers)
        return {"alarm": call.alarm, "numbers": numbers, "meeting_place": call.meeting_place}


def _read(line: str) -> tuple[str, str]:
    found = _LINE.match(line)
    if found is None and re.fullmatch(r".{1,60}?\s+\d{3}", line):
        whom, _space, number = line.rpartition(" ")
        return whom.rstrip(" :;,"), number
    if found is None:
        raise ValidationError(
            _("“%(line)s” has no name or no number. Write both: “Site office 01632 960 001”.")
            % {"line": line}
        )
    return found["whom"], found["number"]
