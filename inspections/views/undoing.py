"""An item withdrawn in error: one of two people asks on this page, the other agrees on it."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from inspections.actions.undoing import agree_undo_withdrawal, ask_undo_withdrawal
from inspections.forms.events import AgreeForm, AskForm
from register.access import fetch, needs
from register.actions.reversing import open_reversal
from register.asking_again import asks_again
from register.models import Item
from register.telling import kept, stamp_of


@needs("item.undo-withdrawal")
@asks_again
def item_undo(request: HttpRequest, code: str) -> HttpResponse:
    """Into quarantine at the most, and only by a competent person and a manager together."""
    item = fetch(Item.objects.with_product(), request.user, "item.undo-withdrawal", code=code)
    asked = open_reversal(item)
    is_second = asked is not None and asked.asked_by != request.user
    form = (AgreeForm if is_second else AskForm)(request.POST or None)

    def act() -> None:
        if is_second:
            agree_undo_withdrawal(item, stamp=stamp_of(request))
        else:
            ask_undo_withdrawal(item, stamp=stamp_of(request), **form.cleaned_data)

    said = (
        _("%(item)s is in quarantine. It is used again only after a pass and a release.")
        % {"item": item.shown_code}
        if is_second
        else _("Asked. %(item)s stays withdrawn until a second person agrees.")
        % {"item": item.shown_code}
    )
    if kept(request, form, act, said):
        return redirect(item)
    page = {"item": item, "form": form, "asked": asked, "is_second": is_second}
    return render(request, "inspections/item_undo.html", page)
