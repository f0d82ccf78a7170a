"""The outbox as administrators see it: what waits, what was given up and why, where nobody is told."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from register import clock
from register.access import demand_everywhere, may_everywhere, needs, users_for
from register.actions.messages import set_terms, try_again
from register.forms.messages import MessageTermsForm
from register.models import Message, MessageTerms
from register.models.messages import sender_rests
from register.telling import kept, stamp_of, told_to
from register.views.messages import untold_words

NEED = "message.oversee"
SHOWN = 50


@needs(NEED)
def outbox(request: HttpRequest) -> HttpResponse:
    """Of the users whom one oversees; and the hour of the morning, for who may set it."""
    terms = MessageTerms.objects.first() or MessageTerms()
    form = MessageTermsForm(request.POST or None, instance=terms)
    if request.method == "POST":
        demand_everywhere(request.user, NEED)
        if kept(request, form, lambda: _set(request, form), _("The hour is kept.")):
            return redirect("register:outbox")
    theirs = Message.objects.filter(user__in=users_for(request.user, NEED))
    given_up = theirs.filter(given_up_at__isnull=False).select_related("user__person")
    waiting = theirs.waiting()
    shown = {
        "given_up": given_up.order_by("-given_up_at")[:SHOWN],
        "waiting": waiting.count(),
        "failed": waiting.filter(tries__gt=0).select_related("user__person")[:SHOWN],
        "rests": settings.MAIL_ON and sender_rests(terms, clock.now()),
        "mail_on": settings.MAIL_ON,
        "untold": untold_words(request),
        "form": form if may_everywhere(request.user, NEED) else None,
    }
    return render(request, "register/outbox.html", shown, status=422 if form.errors else 200)


@require_POST
@needs(NEED)
def message_retry(request: HttpRequest, pk: str) -> HttpResponse:
    """Let a message that was given up go out after all."""
    rows = Message.objects.filter(user__in=users_for(request.user, NEED))
    message = get_object_or_404(rows, pk=pk)
    with told_to(request, _("It is tried again.")):
        try_again(message, stamp=stamp_of(request))
    return redirect("register:outbox")


def _set(request: HttpRequest, form: MessageTermsForm) -> MessageTerms:
    return set_terms(morning_hour=form.cleaned_data["morning_hour"], stamp=stamp_of(request))
