"""The forms of events: what happened to what, later words, and letting evidence go."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.db.models import Q
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.actions.events import Happened
from inspections.forms.arrest import NOTHING_MEDICAL, kits_seen
from inspections.forms.naming import CodesField, HappenedForm
from inspections.rules.events import EVENT_KIND_CHOICES, EVENT_KINDS
from register.forms.asking import PlainForm
from register.models import Item, Kit, Person, User
from register.rules.conditions import Condition
from register.wording import named

GONE = (Condition.DESTROYED, Condition.LEFT)
KINDS = [
    ("", gettext_lazy("Choose what happened")),
    *named(one for one in EVENT_KIND_CHOICES if one[0] != "arrest"),
]


class EventForm(HappenedForm):
    """What happened, where, and to what: by tag, or all of a zone, a place, a kit, a person."""

    field_order = (
        *("kind", "site", "on", "at", "codes"),
        *("whole_kit", "held_by", "zone", "whole_zone", "whole_place", "account"),
    )
    kind = forms.ChoiceField(label=gettext_lazy("What happened"), choices=KINDS)
    codes = CodesField(
        label=gettext_lazy("Tags"), rows=4, help_text=gettext_lazy("One a line, scanned or typed.")
    )
    whole_kit = forms.ModelChoiceField(
        Kit.objects.none(),
        label=gettext_lazy("A kit and all in it"),
        required=False,
        empty_label=gettext_lazy("No kit"),
    )
    held_by = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("Everything on issue to"),
        required=False,
        empty_label=gettext_lazy("Nobody"),
    )
    whole_zone = forms.BooleanField(label=gettext_lazy("Everything in this zone"), required=False)
    whole_place = forms.CharField(
        label=gettext_lazy("Everything in one crate, box or shelf"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("The exact place as the register has it, such as: crate 2."),
    )
    account = forms.CharField(
        label=gettext_lazy("In words"),
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=format_lazy(
            "{} {}",
            gettext_lazy(
                "How far it fell, what it lay in, for how long. It is kept as written; later words"
                " are added."
            ),
            NOTHING_MEDICAL,
        ),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, user=user, **kwargs)
        self.fields["whole_kit"].queryset = kits_seen(user)  # type: ignore[attr-defined]
        self.fields["held_by"].queryset = Person.objects.visible_to(user)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("whole_zone") and not cleaned.get("zone"):
            self.add_error("zone", _("Choose the zone of which everything is to be taken out."))
        if self.errors:
            return cleaned
        cleaned["items"] = self._items(cleaned)
        if not cleaned["items"]:
            words = _(
                "Name the tags, or choose a kit, a person, a zone or a place with items in it."
            )
            self.add_error("codes", words)
        return cleaned

    def _items(self, told: dict[str, Any]) -> list[Item]:
        """All that is meant, each once; of a zone only its anchors where it is about anchors."""
        here = Item.objects.visible_to(self.user).filter(site=told["site"])
        here = here.exclude(condition__in=GONE)
        meant = Q(pk__in=[item.pk for item in told["codes"]])
        within = Q(pk__in=[])
        if kit := told["whole_kit"]:
            meant |= Q(as_kit=kit) | Q(kit=kit, custody="kit")
        if told["held_by"]:
            meant |= Q(holder=told["held_by"])
        if told["whole_zone"]:
            kits = Kit.objects.filter(item__zone=told["zone"])
            within |= Q(zone=told["zone"]) | Q(kit__in=kits, custody="kit")
        if place := told["whole_place"].strip():
            within |= Q(place__iexact=place)
        seen = Item.objects.visible_to(self.user).filter(meant)
        found = {item.pk: item for item in [*_loaded(seen), *_loaded(here.filter(within))]}
        if EVENT_KINDS[told["kind"]].anchors_only and told["whole_zone"]:
            named = {item.pk for item in told["codes"]}
            return [one for one in found.values() if one.product.kind.is_anchor or one.pk in named]
        return list(found.values())

    def told(self) -> Happened:
        """What the sound form tells."""
        told = self.cleaned_data
        return Happened(
            kind=told["kind"],
            happened_at=self.happened_at,
            account=told["account"],
            zone=told["zone"],
            place=told["whole_place"].strip(),
        )


def _loaded(rows: Any) -> list[Item]:
    return list(rows.select_related("product").order_by("code"))


class AccountForm(PlainForm):
    """Later words, and what was in it as well."""

    text = forms.CharField(
        label=gettext_lazy("What is to be added"),
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=format_lazy(
            "{} {}",
            gettext_lazy("It stands with your name and the day beside what was told before."),
            NOTHING_MEDICAL,
        ),
    )
    items = CodesField(
        label=gettext_lazy("Tags of what was in it as well"),
        rows=3,
        help_text=gettext_lazy("One a line; they are out of use at once."),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["items"]
        if isinstance(field, CodesField):
            field.user = user


class AskForm(PlainForm):
    """Why, in writing: the second person reads it."""

    because = forms.CharField(
        label=gettext_lazy("Why"), max_length=400, widget=forms.Textarea(attrs={"rows": 4})
    )


class ClearForm(PlainForm):
    """How it is known that something was not loaded."""

    because = forms.CharField(
        label=gettext_lazy("How it is known"),
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=gettext_lazy(
            "Who says so, and what shows it: a photograph, the packing list, where it lay."
        ),
    )


class AgreeForm(PlainForm):
    """The second person agrees."""

    agreed = forms.BooleanField(
        label=gettext_lazy("I have read the reason and looked into it, and I agree")
    )
