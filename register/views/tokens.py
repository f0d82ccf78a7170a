"""Tokens for other systems: one's own, and for administrators those of the users they see."""

from __future__ import annotations

from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from register import clock
from register.access import may, needs, users_for
from register.actions.tokens import make_token, revoke_token
from register.asking_again import asks_again
from register.forms.tokens import TokenForm
from register.models import AccessToken
from register.refusal import Refusal
from register.telling import stamp_of, told_to


@needs("token.make")
def token_list(request: HttpRequest) -> HttpResponse:
    """Those that work first; a token is told by its name and its public beginning alone."""
    today = clock.now().date()
    rows = _tokens(request).select_related("owner__person").prefetch_related("sites")
    told = [(token, token.works_on(today)) for token in rows]
    shown = {
        "tokens": sorted(told, key=lambda row: not row[1]),
        "oversees": may(request.user, "token.oversee"),
    }
    return render(request, "register/token_list.html", shown)


@never_cache
@needs("token.make")
@asks_again
def token_new(request: HttpRequest) -> HttpResponse:
    """Made here and shown in the answer, and never again."""
    owner: Any = request.user
    form = TokenForm(request.POST or None, user=owner, today=clock.now().date())
    if form.is_valid():
        said = form.cleaned_data
        chosen, everywhere = list(said.pop("sites")), said.pop("every_site")
        sites = None if everywhere else chosen
        try:
            token, written = make_token(owner, sites=sites, stamp=stamp_of(request), **said)
        except Refusal as refusal:
            form.add_error(None, refusal.sentence)
        else:
            shown = {"token": token, "written": str(written)}
            return render(request, "register/token_shown.html", shown)
    status = 422 if form.errors else 200
    return render(request, "register/token_new.html", {"form": form}, status=status)


@needs("token.make")
def token_revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """It works no longer from the next request on."""
    token = get_object_or_404(_tokens(request), pk=pk)
    if request.method != "POST":
        return render(request, "register/token_revoke.html", {"token": token})
    with told_to(request, _("The token “%(name)s” is revoked.") % {"name": token.name}):
        revoke_token(token, stamp=stamp_of(request))
    return redirect("register:token-list")


def _tokens(request: HttpRequest) -> QuerySet[AccessToken]:
    own = AccessToken.objects.visible_to(request.user)
    if not may(request.user, "token.oversee"):
        return own
    theirs = AccessToken.objects.of_users(users_for(request.user, "token.oversee"))
    return AccessToken.objects.filter(Q(pk__in=own.values("pk")) | Q(pk__in=theirs.values("pk")))
