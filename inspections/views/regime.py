"""The employer's regime, with every line it relies on and how well that line is known."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from inspections.actions.regime import change_regime
from inspections.conditions import DEFAULT_SCHEMES, schemes_in_force
from inspections.forms.regime import RegimeForm
from inspections.models import Regime
from inspections.wording import scheme_line_words
from register.access import demand_everywhere, may_everywhere, needs
from register.telling import kept, stamp_of


@needs("regime.change")
def regime_edit(request: HttpRequest) -> HttpResponse:
    """It holds for every site, so only who holds every site changes it."""
    if request.method == "POST":
        demand_everywhere(request.user, "regime.change")
    regime = Regime.objects.first() or Regime(schemes=list(DEFAULT_SCHEMES))
    form = RegimeForm(request.POST or None, regime=regime)
    if kept(
        request,
        form,
        lambda: change_regime(
            schemes=form.cleaned_data["schemes"], shorter=form.shorter(), stamp=stamp_of(request)
        ),
        "The regime is changed, and every date is counted anew.",
    ):
        return redirect("inspections:regime-edit")
    lines = [
        (scheme.name, [scheme_line_words(line) for line in scheme.lines])
        for scheme in schemes_in_force()
    ]
    may_change = may_everywhere(request.user, "regime.change")
    shown = {"form": form, "lines": lines, "may_change": may_change}
    status = 422 if form.errors else 200
    return render(request, "inspections/regime_edit.html", shown, status=status)
