"""The forms about sites, zones, shifts and the minutes between zones."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register.actions.places import MOST_MINUTES, Way
from register.forms.asking import PlainForm
from register.models import Passage, Shift, Site, Zone
from register.models.places import check_time_zone

CODE_HELP = gettext_lazy(
    "Short, in lower-case letters, digits and hyphens. It stands in addresses and never changes."
)

CONTINENTS = frozenset(
    ("Africa", "America", "Antarctica", "Arctic", "Asia", "Atlantic", "Australia", "Europe")
) | {"Indian", "Pacific"}


class TimeZoneInput(forms.TextInput):
    """A box that offers the names of the zone database as one types; the page gives the list."""

    def __init__(self) -> None:
        super().__init__(attrs={"list": "time-zones", "autocomplete": "off", "spellcheck": "false"})


def time_zones() -> list[str]:
    """The names that people mean, such as Europe/London, and none of the short and old ones."""
    return sorted(name for name in available_timezones() if name.partition("/")[0] in CONTINENTS)


class SiteForm(PlainForm):
    """What is kept of a site."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    address = forms.CharField(label=gettext_lazy("Address"), max_length=200, required=False)
    time_zone = forms.CharField(
        label=gettext_lazy("Time zone"),
        max_length=40,
        initial="Europe/London",
        validators=[check_time_zone],
        widget=TimeZoneInput(),
        help_text=gettext_lazy("Its day begins and ends with this clock."),
    )
    is_store = forms.BooleanField(
        label=gettext_lazy("A store: nobody works at height here"), required=False
    )


class NewSiteForm(SiteForm):
    """A site not yet known, with its code."""

    code = forms.SlugField(label=gettext_lazy("Code"), max_length=20, help_text=CODE_HELP)
    field_order = ("name", "code")


class ZoneForm(PlainForm):
    """A zone's name."""

    name = forms.CharField(label=gettext_lazy("Name of the zone"), max_length=120)


class NewZoneForm(ZoneForm):
    """A zone not yet known, with its code."""

    code = forms.SlugField(
        label=gettext_lazy("Code of the zone"), max_length=20, help_text=CODE_HELP
    )


class ShiftForm(PlainForm):
    """A shift and its hours."""

    name = forms.CharField(label=gettext_lazy("Name of the shift"), max_length=40)
    begins = forms.TimeField(
        label=gettext_lazy("Begins"), widget=forms.TimeInput({"type": "time"}, "%H:%M")
    )
    ends = forms.TimeField(
        label=gettext_lazy("Ends"),
        widget=forms.TimeInput({"type": "time"}, "%H:%M"),
        help_text=gettext_lazy("Earlier than it begins: past midnight."),
    )


def known_of(row: Site | Zone | Shift, form: type[forms.Form]) -> dict[str, Any]:
    """What the form begins with for a row that is known."""
    return {name: getattr(row, name) for name in form.base_fields}


class PassagesForm(PlainForm):
    """The minutes on foot from each zone to each other; an empty box is a way not given."""

    def __init__(self, *args: Any, zones: Sequence[Zone], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.zones = zones
        known = Passage.objects.filter(start__in=zones)
        standing = {(way.start_id, way.end_id): way.minutes for way in known}
        for start in zones:
            for end in zones:
                if start.pk != end.pk:
                    self.fields[_box(start, end)] = self._minutes(start, end, standing)

    def _minutes(
        self, start: Zone, end: Zone, standing: dict[tuple[int, int], int]
    ) -> forms.IntegerField:
        attrs = {
            "inputmode": "numeric",
            "aria-label": _("Minutes from %(start)s to %(end)s") % {"start": start, "end": end},
        }
        return forms.IntegerField(
            label=_("%(start)s to %(end)s") % {"start": start, "end": end},
            required=False,
            min_value=0,
            max_value=MOST_MINUTES,
            initial=standing.get((start.pk, end.pk)),
            widget=forms.NumberInput(attrs),
        )

    @property
    def rows(self) -> list[tuple[Zone, list[tuple[Zone, Any]]]]:
        """Each zone with its boxes; where a zone meets itself there is none."""
        return [
            (
                start,
                [
                    (end, self[_box(start, end)] if end.pk != start.pk else None)
                    for end in self.zones
                ],
            )
            for start in self.zones
        ]

    def minutes(self) -> dict[Way, int | None]:
        return {
            (start, end): self.cleaned_data[_box(start, end)]
            for start in self.zones
            for end in self.zones
            if start.pk != end.pk
        }


def _box(start: Zone, end: Zone) -> str:
    return f"from-{start.pk}-to-{end.pk}"
