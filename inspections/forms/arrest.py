"""The forms after an arrested fall: what is out at once, and what becomes known later."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from inspections.actions.arresting import Fall, Particulars
from inspections.forms.naming import CodesField, HappenedForm, NamesField
from inspections.models import Arrest
from register.forms.figures import figures_with_commas
from register.models import Kit, Person, User

NOTHING_MEDICAL = gettext_lazy(
    "Write nothing about injuries or health: the accident book is the place for it."
)


class ArrestForm(HappenedForm):
    """Where, when, who, and everything that was in the load path."""

    need = "arrest.record"
    field_order = (
        *("site", "on", "at", "wearer", "zone", "place"),
        *("codes", "others", "rescue_kit", "account"),
    )
    place = forms.CharField(
        label=gettext_lazy("Where exactly"),
        required=False,
        max_length=120,
        help_text=gettext_lazy("Such as: hatch 7, ladder."),
    )
    wearer = forms.ModelChoiceField(
        Person.objects.none(),
        label=gettext_lazy("Who fell"),
        required=False,
        empty_label=gettext_lazy("Not named"),
        help_text=gettext_lazy(
            "Unless harness and lanyard or device are named below, everything on issue to this"
            " person is taken out of use."
        ),
    )
    codes = CodesField(
        label=gettext_lazy("Tags"),
        help_text=gettext_lazy(
            "One a line: harness, lanyard or device, every connector, the line, the anchor."
        ),
    )
    others = NamesField(
        label=gettext_lazy("Others on the same horizontal line"),
        help_text=gettext_lazy(
            "One name a line. The line may have loaded theirs: all they have on issue is out."
        ),
    )
    rescue_kit = forms.ModelChoiceField(
        Kit.objects.none(),
        label=gettext_lazy("Rescue kit that was used"),
        required=False,
        empty_label=gettext_lazy("None of ours"),
        help_text=gettext_lazy("It and what is in it is out until it is checked and sealed again."),
    )
    account = forms.CharField(
        label=gettext_lazy("What happened"),
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=format_lazy(
            "{} {}",
            gettext_lazy(
                "In the words of whoever saw it. It is kept as written; later words are added."
            ),
            NOTHING_MEDICAL,
        ),
    )

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, user=user, **kwargs)
        people = Person.objects.visible_to(user).here_on(self.now.date())
        self.fields["wearer"].queryset = people  # type: ignore[attr-defined]
        self.fields["rescue_kit"].queryset = kits_seen(user)  # type: ignore[attr-defined]
        zone: Any = self.fields["zone"]
        zone.empty_label = _("Choose, unless the anchor is named below")
        zone.help_text = _(
            "Without the anchor’s tag below, every anchor of this zone is out of use."
        )
        self.fields["on"].label = _("Day of the fall")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if self.errors:
            return cleaned
        items = cleaned["codes"]
        if cleaned["zone"] is None and not any(item.product.kind.is_anchor for item in items):
            words = _("Choose the zone, or name the anchor among the tags: it was loaded too.")
            self.add_error("zone", words)
        if not items and not cleaned["wearer"]:
            words = _("Name the tags, the anchor included, or the person who fell.")
            self.add_error("codes", words)
        return cleaned

    def fall(self) -> Fall:
        """What the sound form tells."""
        told = self.cleaned_data
        return Fall(
            happened_at=self.happened_at,
            account=told["account"],
            wearer=told["wearer"],
            zone=told["zone"],
            place=told["place"],
            others_on_line=told["others"],
            particulars=Particulars(rescue_kit=told["rescue_kit"]),
        )


class ParticularsForm(forms.ModelForm[Arrest]):
    """What was not known at first; what stands already is not among the fields."""

    rescuers = NamesField(
        label=gettext_lazy("Who rescued"), help_text=gettext_lazy("One name a line.")
    )

    class Meta:
        model = Arrest
        formfield_callback = figures_with_commas
        fields = [
            *("wearer_alias", "task", "free_fall_m", "suspended_minutes", "rescue_method"),
            *("rescue_kit", "rescuers", "first_aid", "report_reference", "evidence_place"),
        ]
        help_texts = {
            "wearer_alias": gettext_lazy(
                "Where the name is not to be kept here: such as worker A."
            ),
            "free_fall_m": gettext_lazy(
                "From where they stood until something held, as well as it is known."
            ),
            "rescue_kit": gettext_lazy(
                "Naming it takes it out of use until it is checked and sealed again."
            ),
            "first_aid": format_lazy("{} {}", gettext_lazy("Only yes or no."), NOTHING_MEDICAL),
            "report_reference": gettext_lazy(
                "A fall may have to be reported: ask your safety adviser."
            ),
        }

    def __init__(self, *args: Any, user: User | AnonymousUser, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in list(self.fields):
            stands = getattr(self.instance, name)
            if stands.exists() if name == "rescuers" else stands not in ("", None):
                del self.fields[name]
        if "rescue_kit" in self.fields:
            kits = kits_seen(user).filter(item__site=self.instance.site)
            self.fields["rescue_kit"].queryset = kits  # type: ignore[attr-defined]
        if self.instance.wearer_id:
            self.fields.pop("wearer_alias", None)
        names = self.fields.get("rescuers")
        if isinstance(names, NamesField):
            names.user = user

    def particulars(self) -> Particulars:
        """What the sound form tells."""
        return Particulars(**self.cleaned_data)


def kits_seen(user: User | AnonymousUser) -> Any:
    """The kits of the user's sites."""
    return Kit.objects.visible_to(user).select_related("item")
