"""Sites, their zones and shifts, and the minutes on foot between zones: entered and changed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import time

from django.db import models, transaction
from django.utils.translation import gettext as _

from register.actions.locking import locked_site
from register.models import Passage, Shift, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.rules.passages import contradictions

MOST_MINUTES = 240
"""Four hours on foot: more is a slip of the pen, and reaches nobody in time."""

Way = tuple[Zone, Zone]


@transaction.atomic
def add_site(
    *, code: str, name: str, address: str, time_zone: str, is_store: bool, stamp: Stamp
) -> Site:
    """Enter a place with a clock of its own. Its code stands in addresses and never changes."""
    if Site.objects.filter(code__iexact=code).exists():
        raise Refusal(
            "code-taken",
            _("A site has the code “%(code)s” already. Choose another.") % {"code": code},
        )
    site = Site(code=code.lower(), name=_tidy(name), address=_tidy(address))
    site.time_zone, site.is_store = time_zone, is_store
    return _kept_site(site, "add-site", stamp)


@transaction.atomic
def change_site(
    site: Site, *, name: str, address: str, time_zone: str, is_store: bool, stamp: Stamp
) -> Site:
    """Put right what is kept of a site. Another time zone moves the day on which things are due."""
    site = locked_site(site)
    site.name, site.address = _tidy(name), _tidy(address)
    site.time_zone, site.is_store = time_zone, is_store
    return _kept_site(site, "change-site", stamp)


def _kept_site(site: Site, verb: str, stamp: Stamp) -> Site:
    if Site.objects.filter(name__iexact=site.name).exclude(pk=site.pk).exists():
        raise Refusal(
            "name-taken",
            _("A site is called %(site)s already. Add what tells them apart.")
            % {"site": site.name},
        )
    site.full_clean()
    site.save()
    facts = {
        "code": site.code,
        "name": site.name,
        "address": site.address,
        "time_zone": site.time_zone,
        "is_store": site.is_store,
    }
    record(verb, {site: facts}, stamp=stamp, sites=[site])
    return site


@transaction.atomic
def add_zone(site: Site, *, code: str, name: str, stamp: Stamp) -> Zone:
    """Enter a part of the site that people reach on foot. Its code never changes."""
    site = locked_site(site)
    if site.zones.filter(code__iexact=code).exists():
        raise Refusal(
            "code-taken",
            _("%(site)s has a zone with the code “%(code)s” already.")
            % {"site": site, "code": code},
        )
    zone = Zone(site=site, code=code.lower(), name=_tidy(name))
    return _kept_zone(zone, "add-zone", stamp)


@transaction.atomic
def change_zone(zone: Zone, *, name: str, stamp: Stamp) -> Zone:
    """Call the zone by another name."""
    zone = Zone.objects.select_for_update().get(pk=zone.pk)
    zone.name = _tidy(name)
    return _kept_zone(zone, "change-zone", stamp)


def _kept_zone(zone: Zone, verb: str, stamp: Stamp) -> Zone:
    others = Zone.objects.filter(site=zone.site_id).exclude(pk=zone.pk)
    if others.filter(name__iexact=zone.name).exists():
        raise Refusal(
            "name-taken", _("A zone of this site is called %(zone)s already.") % {"zone": zone.name}
        )
    zone.full_clean()
    zone.save()
    facts = {"site": zone.site.code, "code": zone.code, "name": zone.name}
    record(verb, {zone: facts}, stamp=stamp, sites=[zone.site_id])
    return zone


@transaction.atomic
def add_shift(site: Site, *, name: str, begins: time, ends: time, stamp: Stamp) -> Shift:
    """Enter a part of the day. One that ends before it begins runs past midnight."""
    shift = Shift(site=locked_site(site), name=_tidy(name), begins=begins, ends=ends)
    return _kept_shift(shift, "add-shift", stamp)


@transaction.atomic
def change_shift(shift: Shift, *, name: str, begins: time, ends: time, stamp: Stamp) -> Shift:
    """Change a shift; its hours only while nothing stands on it, for they tell who was there."""
    shift = Shift.objects.select_for_update().get(pk=shift.pk)
    if (shift.begins, shift.ends) != (begins, ends) and _stands_on(shift):
        raise Refusal(
            "shift-in-use",
            _(
                "The hours of %(shift)s stay %(hours)s: the rota, tasks or kits stand on it. Enter a"
                " new shift with the new hours, and use that from now on."
            )
            % {"shift": shift, "hours": shift.hours},
        )
    shift.name, shift.begins, shift.ends = _tidy(name), begins, ends
    return _kept_shift(shift, "change-shift", stamp)


def _kept_shift(shift: Shift, verb: str, stamp: Stamp) -> Shift:
    if shift.begins == shift.ends:
        raise Refusal(
            "no-length", _("The shift ends when it begins. Give its first and last minute.")
        )
    others = Shift.objects.filter(site=shift.site_id).exclude(pk=shift.pk)
    if others.filter(name__iexact=shift.name).exists():
        raise Refusal(
            "name-taken",
            _("A shift of this site is called %(shift)s already.") % {"shift": shift.name},
        )
    shift.full_clean()
    shift.save()
    facts = {"site": shift.site.code, "name": shift.name, "hours": shift.hours}
    record(verb, {shift: facts}, stamp=stamp, sites=[shift.site_id])
    return shift


def _stands_on(row: models.Model) -> bool:
    """Whether any row of any app refers to this one; asked of the tables, not of the apps."""
    return any(
        relation.related_model._base_manager.filter(**{relation.field.name: row}).exists()  # noqa: SLF001
        for relation in row._meta.related_objects  # noqa: SLF001 - Django documents it as public
    )


@transaction.atomic
def set_passages(site: Site, *, minutes: Mapping[Way, int | None], stamp: Stamp) -> None:
    """Keep the minutes on foot from one zone to another; None takes a way out.

    One way given counts for both; where the two differ, each is as it is given.
    """
    site = locked_site(site)
    for way, given in minutes.items():
        _refuse_unfit(site, way, given)
    changed = [_changed(way, given) for way, given in minutes.items()]
    said = sorted(change for change in changed if change)
    _refuse_contradiction(site)
    if said:
        record("set-passages", {site: {"passages": said}}, stamp=stamp, sites=[site])


def _refuse_unfit(site: Site, way: Way, minutes: int | None) -> None:
    start, end = way
    if start.pk == end.pk:
        raise Refusal(
            "same-zone",
            _("A passage joins two zones; %(start)s is given twice.") % {"start": start},
        )
    strange = [zone.name for zone in way if zone.site_id != site.pk]
    if strange:
        raise Refusal(
            "other-site",
            _("%(strange)s: not a zone of %(site)s.")
            % {"strange": ", ".join(strange), "site": site},
        )
    if minutes is not None and not 0 <= minutes <= MOST_MINUTES:
        raise Refusal(
            "minutes-out-of-range",
            _(
                "%(start)s to %(end)s: %(minutes)s minutes. Give 0 to %(MOST_MINUTES)s, or leave it"
                " empty."
            )
            % {"start": start, "end": end, "minutes": minutes, "MOST_MINUTES": MOST_MINUTES},
        )


def _refuse_contradiction(site: Site) -> None:
    """Looked at once all are written, for only together can they contradict each other."""
    ways = Passage.objects.filter(start__site=site).select_related("start", "end")
    found = contradictions({(way.start.name, way.end.name): way.minutes for way in ways})
    if found:
        raise Refusal(
            "minutes-contradict",
            " ".join(
                _(
                    "%(start)s to %(end)s is said to take %(minutes)s minutes, but by way of %(via)s it"
                    " takes %(round_minutes)s: put one of them right."
                )
                % {
                    "start": one.start,
                    "end": one.end,
                    "minutes": one.minutes,
                    "via": one.via,
                    "round_minutes": one.round_minutes,
                }
                for one in found[:3]
            ),
        )


def _changed(way: Way, minutes: int | None) -> str:
    """Keep one way; what was changed in words for the ledger, or nothing."""
    start, end = way
    standing = Passage.objects.filter(start=start, end=end).first()
    if (standing.minutes if standing else None) == minutes:
        return ""
    if minutes is None:
        Passage.objects.filter(start=start, end=end).delete()
        return f"{start.code} to {end.code}: taken out"
    Passage.objects.update_or_create(start=start, end=end, defaults={"minutes": minutes})
    return f"{start.code} to {end.code}: {minutes}"


def _tidy(text: str) -> str:
    return " ".join(text.split())
