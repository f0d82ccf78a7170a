"""The forms of the work ahead: what is shown, minutes, hours, and a visit taken on."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.work_wording import WEEKDAYS
from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.figures import ExactField
from register.models import Item, Person, Site, User
from register.rules.classes import CLASSES
from register.wording import class_name, lower_first

WEEK_CHOICES = (
    (13, gettext_lazy("13 weeks")),
    (26, gettext_lazy("26 weeks")),
    (52, gettext_lazy("52 weeks")),
)


class AheadForm(PlainForm):
    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Site"),
        required=False,
        to_field_name="code",
        empty_label=gettext_lazy("Every site"),
        error_messages={
            "invalid_choice": gettext_lazy("This is none of your sites. Choose one from the list.")
        },
    )
    weeks = forms.TypedChoiceField(
        label=gettext_lazy("Weeks"),
        choices=WEEK_CHOICES,
        coerce=int,
        required=False,
        empty_value=13,
        error_messages={"invalid_choice": gettext_lazy("Choose 13, 26 or 52 weeks.")},
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "work.see")  # type: ignore[attr-defined]


class MinutesForm(PlainForm):
    """A field a class, and one for the visit itself."""

    visit_minutes = forms.IntegerField(
        label=gettext_lazy("A visit: way and setting up (minutes)"),
        min_value=1,
        max_value=720,
        help_text=gettext_lazy(
            "Against this the plan weighs what is given away by inspecting early."
        ),
    )

    def __init__(self, *args: Any, minutes: dict[str, int], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for slug in CLASSES:
            self.fields[slug] = forms.IntegerField(
                label=_("%(kind)s (minutes)") % {"kind": class_name(slug)},
                min_value=1,
                max_value=480,
                initial=minutes[slug],
                error_messages={
                    "required": _("Say how many minutes one takes: %(kind)s.")
                    % {"kind": lower_first(class_name(slug))},
                    "invalid": _("Write whole minutes, such as 4."),
                    "min_value": _("Every inspection takes a minute or more."),
                    "max_value": _(
                        "More than 8 hours for one piece: split it, or write 480 at most."
                    ),
                },
            )

    def minutes(self) -> dict[str, int]:
        return {slug: self.cleaned_data[slug] for slug in CLASSES}


class HoursForm(PlainForm):
    hours = ExactField(
        label=gettext_lazy("Hours of inspecting on such a day"),
        max_digits=4,
        decimal_places=2,
        error_messages={"invalid": gettext_lazy("Write hours as a number, such as 6 or 4.5.")},
        help_text=gettext_lazy("Without the way, breaks and desk work."),
    )
    weekdays = forms.TypedMultipleChoiceField(
        label=gettext_lazy("Days of the week"),
        choices=tuple(enumerate(map(gettext_lazy, WEEKDAYS))),
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("None chosen: they inspect on no day for now."),
    )

    def minutes(self) -> int:
        minutes: int = round(self.cleaned_data["hours"] * 60)
        return minutes


class VisitForm(PlainForm):
    """A proposed visit as its button sends it; everything is judged anew by the action."""

    inspector = forms.ModelChoiceField(
        Person.objects.none(),
        error_messages={"invalid_choice": gettext_lazy("This inspector is not among your people.")},
    )
    site = forms.ModelChoiceField(
        Site.objects.none(),
        error_messages={"invalid_choice": gettext_lazy("This is none of your sites.")},
    )
    day = forms.DateField()
    items = forms.CharField()

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.user = user
        self.fields["inspector"].queryset = Person.objects.visible_to(user)  # type: ignore[attr-defined]
        self.fields["site"].queryset = sites_for(user, "work.accept")  # type: ignore[attr-defined]

    def clean_items(self) -> list[Item]:
        keys = self.cleaned_data["items"].split()
        if not all(key.isascii() and key.isdigit() and len(key) < 19 for key in keys):  # noqa: PLR2004 - fits a key
            raise forms.ValidationError(
                _("The list of items is not readable. Open the plan again.")
            )
        found = list(Item.objects.visible_to(self.user).filter(pk__in=keys))
        if len(found) != len(set(keys)):
            raise forms.ValidationError(_("Some of these items are gone. Open the plan again."))
        return found
