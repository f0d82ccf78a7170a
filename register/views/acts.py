"""The acts on one item, each a page with its question; the domain's refusal stays on the form."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from register.access import fetch, needs
from register.actions import conditions, custody, marking
from register.actions.stopping import stopped_by_notice
from register.forms.acts import (
    BackForm,
    DestroyForm,
    FoundForm,
    LetGoForm,
    LostForm,
    QuarantineForm,
    RetagForm,
    SendAwayForm,
    TransferForm,
    WithdrawForm,
)
from register.models import Item
from register.telling import kept, stamp_of


@needs("item.quarantine")
def item_quarantine(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.quarantine", code)
    form = QuarantineForm(request.POST or None)
    said = _("%(item)s is out of use. Put it where nobody takes it by mistake.") % {
        "item": item.shown_code
    }
    if kept(
        request,
        form,
        lambda: stopped_by_notice(item, stamp=stamp_of(request), **form.cleaned_data),
        said,
    ):
        return redirect(item)
    return render(request, "register/item_quarantine.html", {"item": item, "form": form})


@needs("item.withdraw")
def item_withdraw(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.withdraw", code)
    form = WithdrawForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: conditions.withdraw(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is withdrawn for good. Destroy it before a witness.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_withdraw.html", {"item": item, "form": form})


@needs("item.destroy")
def item_destroy(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.destroy", code)
    form = DestroyForm(request.POST or None, user=request.user)
    if kept(
        request,
        form,
        lambda: conditions.destroy(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is recorded as destroyed. Its record stays.") % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_destroy.html", {"item": item, "form": form})


@needs("item.report-lost")
def item_report_lost(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.report-lost", code)
    form = LostForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: conditions.report_lost(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is recorded as not located.") % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_report_lost.html", {"item": item, "form": form})


@needs("item.report-found")
def item_report_found(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.report-found", code)
    form = FoundForm(
        request.POST or None, user=request.user, initial={"site": item.bound_for_id or item.site_id}
    )
    if kept(
        request,
        form,
        lambda: conditions.report_found(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is found. It stays in quarantine until it has been inspected.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_report_found.html", {"item": item, "form": form})


@needs("item.send-away")
def item_send_away(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.send-away", code)
    form = SendAwayForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: conditions.send_away(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is away for service.") % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_send_away.html", {"item": item, "form": form})


@needs("item.send-away")
def item_back(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.send-away", code)
    form = BackForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: conditions.take_back_from_service(
            item, stamp=stamp_of(request), **form.cleaned_data
        ),
        _("%(item)s is back. It stays in quarantine until it has been inspected.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_back.html", {"item": item, "form": form})


@needs("item.let-go")
def item_let_go(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.let-go", code)
    form = LetGoForm(request.POST or None)
    if kept(
        request,
        form,
        lambda: conditions.let_go(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s has left the undertaking. Give a copy of its last inspection along.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_let_go.html", {"item": item, "form": form})


@needs("item.move")
def item_transfer(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.move", code)
    form = TransferForm(request.POST or None, item=item)
    if kept(
        request,
        form,
        lambda: custody.dispatch(item, stamp=stamp_of(request), **form.cleaned_data),
        _("%(item)s is on its way. It covers nobody until it is scanned in there.")
        % {"item": item.shown_code},
    ):
        return redirect(item)
    return render(request, "register/item_transfer.html", {"item": item, "form": form})


@needs("item.retag")
def item_retag(request: HttpRequest, code: str) -> HttpResponse:
    item = _item(request, "item.retag", code)
    form = RetagForm(request.POST or None, item=item)

    def act() -> None:
        told = form.cleaned_data
        proof = "; ".join(filter(None, (f"serial {told['serial']}", told["identity_proof"])))
        because = told["because"]
        tag = marking.replace_tag(
            item, because=because, identity_proof=proof, stamp=stamp_of(request)
        )
        item.code = tag.code

    said = _("%(item)s has a new tag. Print the label and fix it now.") % {"item": item.shown_code}
    if kept(request, form, act, said):
        return redirect(item)
    return render(request, "register/item_retag.html", {"item": item, "form": form})


def _item(request: HttpRequest, need: str, code: str) -> Item:
    return fetch(Item.objects.with_product(), request.user, need, code=code)
