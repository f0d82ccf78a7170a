"""The form of what comes in from another site."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext_lazy

from register.access import sites_for
from register.forms.asking import PlainForm
from register.forms.fields import ItemField
from register.models import Item, Site, User


class ArrivalForm(PlainForm):
    """At which site, and the code just scanned."""

    site = forms.ModelChoiceField(
        Site.objects.none(),
        label=gettext_lazy("Arriving at"),
        to_field_name="code",
        empty_label=None,
    )
    code = ItemField()

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_for(user, "item.move")  # type: ignore[attr-defined]
        rows = Item.objects.visible_to(user).with_product()
        self.fields["code"].rows = rows  # type: ignore[attr-defined]
