"""The form on the tag page that takes one item out of use, and how often it may be used."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from register.forms.asking import PlainForm
from register.rules.conditions import QUARANTINE_REASONS
from register.throttling import once_more
from register.wording import named

# What somebody on site can know; the other reasons belong to stores and inspectors.
ON_SITE_REASONS = (
    *("damage-found", "suspected-load", "arrested-a-fall", "pre-use-check-failed"),
    *("label-unreadable", "identity-in-doubt", "contaminated", "seal-broken"),
)
PER_ADDRESS = 5  # acts an hour from one address of a network
PER_ITEM = 1


class TagQuarantineForm(PlainForm):
    """What is wrong; a note helps whoever looks at the item next."""

    reason = forms.ChoiceField(
        label=gettext_lazy("What is wrong?"),
        choices=[
            ("", gettext_lazy("Choose")),
            *named((slug, QUARANTINE_REASONS[slug]) for slug in ON_SITE_REASONS),
        ],
        error_messages={"required": gettext_lazy("Choose what is wrong.")},
    )
    note = forms.CharField(
        label=gettext_lazy("What you saw"),
        required=False,
        max_length=200,
        help_text=gettext_lazy("No names, please."),
    )


def may_act_again(address: str, code: str) -> bool:
    """Counts one act from this address on this item; False once either had its share this hour."""
    # the address first: one that had its share must not use up the item's
    shares = ((f"tag-address-{address}", PER_ADDRESS), (f"tag-item-{code}", PER_ITEM))
    return all(once_more(key, most) for key, most in shares)
