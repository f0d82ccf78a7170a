"""The acts on a rescue kit: made up, filled, sealed, opened, hung in its place."""

from __future__ import annotations

from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from register import clock
from register.access import fetch, needs, sites_for
from register.actions import custody, kits
from register.forms.kits import FillForm, KitForm, PartForm, PlaceForm, SealForm, UnsealForm
from register.models import Item, Kit
from register.telling import kept, stamp_of


@needs("kit.make")
def kit_new(request: HttpRequest) -> HttpResponse:
    form = KitForm(request.POST or None, rows=_rows(request), initial=request.GET.dict())
    told = form.cleaned_data if form.is_valid() else {}
    if kept(
        request,
        form,
        lambda: kits.make_kit(
            told["bag"], name=told["name"], roles=told["roles"], stamp=stamp_of(request)
        ),
        _("Kit %(get)s is made up. Put its parts in, then seal it.") % {"get": told.get("name")},
    ):
        return redirect("inspections:kit-detail", name=told["name"])
    return render(request, "register/kit_new.html", {"form": form})


@needs("kit.make")
def kit_fill(request: HttpRequest, name: str) -> HttpResponse:
    kit = _kit(request, "kit.make", name)
    asked = {"role": request.GET.get("role", "")}
    form = FillForm(request.POST or None, kit=kit, rows=_rows(request), initial=asked)
    if kept(
        request,
        form,
        lambda: kits.fill_part(kit, stamp=stamp_of(request), **form.cleaned_data),
        _("Put into kit %(kit)s. Seal it once it is complete.") % {"kit": kit},
    ):
        return redirect(kit)
    return render(request, "register/kit_fill.html", {"form": form, "kit": kit})


@needs("kit.make")
def kit_take_out(request: HttpRequest, name: str) -> HttpResponse:
    kit = _kit(request, "kit.make", name)
    asked = {"role": request.GET.get("role", "")}
    form = PartForm(request.POST or None, kit=kit, initial=asked)
    if kept(
        request,
        form,
        lambda: kits.take_out_part(kit, stamp=stamp_of(request), **form.cleaned_data),
        _("Taken out of kit %(kit)s, which is out of use until it is filled and sealed.")
        % {"kit": kit},
    ):
        return redirect(kit)
    return render(request, "register/kit_take_out.html", {"form": form, "kit": kit})


@needs("kit.seal")
def kit_seal(request: HttpRequest, name: str) -> HttpResponse:
    kit = _kit(request, "kit.seal", name)
    form = SealForm(request.POST or None)
    stamp = stamp_of(request)
    on = clock.day_at(kit.item.site, stamp.at)
    if kept(
        request,
        form,
        lambda: kits.seal_kit(kit, on=on, stamp=stamp, **form.cleaned_data),
        _("Kit %(kit)s is sealed.") % {"kit": kit},
    ):
        return redirect(kit)
    return render(request, "register/kit_seal.html", {"form": form, "kit": kit})


@needs("kit.seal")
def kit_unseal(request: HttpRequest, name: str) -> HttpResponse:
    kit = _kit(request, "kit.seal", name)
    form = UnsealForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: kits.unseal_kit(kit, stamp=stamp_of(request), **form.cleaned_data),
        _("Kit %(kit)s is out of use until it is sealed anew.") % {"kit": kit},
    ):
        return redirect(kit)
    return render(request, "register/kit_unseal.html", {"form": form, "kit": kit})


@needs("item.move")
def kit_place(request: HttpRequest, name: str) -> HttpResponse:
    kit = _kit(request, "item.move", name)
    here = {"zone": kit.item.zone_id, "place": kit.item.place}
    form = PlaceForm(request.POST or None, kit=kit, initial=here)
    if kept(
        request,
        form,
        lambda: custody.place_at(kit.item, stamp=stamp_of(request), **form.cleaned_data),
        _("Kit %(kit)s has its place.") % {"kit": kit},
    ):
        return redirect(kit)
    return render(request, "register/kit_place.html", {"form": form, "kit": kit})


def _kit(request: HttpRequest, need: str, name: str) -> Kit:
    return fetch(Kit.objects.select_related("item__site"), request.user, need, name=name)


def _rows(request: HttpRequest) -> QuerySet[Item]:
    """What may become a kit or a part of one."""
    return Item.objects.with_product().filter(site__in=sites_for(request.user, "kit.make"))
