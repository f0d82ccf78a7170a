"""The sites of the employer, and what each is made of: zones, shifts, minutes between zones."""

from __future__ import annotations

from typing import Any

from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from register.access import demand_everywhere, fetch, may, may_everywhere, needs, sites_for
from register.actions.places import (
    add_shift,
    add_site,
    add_zone,
    change_shift,
    change_site,
    change_zone,
    set_passages,
)
from register.forms.places import (
    NewSiteForm,
    NewZoneForm,
    PassagesForm,
    ShiftForm,
    SiteForm,
    ZoneForm,
    known_of,
    time_zones,
)
from register.models import Site
from register.telling import kept, stamp_of


@needs("site.edit")
def site_list(request: HttpRequest) -> HttpResponse:
    sites = sites_for(request.user, "site.edit").prefetch_related("zones", "shifts")
    shown = {
        "sites": sites,
        "may_add": may_everywhere(request.user, "site.edit"),
        "may_regime": may(request.user, "regime.change"),
        "may_employer": may(request.user, "employer.name"),
        "may_policy": may(request.user, "policy.change"),
    }
    return render(request, "register/site_list.html", shown)


@needs("site.edit")
def site_new(request: HttpRequest) -> HttpResponse:
    """A new site belongs to nobody's grant yet: only who holds every site enters one."""
    if request.method == "POST":
        demand_everywhere(request.user, "site.edit")
    form = NewSiteForm(request.POST or None)
    if kept(
        request, form, lambda: add_site(stamp=stamp_of(request), **form.cleaned_data), _("Entered.")
    ):
        return redirect("register:site-places", site=form.cleaned_data["code"].lower())
    may_add = may_everywhere(request.user, "site.edit")
    shown = {"form": form, "time_zones": time_zones(), "may_add": may_add}
    return render(request, "register/site_new.html", shown, status=_status(form))


@needs("site.edit")
def site_edit(request: HttpRequest, site: str) -> HttpResponse:
    place = _place(request, site)
    form = SiteForm(request.POST or None, initial=known_of(place, SiteForm))
    if kept(
        request,
        form,
        lambda: change_site(place, stamp=stamp_of(request), **form.cleaned_data),
        _("Changed."),
    ):
        return redirect("register:site-list")
    shown = {"form": form, "site": place, "time_zones": time_zones()}
    return render(request, "register/site_edit.html", shown, status=_status(form))


@needs("site.edit")
def site_places(request: HttpRequest, site: str) -> HttpResponse:
    """Zones, shifts and the minutes between zones on one page, each with its small form."""
    return _places(request, _place(request, site))


@needs("site.edit")
def site_passages(request: HttpRequest, site: str) -> HttpResponse:
    place = _place(request, site)
    form = PassagesForm(request.POST or None, zones=list(place.zones.all()))
    if kept(
        request,
        form,
        lambda: set_passages(place, minutes=form.minutes(), stamp=stamp_of(request)),
        _("The minutes are kept."),
    ):
        return redirect("register:site-places", site=place.code)
    return _places(request, place, passages=form)


@needs("site.edit")
def zone_new(request: HttpRequest, site: str) -> HttpResponse:
    place = _place(request, site)
    form = NewZoneForm(request.POST or None, prefix="zone")
    if kept(
        request,
        form,
        lambda: add_zone(place, stamp=stamp_of(request), **form.cleaned_data),
        _("The zone is entered."),
    ):
        return redirect("register:site-places", site=place.code)
    return _places(request, place, zone_form=form)


@needs("site.edit")
def zone_edit(request: HttpRequest, site: str, zone: str) -> HttpResponse:
    place = _place(request, site)
    known = get_object_or_404(place.zones, code=zone)
    form = ZoneForm(request.POST or None, initial=known_of(known, ZoneForm))
    if kept(
        request,
        form,
        lambda: change_zone(known, stamp=stamp_of(request), **form.cleaned_data),
        _("Changed."),
    ):
        return redirect("register:site-places", site=place.code)
    shown = {"form": form, "site": place, "zone": known}
    return render(request, "register/zone_edit.html", shown, status=_status(form))


@needs("site.edit")
def shift_new(request: HttpRequest, site: str) -> HttpResponse:
    place = _place(request, site)
    form = ShiftForm(request.POST or None, prefix="shift")
    if kept(
        request,
        form,
        lambda: add_shift(place, stamp=stamp_of(request), **form.cleaned_data),
        _("The shift is entered."),
    ):
        return redirect("register:site-places", site=place.code)
    return _places(request, place, shift_form=form)


@needs("site.edit")
def shift_edit(request: HttpRequest, site: str, shift: int) -> HttpResponse:
    place = _place(request, site)
    known = get_object_or_404(place.shifts, pk=shift)
    form = ShiftForm(request.POST or None, initial=known_of(known, ShiftForm))
    if kept(
        request,
        form,
        lambda: change_shift(known, stamp=stamp_of(request), **form.cleaned_data),
        _("Changed."),
    ):
        return redirect("register:site-places", site=place.code)
    shown = {"form": form, "site": place, "shift": known}
    return render(request, "register/shift_edit.html", shown, status=_status(form))


def _place(request: HttpRequest, site: str) -> Site:
    return fetch(Site.objects.all(), request.user, "site.edit", code=site)


def _places(request: HttpRequest, place: Site, **refused: Form) -> HttpResponse:
    """The page, with the form that was refused still filled in."""
    zones = list(place.zones.all())
    shown: dict[str, Any] = {
        "site": place,
        "zones": zones,
        "shifts": place.shifts.all(),
        "zone_form": NewZoneForm(prefix="zone"),
        "shift_form": ShiftForm(prefix="shift"),
        "passages": PassagesForm(zones=zones),
        **refused,
    }
    status = _status(*refused.values())
    return render(request, "register/site_places.html", shown, status=status)


def _status(*forms: Form) -> int:
    """422 where a form comes back with what is wrong."""
    return 422 if any(form.errors for form in forms) else 200
