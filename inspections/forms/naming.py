"""Items and people named one a line, and the moment at which something happened."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from django import forms
from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from register import clock
from register.access import sites_for
from register.finding import person_named
from register.forms.asking import PlainForm
from register.forms.days import DayInput
from register.models import Item, Person, Site, Tag, User, Zone
from register.refusal import Refusal
from register.rules import tags
from register.wording import shown_day


class CodesField(forms.CharField):
    """Tags, one a line; its clean value is the items they lead to, each once."""

    user: User | AnonymousUser = AnonymousUser()

    def __init__(self, *, rows: int = 6, **kwargs: Any) -> None:
        attrs = {"rows": rows, "spellcheck": "false", "autocapitalize": "characters"}
        super().__init__(required=False, widget=forms.Textarea(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> Any:
        items, problems = items_named(super().clean(value), self.user)
        if problems:
            raise forms.ValidationError(problems)
        return items


class NamesField(forms.CharField):
    """People, one a line; its clean value is the people of the user's sites with these names."""

    user: User | AnonymousUser = AnonymousUser()

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"rows": 2, "spellcheck": "false", "autocapitalize": "words"}
        super().__init__(required=False, widget=forms.Textarea(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> Any:
        found, problems = [], []
        for line in _lines(super().clean(value)):
            try:
                found.append(person_named(Person.objects.visible_to(self.user), line))
            except Refusal as refusal:
                problems.append(refusal.sentence)
        if problems:
            raise forms.ValidationError(problems)
        return found


class HappenedForm(PlainForm):
    """Where and when; once valid it has ``happened_at``, on the site's own clock."""

    need = "event.record"
    site = forms.ModelChoiceField(
        Site.objects.none(), label=gettext_lazy("Site"), to_field_name="code", empty_label=None
    )
    on = forms.DateField(label=gettext_lazy("Day"), widget=DayInput())
    at = forms.TimeField(
        label=gettext_lazy("Time, on the site’s clock"),
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    zone = forms.ModelChoiceField(
        Zone.objects.none(),
        label=gettext_lazy("Zone"),
        required=False,
        empty_label=gettext_lazy("Not said"),
    )
    happened_at: datetime

    def __init__(
        self, *args: Any, user: User | AnonymousUser, now: datetime, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.user, self.now = user, now
        sites = sites_for(user, self.need)
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        zones = Zone.objects.filter(site__in=sites).select_related("site")
        self.fields["zone"].queryset = zones  # type: ignore[attr-defined]
        self.fields["zone"].label_from_instance = _zone_and_site  # type: ignore[attr-defined]
        for field in self.fields.values():
            if isinstance(field, CodesField | NamesField):
                field.user = user

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.errors:
            return cleaned
        site, zone = cleaned["site"], cleaned["zone"]
        if zone and zone.site_id != site.pk:
            self.add_error("zone", _("This zone is of another site: choose one of this site."))
        place = ZoneInfo(site.time_zone)
        self.happened_at = datetime.combine(cleaned["on"], cleaned["at"], tzinfo=place)
        if self.happened_at > self.now:
            field = "on" if cleaned["on"] > clock.day_at(site, self.now) else "at"
            words = _("%(day)s at %(time)s is in the future. Check the day and the time.")
            told = {"day": shown_day(cleaned["on"]), "time": f"{cleaned['at']:%H:%M}"}
            self.add_error(field, words % told)
        return cleaned


def _zone_and_site(zone: Zone) -> str:
    return f"{zone.name}, {zone.site.name}"


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.replace(",", "\n").splitlines() if line.strip()]


def items_named(text: str, user: User | AnonymousUser) -> tuple[list[Item], list[str]]:
    """The items of the tags, each once, and a sentence for each line that leads to none."""
    codes = {line: tags.read(line).code for line in _lines(text)}
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
