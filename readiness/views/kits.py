"""What a rescue kit can do and when nobody can get at it."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.kits import rate_kit
from readiness.forms.kits import KitAbilityForm
from readiness.models import KitAbility
from register.access import fetch, needs
from register.models import Kit
from register.telling import kept, stamp_of


@needs("kit.rate")
def kit_rate(request: HttpRequest, name: str) -> HttpResponse:
    """Rate the kit from its makers' instructions; an unrated kit covers nothing."""
    rows = Kit.objects.select_related("item__site", "ability")
    kit = fetch(rows, request.user, "kit.rate", name=name)
    ability = getattr(kit, "ability", None) or KitAbility(kit=kit)
    form = KitAbilityForm(request.POST or None, instance=ability, site_id=kit.site_id)
    if form.is_valid():
        locked_on = list(form.cleaned_data["locked_shifts"])
        rate = partial(rate_kit, form.instance, locked_on=locked_on, stamp=stamp_of(request))
        if kept(request, form, rate, _("Kit %(kit)s is rated.") % {"kit": kit}):
            return redirect(kit.item.site)
    shown = {"kit": kit, "form": form}
    return render(request, "readiness/kit_rate.html", shown, status=422 if form.errors else 200)
