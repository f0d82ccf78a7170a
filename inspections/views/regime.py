"""The employer's regime, with every line it relies on and how well that line is known."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.regime import change_regime, not_counted_yet
from inspections.forms.regime import RegimeForm
from inspections.models import Regime
from inspections.regime import DEFAULT_SCHEMES, RegimeInForce, regime_in_force, scheme, scheme_slugs
from inspections.regime_wording import classes_words, sections_of
from inspections.rules.schemes import interval
from inspections.tasks import count_anew_in_background
from register.access import demand_everywhere, may_everywhere, needs
from register.asking_again import asks_again
from register.rules.classes import CLASSES, USE_CLASSES
from register.telling import kept, stamp_of


@needs("regime.change")
@asks_again
def regime_edit(request: HttpRequest) -> HttpResponse:
    """It holds for every site, so only who holds every site changes it."""
    if request.method == "POST":
        demand_everywhere(request.user, "regime.change")
    regime = Regime.objects.first() or Regime(schemes=list(DEFAULT_SCHEMES))
    form = RegimeForm(request.POST or None, regime=regime)
    if kept(
        request,
        form,
        lambda: change_regime(**form.regime(), stamp=stamp_of(request)),
        _("The regime is changed, and every date is counted anew."),
    ):
        if not_counted_yet().exists():
            count_anew_in_background.enqueue()
        return redirect("inspections:regime-edit")
    in_force = regime_in_force()
    others = [scheme(slug) for slug in scheme_slugs() if slug not in regime.schemes]
    looked_at = [each for each in others if each.slug == request.GET.get("look")]
    shown = {
        "form": form,
        "schemes": [(each, sections_of(each)) for each in (*in_force.schemes, *looked_at)],
        "others": sorted(others, key=lambda each: each.name),
        "looked_at": looked_at,
        "without_interval": classes_words(free) if (free := _without_interval(in_force)) else "",
        "not_counted": not_counted_yet().count(),
        "may_change": may_everywhere(request.user, "regime.change"),
    }
    status = 422 if form.errors else 200
    return render(request, "inspections/regime_edit.html", shown, status=status)


def _without_interval(regime: RegimeInForce) -> frozenset[str]:
    """Classes that, in some use, have no periodic interval: not usable unless the maker sets one."""
    return frozenset(
        slug
        for slug in CLASSES
        for use in USE_CLASSES
        if regime.own_interval(slug, use) is None
        and interval(regime.schemes, slug, use, "detailed") is None
    )
