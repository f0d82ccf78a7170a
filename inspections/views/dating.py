"""The pages on which facts that start or end clocks are stated: of an item, and of a product."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _

from inspections.actions.dating import state_dates, state_limits
from inspections.actions.moving import put_up
from inspections.forms.dating import ItemDatesForm, LimitsForm, PutUpForm
from register import clock
from register.access import demand_everywhere, fetch, may_everywhere, needs
from register.models import Item, Product
from register.telling import kept, stamp_of


@needs("item.date")
def item_dates(request: HttpRequest, code: str) -> HttpResponse:
    item = fetch(Item.objects.with_product(), request.user, "item.date", code=code)
    form = ItemDatesForm(request.POST or None, item=item)
    if kept(
        request,
        form,
        lambda: state_dates(item, stamp=stamp_of(request), **form.told()),
        _("%(item)s: its dates are counted anew.") % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "inspections/item_dates.html", {"item": item, "form": form})


@needs("item.move")
def item_place(request: HttpRequest, code: str) -> HttpResponse:
    """Where an anchor is put up; it is inspected there before it is used."""
    item = fetch(Item.objects.with_product(), request.user, "item.move", code=code)
    form = PutUpForm(request.POST or None, item=item, day=clock.today(item.site))
    if kept(
        request,
        form,
        lambda: put_up(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s has its place. Put up anew, it is inspected there before use.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "inspections/item_place.html", {"item": item, "form": form})


@needs("item.date")
def product_limits(request: HttpRequest, pk: int) -> HttpResponse:
    """They hold at every site, so only who holds every site changes them."""
    product = get_object_or_404(Product.objects.visible_to(request.user), pk=pk)
    if request.method == "POST":
        demand_everywhere(request.user, "item.date")
    form = LimitsForm(request.POST or None, product=product)

    def act() -> None:
        told = form.cleaned_data["because"]
        state_limits(product, limits=form.limits(), because=told, stamp=stamp_of(request))

    said = _("%(product)s: every piece is counted anew. Look at what is due.") % {
        "product": product
    }
    if kept(request, form, act, said):
        return redirect("inspections:product-limits", pk)
    page = {
        "product": product,
        "pieces": product.items.visible_to(request.user).count(),
        "form": form,
        "may_change": may_everywhere(request.user, "item.date"),
    }
    return render(request, "inspections/product_limits.html", page)
