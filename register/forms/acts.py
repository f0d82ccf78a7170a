"""The forms of the acts on one item."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm
from register.models import Item, Person, Site, User
from register.rules.conditions import QUARANTINE_REASON_CHOICES
from register.rules.serials import serial_key
from register.wording import named

# Reasons that only an action gives: nobody chooses them at the item.
_GIVEN_BY_ACTS = {
    *("found-after-loss", "back-from-service", "withdrawn-in-error"),
    *("used-in-rescue", "used-in-drill"),
}
REASONS = [
    ("", gettext_lazy("Choose a reason")),
    *(one for one in named(QUARANTINE_REASON_CHOICES) if one[0] not in _GIVEN_BY_ACTS),
]
GROUNDS = [
    ("", gettext_lazy("Choose a ground")),
    ("failed inspection", gettext_lazy("Failed an inspection")),
    ("end of life", gettext_lazy("End of its life")),
    ("arrested a fall", gettext_lazy("Arrested a fall")),
    ("damage beyond repair", gettext_lazy("Damage beyond repair")),
    ("recalled by the maker", gettext_lazy("Recalled by the maker")),
    ("policy", gettext_lazy("Withdrawn by our own policy")),
]


class QuarantineForm(PlainForm):
    """Why an item is stopped."""

    reason = forms.ChoiceField(label=gettext_lazy("Why"), choices=REASONS)
    note = forms.CharField(
        label=gettext_lazy("What you saw"),
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    notice = forms.CharField(
        label=gettext_lazy("Number of the notice written by hand"),
        required=False,
        max_length=20,
        help_text=gettext_lazy("Where one hangs on the item."),
    )


class WithdrawForm(PlainForm):
    """On what ground an item is taken out for good."""

    ground = forms.ChoiceField(label=gettext_lazy("Ground"), choices=GROUNDS)
    note = forms.CharField(
        label=gettext_lazy("Note"),
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class DestroyForm(PlainForm):
    """How a withdrawn item was destroyed, and who watched."""

    method = forms.CharField(
        label=gettext_lazy("How it was destroyed"),
        max_length=120,
        help_text=gettext_lazy("Such as: webbing cut through in three places, D-ring sawn."),
    )
    witness = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("Witness"),
        empty_label=gettext_lazy("Choose the witness"),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["witness"].queryset = Person.objects.visible_to(user)  # type: ignore[attr-defined]


class LostForm(PlainForm):
    """Where an item was searched for."""

    search_note = forms.CharField(
        label=gettext_lazy("Where you searched, and whom you asked"),
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class FoundForm(PlainForm):
    """Where an item turned up."""

    site = forms.ModelChoiceField(Site.objects.none(), label=gettext_lazy("Site"), empty_label=None)
    where = forms.CharField(
        label=gettext_lazy("Where it was found"),
        max_length=200,
        help_text=gettext_lazy("Such as: behind the van seat."),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = Site.objects.visible_to(user)  # type: ignore[attr-defined]


class SendAwayForm(PlainForm):
    """To whom an item goes for service."""

    to = forms.CharField(label=gettext_lazy("Maker or agent"), max_length=60)
    reference = forms.CharField(
        label=gettext_lazy("Dispatch reference"),
        required=False,
        max_length=50,
        help_text=gettext_lazy("The carrier’s number, or yours."),
    )


class BackForm(PlainForm):
    """With what paper an item comes back."""

    certificate = forms.CharField(
        label=gettext_lazy("Service certificate"),
        max_length=120,
        help_text=gettext_lazy("Its number, or: returned unrepaired."),
    )


class LetGoForm(PlainForm):
    """Who takes an item over."""

    recipient = forms.CharField(label=gettext_lazy("Who takes it over"), max_length=120)


class TransferForm(PlainForm):
    """To which site an item goes."""

    to = forms.ModelChoiceField(
        Site.objects.none(), label=gettext_lazy("To"), empty_label=gettext_lazy("Choose a site")
    )

    def __init__(self, *args: Any, item: Item, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["to"].queryset = Site.objects.exclude(pk=item.site_id)  # type: ignore[attr-defined]


class RetagForm(PlainForm):
    """Why the tag is replaced, and how it is certain which item this is."""

    because = forms.ChoiceField(
        label=gettext_lazy("The old tag is"),
        choices=[
            ("lost", gettext_lazy("Lost")),
            ("worn", gettext_lazy("Worn: it can no longer be read")),
            ("damaged", gettext_lazy("Damaged or cut off")),
        ],
    )
    serial = forms.CharField(
        label=gettext_lazy("Serial on the maker’s label"),
        max_length=60,
        help_text=gettext_lazy("Read it from the item and type it here."),
    )
    identity_proof = forms.CharField(
        label=gettext_lazy("How else you know which item this is"),
        required=False,
        max_length=200,
        help_text=gettext_lazy("Size, colour, its photograph."),
    )

    def __init__(self, *args: Any, item: Item, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.item = item

    def clean_serial(self) -> str:
        serial: str = self.cleaned_data["serial"]
        if serial_key(serial) != self.item.serial_key:
            raise forms.ValidationError(
                _(
                    "“%(serial)s” is not the serial of %(item)s. Look again; if it does not fit,"
                    " quarantine the item as “identity in doubt”."
                )
                % {"serial": serial, "item": self.item.shown_code}
            )
        return serial
