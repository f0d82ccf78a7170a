"""How the papers name an item, a place and a moment."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from inspections.models import Inspection
from inspections.rules.verdict import Verdict
from inspections.wording import reason
from register.models import Item, Site
from register.wording import lower_first, shown_day, shown_moment


def item_words(item: Item) -> str:
    """'H7K-2PD3, harness, serial HT-00017': nothing about a person."""
    facts = {"tag": item.shown_code, "what": lower_first(item.product.kind_name)}
    return _("%(tag)s, %(what)s, serial %(serial)s") % {**facts, "serial": item.serial}


def made_words(item: Item) -> str:
    """The date of manufacture, or the days between which it lies."""
    first, last = item.made_first_on, item.made_last_on
    if first is None or last is None:
        return _("not known")
    return shown_day(first) if first == last else f"{shown_day(first)} – {shown_day(last)}"


def moment_at(site: Site, moment: datetime) -> str:
    """By the site's own clock."""
    return shown_moment(moment.astimezone(ZoneInfo(site.time_zone)))


def why_not(verdict: Verdict) -> str:
    """Why an item is not to be used, as a sentence without the words 'do not use'."""
    why = reason(verdict.code, verdict.facts)
    return why[:1].upper() + why[1:]


def day_words(day: date | None) -> str:
    return shown_day(day) if day else _("none")


def place_words(site: Site | None) -> str:
    """Name and address of a site."""
    if site is None:
        return ""
    return f"{site.name}, {site.address}" if site.address else site.name


def identity_of(item: Item) -> dict[str, object]:
    """What an item is known by, as facts."""
    product = item.product
    return {
        "code": item.code,
        "product": [product.maker, product.designation, product.equipment_class, product.standards],
        "rated": [product.min_user_kg, product.max_user_kg, str(product.length_m or "")],
        "serial": [item.serial, item.batch, item.size],
        "made": [str(item.made_first_on), str(item.made_last_on), item.made_precision],
        "used": [str(item.first_used_on), str(item.purchased_on), str(item.accepted_on)],
        "delivery": str(item.delivery or ""),
        "owner": [item.owner, str(item.hire_end_on), item.use_class, item.remarks],
    }


def record_of(one: Inspection) -> dict[str, object]:
    """An inspection's record as facts, with its defects."""
    names = ("kind", "verdict", "note", "restricted_to", "source", "counts", "counts_not_because")
    return {
        **{name: getattr(one, name) for name in names},
        "performed": [str(one.performed_on), one.performed_at.isoformat()],
        "recorded": one.recorded_at.isoformat(),
        "good_until": str(one.good_until_on),
        "inspector": one.inspector_name,
        "signed": str(one.signed_at),
        "defects": [
            [flaw.pk, flaw.grade, flaw.what, flaw.place, flaw.action, str(flaw.danger_by_on)]
            for flaw in one.defects.all()
        ],
    }
