"""What is on its way to a site, and scanning it in."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _

from inspections.actions.moving import arrive
from register.access import needs, sites_for
from register.forms.arrivals import ArrivalForm
from register.models import Item, Kit, Site
from register.refusal import Refusal
from register.telling import kept, stamp_of


@needs("item.move")
def arrivals(request: HttpRequest) -> HttpResponse:
    """Each scan brings one item in; the site stays chosen."""
    sites = sites_for(request.user, "item.move")
    asked = request.GET.get("site")
    first = sites.filter(code=asked).first() or sites.first()
    form = ArrivalForm(request.POST or None, user=request.user, initial={"site": first})
    if form.is_valid():
        item, site = form.cleaned_data["code"], form.cleaned_data["site"]
        said = f"{item.shown_code} {item.product.kind_name.lower()} {item.size}".strip()
        if kept(
            request,
            form,
            lambda: _arrive(request, item, site),
            _("%(said)s: now at %(site)s.") % {"said": said, "site": site},
        ):
            return _next(request, item, site)
    coming = Item.objects.with_product().filter(custody="in-transit", bound_for__in=sites)
    page = {
        "form": form,
        "coming": coming.select_related("bound_for").order_by("bound_for", "code"),
    }
    return render(request, "inspections/arrivals.html", page)


def _next(request: HttpRequest, item: Item, site: Site) -> HttpResponse:
    """To the next scan; but a kit is asked at once where it hangs, for without that none reach it."""
    kit = Kit.objects.filter(item=item).first()
    if kit:
        messages.info(
            request,
            _("Where does kit %(kit)s hang? Until that is said it covers nothing.") % {"kit": kit},
        )
        return redirect("register:kit-place", kit.name)
    return redirect(f"{reverse('inspections:arrivals')}?site={site.code}")


def _arrive(request: HttpRequest, item: Item, site: Site) -> Item:
    """Bring in what is bound for this site; anything else is told, and stays where it is."""
    if item.bound_for_id != site.pk:
        there = (
            _("on its way to %(bound_for)s") % {"bound_for": item.bound_for}
            if item.bound_for
            else _("at %(site)s") % {"site": item.site}
        )
        raise Refusal(
            "not-bound-here",
            _(
                "%(item)s is %(there)s in the register, not on its way to %(site)s. Look at its"
                " page: it may have to be sent here first."
            )
            % {"item": item.shown_code, "there": there, "site": site},
        )
    return arrive(item, at=site, stamp=stamp_of(request))
