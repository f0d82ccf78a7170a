"""The forms about rescue kits."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm
from register.forms.fields import ItemField
from register.models import Item, Kit, SealEvent, Zone

PART_LENGTH = 60  # as the column has it


class KitForm(PlainForm):
    """A bag that becomes a kit, and the lines of its contents card."""

    bag = ItemField(
        label=gettext_lazy("The bag"),
        help_text=gettext_lazy("Scan its tag. It is of the class rescue kit."),
    )
    name = forms.CharField(
        label=gettext_lazy("Name of the kit"),
        max_length=20,
        help_text=gettext_lazy("Such as RK-04."),
    )
    roles = forms.CharField(
        label=gettext_lazy("Contents card"),
        help_text=gettext_lazy(
            "One part a line, each with a name of its own: descender, rope 50 m, sling 1."
        ),
        widget=forms.Textarea(attrs={"rows": 8}),
    )

    def __init__(self, *args: Any, rows: QuerySet[Item], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["bag"].rows = rows  # type: ignore[attr-defined]

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"].strip()
        if "/" in name or name.lower() == "new":
            raise forms.ValidationError(_("Choose a name without a slash that is not “new”."))
        if Kit.objects.filter(name__iexact=name).exists():
            raise forms.ValidationError(_("There is a kit %(name)s already.") % {"name": name})
        return name

    def clean_roles(self) -> list[str]:
        lines = [" ".join(line.split()) for line in self.cleaned_data["roles"].splitlines()]
        roles = [line for line in lines if line]
        seen: set[str] = set()
        for role in roles:
            if role.lower() in seen:
                raise forms.ValidationError(
                    _("“%(role)s” stands there twice. Number the parts.") % {"role": role}
                )
            if len(role) > PART_LENGTH:
                raise forms.ValidationError(
                    _("“%(role)s” is longer than %(PART_LENGTH)s characters.")
                    % {"role": role, "PART_LENGTH": PART_LENGTH}
                )
            seen.add(role.lower())
        return roles


class PartForm(PlainForm):
    """One line of the contents card."""

    role = forms.ChoiceField(label=gettext_lazy("Part"))

    def __init__(self, *args: Any, kit: Kit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        roles = kit.parts.values_list("role", flat=True)
        self.fields["role"].choices = [(role, role) for role in roles]  # type: ignore[attr-defined]


class FillForm(PartForm):
    """Which item fills a line."""

    item = ItemField(
        label=gettext_lazy("The item"), help_text=gettext_lazy("Scan its tag or type its serial.")
    )

    def __init__(self, *args: Any, kit: Kit, rows: QuerySet[Item], **kwargs: Any) -> None:
        super().__init__(*args, kit=kit, **kwargs)
        self.fields["item"].rows = rows  # type: ignore[attr-defined]


class SealForm(PlainForm):
    """The new seal."""

    number = forms.CharField(label=gettext_lazy("Number on the new seal"), max_length=30)


class UnsealForm(PlainForm):
    """What happened to the seal."""

    kind = forms.ChoiceField(
        label=gettext_lazy("The seal was"),
        choices=[
            (SealEvent.Kind.OPENED, gettext_lazy("Opened")),
            (SealEvent.Kind.BROKEN, gettext_lazy("Found broken")),
            (SealEvent.Kind.MISSING, gettext_lazy("Found missing")),
        ],
    )
    reason = forms.CharField(
        label=gettext_lazy("Why, or what you saw"), max_length=120, required=False
    )


class PlaceForm(PlainForm):
    """Where a kit hangs."""

    zone = forms.ModelChoiceField(
        Zone.objects.none(), label=gettext_lazy("Zone"), empty_label=gettext_lazy("Choose a zone")
    )
    place = forms.CharField(
        label=gettext_lazy("Exact place"),
        max_length=120,
        help_text=gettext_lazy(
            "So that somebody in a hurry finds it: red cabinet left of the hatch."
        ),
    )

    def __init__(self, *args: Any, kit: Kit, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        zones = Zone.objects.filter(site_id=kit.site_id)
        self.fields["zone"].queryset = zones  # type: ignore[attr-defined]
