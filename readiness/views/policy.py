"""The limits by which rescue cover is judged."""

from __future__ import annotations

from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from readiness.actions.policy import change_policy
from readiness.forms.policy import PolicyForm
from readiness.models import CoverPolicy
from register.access import demand_everywhere, may_everywhere, needs
from register.telling import kept, stamp_of


@needs("policy.change")
def policy_edit(request: HttpRequest) -> HttpResponse:
    """They hold for every site, so only who holds every site changes them."""
    if request.method == "POST":
        demand_everywhere(request.user, "policy.change")
    form = PolicyForm(request.POST or None, instance=CoverPolicy.objects.first())
    change = partial(change_policy, form.instance, stamp=stamp_of(request))
    if kept(
        request, form, change, _("The limits are changed; cover is judged by them from now on.")
    ):
        return redirect("readiness:policy-edit")
    shown = {"form": form, "may_change": may_everywhere(request.user, "policy.change")}
    status = 422 if form.errors else 200
    return render(request, "readiness/policy_edit.html", shown, status=status)
