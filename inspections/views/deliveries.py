"""Goods in: the common particulars, each piece by eye, then what is to be accepted."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db.models import Count, Q, QuerySet
from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from inspections.actions.receiving import receive_delivery, receive_new_product
from inspections.notice_board import meant_among
from register.access import fetch, may, needs
from register.actions.deliveries import Piece
from register.actions.documents import keep_document
from register.actions.goods_in import declare, reject
from register.forms.deliveries import (
    MOST_BYTES,
    NEW_PRODUCT,
    DeclarationForm,
    DeliveryForm,
    PieceForm,
    PieceFormSet,
    filled,
)
from register.models import Delivery, Document, Item, Product
from register.rules.conditions import Condition
from register.rules.serials import serial_key
from register.telling import kept, stamp_of, told_to

SHARED = ("site", "supplier", "order_number", "delivery_note", "received_on", "declaration_on")
RECENT = 12


@needs("item.receive")
def delivery_new(request: HttpRequest) -> HttpResponse:
    """Step one: the particulars and the serials; 'check' leads to the labels, 'save' ends there."""
    given = request.POST.copy()
    upload = request.FILES.get("declaration")
    if isinstance(upload, UploadedFile) and 0 < (upload.size or 0) <= MOST_BYTES:
        given["kept"] = _keep(request).sha256
    if "fill" in given:
        return _fill(request, given)
    form = DeliveryForm(given or None, request.FILES or None, user=request.user)
    if not form.is_valid() or "back" in given:
        return _particulars(request, form)
    save = "save" in given
    pieces = PieceFormSet(given if save else None, prefix="piece", initial=_pieces_asked(form))
    if save and pieces.is_valid() and (delivery := _saved(request, form, pieces)):
        return redirect("inspections:delivery-detail", pk=delivery.pk)
    page = {"form": form, "pieces": pieces, "product": _product(form), "known": _known(form)}
    return render(request, "inspections/delivery_labels.html", page)


@needs("item.see")
def delivery_detail(request: HttpRequest, pk: int) -> HttpResponse:
    """The pieces with their tags; what is still to be accepted can be, or goes back."""
    rows = Delivery.objects.select_related("site", "product", "declaration")
    delivery = fetch(rows, request.user, "item.see", pk=pk)
    items = list(delivery.items.select_related("product").order_by("serial_key", "code"))
    page = {
        "delivery": delivery,
        "items": items,
        "meant": meant_among(items),
        "waiting": sum(item.condition == Condition.RECEIVED for item in items),
        "chosen": request.GET.getlist("item"),
        "because": request.GET.get("because", ""),
        "form": DeclarationForm(),
        "may_accept": may(request.user, "item.accept", delivery.site_id),
        "may_receive": may(request.user, "item.receive", delivery.site_id),
        "may_print": may(request.user, "label.print", delivery.site_id),
    }
    return render(request, "inspections/delivery_detail.html", page)


@needs("item.receive")
@require_POST
def delivery_reject(request: HttpRequest, pk: int) -> HttpResponse:
    """The chosen pieces go back to the supplier."""
    delivery = fetch(Delivery.objects.all(), request.user, "item.receive", pk=pk)
    chosen = request.POST.getlist("item")
    because = request.POST.get("because", "")
    with told_to(request, _("Rejected. They go back to the supplier.")):
        items = list(delivery.items.filter(pk__in=_numbers(chosen)))
        reject(items, because=because, stamp=stamp_of(request))
        return redirect("inspections:delivery-detail", pk=pk)
    query = request.POST.copy()
    query.pop("csrfmiddlewaretoken", None)
    return redirect(f"{reverse('inspections:delivery-detail', args=[pk])}?{query.urlencode()}")


@needs("item.receive")
def delivery_declare(request: HttpRequest, pk: int) -> HttpResponse:
    """The declaration that was missing has come."""
    rows = Delivery.objects.select_related("site", "product")
    delivery = fetch(rows, request.user, "item.receive", pk=pk)
    form = DeclarationForm(request.POST or None, request.FILES or None)
    if kept(
        request,
        form,
        lambda: declare(
            delivery,
            document=_keep(request),
            declaration_on=form.cleaned_data["declaration_on"],
            stamp=stamp_of(request),
        ),
        _("The declaration is on file. Accept the pieces now."),
    ):
        return redirect("inspections:delivery-detail", pk=pk)
    return render(
        request, "inspections/delivery_declare.html", {"form": form, "delivery": delivery}
    )


def _particulars(request: HttpRequest, form: DeliveryForm, wrong: str = "") -> HttpResponse:
    """The first step, with the latest deliveries below it."""
    recent = (
        Delivery.objects.visible_to(request.user)
        .select_related("site", "product")
        .annotate(
            pieces=Count("items"),
            waiting=Count("items", filter=Q(items__condition=Condition.RECEIVED)),
        )
        .order_by("-received_on", "-pk")[:RECENT]
    )
    return render(
        request, "inspections/delivery_new.html", {"form": form, "recent": recent, "wrong": wrong}
    )


def _fill(request: HttpRequest, given: Any) -> HttpResponse:
    """The range goes into the serials; nothing else is judged yet."""
    first, count, serials = (given.get(name, "") for name in ("first", "count", "serials"))
    given["serials"], wrong = filled(first, count, serials)
    form = DeliveryForm(initial=given.dict(), user=request.user)
    return _particulars(request, form, wrong)


def _pieces_asked(form: DeliveryForm) -> list[dict[str, str]]:
    size = form.cleaned_data["size"]
    return [{"serial": serial, "size": size} for serial in form.cleaned_data["serials"]]


def _product(form: DeliveryForm) -> Product:
    """The chosen product, or the new one, not yet saved."""
    told = form.cleaned_data
    names = (*NEW_PRODUCT, "standards", "max_user_kg")
    return told["product"] or Product(**{name: told[name] for name in names})


def _known(form: DeliveryForm) -> QuerySet[Item]:
    """The pieces of this product that are registered with one of these serials already."""
    product = form.cleaned_data["product"]
    keys = [serial_key(serial) for serial in form.cleaned_data["serials"]]
    if product is None:
        return Item.objects.none()
    return Item.objects.filter(product=product, serial_key__in=keys).order_by("code")


def _saved(
    request: HttpRequest, form: DeliveryForm, pieces: BaseFormSet[PieceForm]
) -> Delivery | None:
    """Receive it; refused, the form of the particulars says why."""
    told = form.cleaned_data
    product = _product(form)
    delivery = Delivery(declaration=told["kept"], **{name: told[name] for name in SHARED})
    made = [_piece(told, one.cleaned_data) for one in pieces.forms]
    stamp = stamp_of(request)

    def act() -> None:
        if product.pk:
            delivery.product = product
            receive_delivery(delivery, made, stamp=stamp)
        else:
            receive_new_product(product, delivery, made, stamp=stamp)

    said = _("%(number)s received. Print their labels, then accept them.") % {"number": len(made)}
    return delivery if kept(request, form, act, said) else None


def _piece(told: dict[str, Any], own: dict[str, Any]) -> Piece:
    return Piece(
        serial=own["serial"],
        size=own["size"],
        batch=told["batch"],
        made=told["made"],
        use_class=told["use_class"],
        purchased_on=None if told["owner"] else told["received_on"],
        owner=told["owner"],
        hire_end_on=told["hire_end_on"],
    )


def _keep(request: HttpRequest) -> Document:
    """The uploaded declaration, kept at once, because a browser cannot send it a second time."""
    upload: UploadedFile[bytes] = request.FILES["declaration"]  # type: ignore[assignment]
    name = str(upload.name)
    kind = Document.Kind.DECLARATION
    return keep_document(upload.read(), name=name, kind=kind, stamp=stamp_of(request))


def _numbers(texts: list[str]) -> list[int]:
    return [int(text) for text in texts if text.isdecimal()]
