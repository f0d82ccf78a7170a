"""What a calendar is to be about."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.models import CalendarFeed, Site, User
from register.rules.classes import CLASS_CHOICES
from register.wording import named

About = CalendarFeed.About


class CalendarForm(PlainForm):
    """One's own, or a site or class of which one may see what falls due."""

    about = forms.ChoiceField(
        label=gettext_lazy("What it shows"), choices=About.choices, initial=About.OWN
    )
    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Which site"),
        required=False,
        empty_label=gettext_lazy("Choose a site"),
        help_text=gettext_lazy("For a calendar of one site."),
    )
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Which class"),
        required=False,
        choices=[("", gettext_lazy("Choose a class")), *named(CLASS_CHOICES)],
        help_text=gettext_lazy("For a calendar of one class of equipment."),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = sites_for(user, "due.see")
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        if not sites.exists():
            self.fields["about"].choices = [(About.OWN, About.OWN.label)]  # type: ignore[attr-defined]
            del self.fields["site"], self.fields["equipment_class"]

    def clean(self) -> dict[str, Any]:
        super().clean()
        told = self.cleaned_data
        about = told.get("about")
        if about == About.SITE and not told.get("site"):
            self.add_error("site", _("Choose the site that the calendar is about."))
        if about == About.EQUIPMENT and not told.get("equipment_class"):
            self.add_error("equipment_class", _("Choose the class that the calendar is about."))
        told["site"] = told.get("site") if about == About.SITE else None
        chosen = told.get("equipment_class") if about == About.EQUIPMENT else ""
        told["equipment_class"] = chosen or ""
        return told
