"""The forms of the acts on one item."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser

from register.forms.asking import PlainForm
from register.models import Item, Person, Site, User
from register.rules.conditions import QUARANTINE_REASON_CHOICES
from register.rules.serials import serial_key

# Reasons that only an action gives: nobody chooses them at the item.
_GIVEN_BY_ACTS = {
    *("found-after-loss", "back-from-service", "withdrawn-in-error"),
    *("used-in-rescue", "used-in-drill"),
}
REASONS = [("", "Choose a reason")] + [
    choice for choice in QUARANTINE_REASON_CHOICES if choice[0] not in _GIVEN_BY_ACTS
]
GROUNDS = [
    ("", "Choose a ground"),
    ("failed inspection", "Failed an inspection"),
    ("end of life", "End of its life"),
    ("arrested a fall", "Arrested a fall"),
    ("damage beyond repair", "Damage beyond repair"),
    ("recalled by the maker", "Recalled by the maker"),
    ("policy", "Withdrawn by our own policy"),
]


class QuarantineForm(PlainForm):
    """Why an item is stopped."""

    reason = forms.ChoiceField(label="Why", choices=REASONS)
    note = forms.CharField(
        label="What you saw",
        required=False,
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class WithdrawForm(PlainForm):
    """On what ground an item is taken out for good."""

    ground = forms.ChoiceField(label="Ground", choices=GROUNDS)
    note = forms.CharField(
        label="Note", required=False, max_length=400, widget=forms.Textarea(attrs={"rows": 3})
    )


class DestroyForm(PlainForm):
    """How a withdrawn item was destroyed, and who watched."""

    method = forms.CharField(
        label="How it was destroyed",
        max_length=120,
        help_text="Such as: webbing cut through in three places, D-ring sawn.",
    )
    witness = forms.ModelChoiceField(
        Person.objects.none(), label="Witness", empty_label="Choose the witness"
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["witness"].queryset = Person.objects.visible_to(user)  # type: ignore[attr-defined]


class LostForm(PlainForm):
    """Where an item was searched for."""

    search_note = forms.CharField(
        label="Where you searched, and whom you asked",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


class FoundForm(PlainForm):
    """Where an item turned up."""

    site = forms.ModelChoiceField(Site.objects.none(), label="Site", empty_label=None)
    where = forms.CharField(
        label="Where it was found", max_length=200, help_text="Such as: behind the van seat."
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = Site.objects.visible_to(user)  # type: ignore[attr-defined]


class SendAwayForm(PlainForm):
    """To whom an item goes for service."""

    to = forms.CharField(label="Maker or agent", max_length=60)
    reference = forms.CharField(
        label="Dispatch reference",
        required=False,
        max_length=50,
        help_text="The carrier’s number, or yours.",
    )


class BackForm(PlainForm):
    """With what paper an item comes back."""

    certificate = forms.CharField(
        label="Service certificate",
        max_length=120,
        help_text="Its number, or: returned unrepaired.",
    )


class LetGoForm(PlainForm):
    """Who takes an item over."""

    recipient = forms.CharField(label="Who takes it over", max_length=120)


class TransferForm(PlainForm):
    """To which site an item goes."""

    to = forms.ModelChoiceField(Site.objects.none(), label="To", empty_label="Choose a site")

    def __init__(self, *args: Any, item: Item, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["to"].queryset = Site.objects.exclude(pk=item.site_id)  # type: ignore[attr-defined]


class RetagForm(PlainForm):
    """Why the tag is replaced, and how it is certain which item this is."""

    because = forms.ChoiceField(
        label="The old tag is",
        choices=[
            ("lost", "Lost"),
            ("worn", "Worn: it can no longer be read"),
            ("damaged", "Damaged or cut off"),
        ],
    )
    serial = forms.CharField(
        label="Serial on the maker’s label",
        max_length=60,
        help_text="Read it from the item and type it here.",
    )
    identity_proof = forms.CharField(
        label="How else you know which item this is",
        required=False,
        max_length=200,
        help_text="Size, colour, its photograph.",
    )

    def __init__(self, *args: Any, item: Item, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.item = item

    def clean_serial(self) -> str:
        serial: str = self.cleaned_data["serial"]
        if serial_key(serial) != self.item.serial_key:
            raise forms.ValidationError(
                f"“{serial}” is not the serial of {self.item.shown_code}. Look again; if it does"
                " not fit, quarantine the item as “identity in doubt”."
            )
        return serial
