"""The form after an arrested fall: where, when, who, and everything that was in the load path."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _

from register import clock
from register.access import sites_for
from register.models import Item, Person, Site, Tag, User, Zone
from register.rules import tags
from register.wording import shown_day


class ArrestForm(forms.Form):
    """Once valid it has the moment of the fall and the items named."""

    site = forms.ModelChoiceField(
        Site.objects.none(), label="Site", to_field_name="code", empty_label=None
    )
    on = forms.DateField(
        label="Day of the fall", widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    at = forms.TimeField(
        label="Time, on the site’s clock",
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    wearer = forms.ModelChoiceField(
        Person.objects.none(),
        label="Who fell",
        required=False,
        empty_label="Not named",
        help_text="Unless harness and lanyard or device are named below, everything on issue to this"
        " person is taken out of use.",
    )
    zone = forms.ModelChoiceField(
        Zone.objects.none(),
        label="Zone",
        required=False,
        empty_label="Choose, unless the anchor is named below",
        help_text="Without the anchor’s tag below, every anchor of this zone is taken out of use.",
    )
    codes = forms.CharField(
        label="Tags",
        required=False,
        help_text="One a line: harness, lanyard or device, every connector, the anchor, and the"
        " rescue kit that was used.",
        widget=forms.Textarea(
            attrs={"rows": 6, "spellcheck": "false", "autocapitalize": "characters"}
        ),
    )
    account = forms.CharField(
        label="What happened",
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="In the words of whoever saw it. It is kept as written; later words are added.",
    )

    happened_at: datetime
    items: list[Item]

    def __init__(
        self, *args: Any, user: User | AnonymousUser, now: datetime, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.user, self.now = user, now
        self.fields["site"].queryset = sites_for(user, "arrest.record")  # type: ignore[attr-defined]
        people = Person.objects.visible_to(user).here_on(now.date())
        self.fields["wearer"].queryset = people  # type: ignore[attr-defined]
        zones = Zone.objects.filter(site__in=sites_for(user, "arrest.record"))
        self.fields["zone"].queryset = zones.select_related("site")  # type: ignore[attr-defined]
        self.fields["zone"].label_from_instance = _zone_and_site  # type: ignore[attr-defined]

    def clean_codes(self) -> str:
        text: str = self.cleaned_data["codes"]
        self.items, problems = _items_named(text, self.user)
        if problems:
            raise forms.ValidationError(problems)
        return text

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        self._find_the_anchor(cleaned["site"], cleaned["zone"])
        place = ZoneInfo(cleaned["site"].time_zone)
        self.happened_at = datetime.combine(cleaned["on"], cleaned["at"], tzinfo=place)
        if self.happened_at > self.now:
            field = "on" if cleaned["on"] > clock.day_at(cleaned["site"], self.now) else "at"
            words = _("%(day)s at %(time)s is in the future. Check the day and the time.")
            told = {"day": shown_day(cleaned["on"]), "time": f"{cleaned['at']:%H:%M}"}
            self.add_error(field, words % told)
        if not self.items and not cleaned["wearer"]:
            self.add_error(
                "codes", _("Name the tags, the anchor included, or the person who fell.")
            )
        return cleaned

    def _find_the_anchor(self, site: Site, zone: Zone | None) -> None:
        """Somebody hung on something: its tag, or the zone in which it is."""
        if zone and zone.site_id != site.pk:
            self.add_error("zone", _("This zone is of another site: choose one of this site."))
        if zone is None and not any(item.product.kind.is_anchor for item in self.items):
            words = _("Choose the zone, or name the anchor among the tags: it was loaded too.")
            self.add_error("zone", words)


def _zone_and_site(zone: Zone) -> str:
    return f"{zone.name}, {zone.site.name}"


def _items_named(text: str, user: User | AnonymousUser) -> tuple[list[Item], list[str]]:
    """The items of the tags, each once, and a sentence for each line that leads to none."""
    lines = [line.strip() for line in text.replace(",", "\n").splitlines() if line.strip()]
    codes = {line: tags.read(line).code for line in lines}
    known = [code for code in codes.values() if code]
    found = {
        tag.code: tag.item_id
        for tag in Tag.objects.filter(code__in=known, item__in=Item.objects.visible_to(user))
    }
    problems = [_problem(line, code) for line, code in codes.items() if code not in found]
    items = Item.objects.filter(pk__in=found.values()).select_related("product")
    return list(items.order_by("code")), problems


def _problem(line: str, code: str | None) -> str:
    if code is None:
        words = _("“%(line)s” is mistyped: compare with the tag and type it again.")
        return words % {"line": line[:40]}
    words = _("%(code)s is on no register of your sites: correct it, or put it in what happened.")
    return words % {"code": tags.shown(code)}
