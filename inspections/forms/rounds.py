"""The forms of a round: what it is to see, what is on no record, its signature and its end."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.rules.kinds import KIND_CHOICES
from register.access import sites_for
from register.forms.asking import PlainForm
from register.models import Kit, Product, Site, User, Zone
from register.rules.classes import CLASS_CHOICES
from register.wording import named

NEED = "inspection.record"
MOST_DAYS = 366
NEW_PRODUCT = ("maker", "designation", "equipment_class")


class RoundBeginForm(PlainForm):
    """Where, what kind of look, and which items the round is to see."""

    site = forms.ModelChoiceField(
        Site.objects.none(), label=gettext_lazy("Site"), to_field_name="code", empty_label=None
    )
    kind = forms.ChoiceField(
        label=gettext_lazy("Kind of inspection"), choices=named(KIND_CHOICES), initial="detailed"
    )
    covers_periodic = forms.BooleanField(
        label=gettext_lazy("I follow the maker’s periodic examination procedure"), required=False
    )
    days = forms.IntegerField(
        label=gettext_lazy("Due within days"),
        required=False,
        min_value=0,
        max_value=MOST_DAYS,
        help_text=gettext_lazy(
            "0 is due today or overdue. Left empty, everything in service is on the list."
        ),
    )
    zone = forms.ModelChoiceField(
        Zone.objects.none(),
        label=gettext_lazy("Zone"),
        required=False,
        empty_label=gettext_lazy("Every zone"),
    )
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Class"),
        required=False,
        choices=[("", gettext_lazy("Every class")), *named(CLASS_CHOICES)],
    )
    holder = forms.CharField(
        label=gettext_lazy("On issue to"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("A name, or a part of it."),
    )
    place = forms.CharField(
        label=gettext_lazy("Exact place"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Such as: crate 2."),
    )
    kit = forms.ModelChoiceField(
        Kit.objects.none(),
        label=gettext_lazy("Kit and its parts"),
        required=False,
        empty_label=gettext_lazy("Any"),
    )
    open_list = forms.BooleanField(
        label=gettext_lazy("Begin without a list: I scan what is put before me"), required=False
    )
    id = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        sites = sites_for(user, NEED)
        fields: dict[str, Any] = self.fields
        fields["site"].queryset = sites
        fields["zone"].queryset = Zone.objects.filter(site__in=sites).select_related("site")
        fields["zone"].label_from_instance = lambda zone: f"{zone.site}: {zone}"
        fields["kit"].queryset = Kit.objects.filter(item__site__in=sites)
        fields["id"].initial = uuid.uuid4

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        site, zone, kit = told.get("site"), told.get("zone"), told.get("kit")
        if site and zone and zone.site_id != site.pk:
            self.add_error("zone", _("This zone is at another site than the round."))
        if site and kit and kit.site_id != site.pk:
            self.add_error("kit", _("This kit is at another site than the round."))
        return told


class LookForm(PlainForm):
    """The id that the look has from the moment at which the facts were shown."""

    look = forms.UUIDField()


class StrayForm(PlainForm):
    """A piece that no record names: what stands on it, and what it is."""

    text = forms.CharField(
        label=gettext_lazy("What stands on its tag"),
        required=False,
        max_length=60,
        help_text=gettext_lazy("As scanned or typed; empty where there is no tag."),
    )
    product = forms.ModelChoiceField(
        Product.objects.all(),
        label=gettext_lazy("Product"),
        required=False,
        empty_label=gettext_lazy("One not in this list"),
    )
    maker = forms.CharField(
        label=gettext_lazy("Maker"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("Or: not marked."),
    )
    designation = forms.CharField(
        label=gettext_lazy("Model"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("Or: not marked."),
    )
    equipment_class = forms.ChoiceField(
        label=gettext_lazy("Class"),
        required=False,
        choices=[("", gettext_lazy("Choose a class")), *named(CLASS_CHOICES)],
    )
    serial = forms.CharField(
        label=gettext_lazy("Serial, as marked"),
        required=False,
        max_length=60,
        help_text=gettext_lazy("Empty where none can be read; the record says so."),
    )
    look = forms.UUIDField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        told = super().clean() or {}
        if "product" in told and not told["product"]:
            for name in NEW_PRODUCT:
                if not told.get(name):
                    self.add_error(name, _("Say what it is, or choose the product above."))
        return told

    @property
    def chosen(self) -> Product:
        """The product of the list, else one not entered yet."""
        told = self.cleaned_data
        return told["product"] or Product(**{name: told[name] for name in NEW_PRODUCT})


class SignForm(PlainForm):
    """The one signature under a round."""

    stated = forms.BooleanField(
        label=gettext_lazy(
            "I had each of these items in my hands at the time given, and what stands here is"
            " what I found"
        )
    )
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 2}),
    )


class DropForm(PlainForm):
    """Why a round is never signed."""

    because = forms.CharField(label=gettext_lazy("Why it is not signed"), max_length=200)
