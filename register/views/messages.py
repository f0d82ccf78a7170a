"""What one was told, and where one wants to be told: the address, its confirming, the kinds."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from register import clock
from register.access import needs, open_page, sites_for
from register.actions.messages import (
    ask_address,
    choose_kinds,
    confirm_address,
    leave_kind,
    remove_address,
)
from register.forms.messages import AddressForm, KindsForm
from register.messages.reach import untold
from register.messages.writing import confirmed_in, confirming_token, leaving_in
from register.models import Message, Postbox, Stamp, User
from register.rules.message_kinds import AT_ONCE, KINDS
from register.telling import kept, stamp_of, told_to
from register.throttling import once_more

NEED = "message.have"
SHOWN = 50
ASKED_AN_HOUR = 5
"""Letters with a link to one who asks: more would be a way to pester somebody else's postbox."""


@never_cache
@needs(NEED)
def message_list(request: HttpRequest) -> HttpResponse:
    """The last messages to the user, sent or not, and where they go."""
    box = _box(request.user)
    told = list(Message.objects.visible_to(request.user)[:SHOWN])
    shown = {
        "told": told,
        "box": box,
        "address_form": AddressForm(initial={"language": box.language or _language()}),
        "kinds_form": _kinds_form(box) if box.address else None,
        "mail_on": settings.MAIL_ON,
        "untold": untold_words(request),
    }
    return render(request, "register/message_list.html", shown)


@require_POST
@needs(NEED)
def address_ask(request: HttpRequest) -> HttpResponse:
    """Keep an address and send it the link that confirms it."""
    form = AddressForm(request.POST)
    if form.is_valid() and not once_more(f"ask-address-{request.user.pk}", ASKED_AN_HOUR):
        form.add_error(
            None, _("That was often enough for now. Look into your mail, try in an hour.")
        )
    said = _("A letter with a link is on its way to that address.")
    if kept(request, form, lambda: _asked(request, form), said):
        return redirect("register:message-list")
    shown = {"address_form": form, "box": _box(request.user), "mail_on": settings.MAIL_ON}
    return render(request, "register/message_list.html", shown, status=422)


@require_POST
@needs(NEED)
def address_remove(request: HttpRequest) -> HttpResponse:
    with told_to(request, _("Nothing is sent any more. Messages stay on this page.")):
        remove_address(request.user, stamp=stamp_of(request))
    return redirect("register:message-list")


@never_cache
@needs(NEED)
def address_confirm(request: HttpRequest) -> HttpResponse:
    """Signed in, and by a button: programs that open links in letters confirm nothing."""
    address = confirmed_in(request.GET.get("token", ""), request.user)
    if request.method != "POST" or address is None:
        return render(request, "register/address_confirm.html", {"address": address})
    with told_to(request, _("Your address is confirmed. Messages go there from now on.")):
        confirm_address(request.user, address=address, stamp=stamp_of(request))
    return redirect("register:message-list")


@require_POST
@needs(NEED)
def message_kinds(request: HttpRequest) -> HttpResponse:
    """Which kinds one wants, and in which language."""
    form = KindsForm(request.POST)
    if form.is_valid():
        told = {"left": form.left(), "language": form.cleaned_data["language"]}
        with told_to(request, _("What you chose is kept.")):
            choose_kinds(request.user, stamp=stamp_of(request), **told)
    return redirect("register:message-list")


@open_page("who leaves messages by the link in a letter need not sign in; it shows one kind's name")
@csrf_exempt  # mail programs post here by themselves (RFC 8058), and carry no token of ours
@never_cache
def unsubscribe(request: HttpRequest, token: str) -> HttpResponse:
    """A look asks, a post leaves: what opens links in letters by itself leaves nothing."""
    found = leaving_in(token)
    if found is None:
        raise Http404
    user = get_object_or_404(User, pk=found[0])
    kind = found[1]
    if request.method == "POST":
        leave_kind(user, kind, stamp=Stamp(by=None, at=clock.now(), device="letter"))
    page = {
        "kind": _(KINDS[kind].name),
        "left": request.method == "POST",
        "at_once": kind in AT_ONCE,
    }
    return render(request, "register/unsubscribe.html", page)


def untold_words(request: HttpRequest) -> list[dict[str, object]]:
    """For who oversees messages: each site at which nobody is told at once of something."""
    sites = sites_for(request.user, "message.oversee")
    return [
        {"site": one.site, "kinds": [_(KINDS[kind].name) for kind in one.kinds]}
        for one in untold(sites)
    ]


def _asked(request: HttpRequest, form: AddressForm) -> Postbox:
    told = form.cleaned_data
    token = confirming_token(request.user, told["address"])
    return ask_address(request.user, token=token, stamp=stamp_of(request), **told)


def _box(user: User) -> Postbox:
    return Postbox.objects.filter(pk=user.pk).first() or Postbox(user=user)


def _kinds_form(box: Postbox) -> KindsForm:
    wanted = [slug for slug in KINDS if slug not in box.left]
    said = {"kinds": wanted, "language": box.language or _language()}
    return KindsForm(initial=said, auto_id="id_of_%s")


def _language() -> str:
    return get_language() or settings.LANGUAGE_CODE
