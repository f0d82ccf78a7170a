"""The page behind a tag's QR: OK to use or not, and with the secret a way to stop the item."""

from __future__ import annotations

import secrets
from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from inspections.actions.telling_at_once import stop_from_tag
from inspections.conditions import verdict_of
from inspections.forms.tag import TagQuarantineForm, may_act_again
from inspections.looks import tail_of
from inspections.round_board import is_waiting
from inspections.rules.verdict import Verdict
from inspections.wording import reason, what_to_do
from register import clock
from register.access import may, open_page
from register.models import Item, Tag
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.rules.tags import read, shown
from register.telling import stamp_of

STOPPABLE = frozenset({Condition.IN_SERVICE, Condition.RECEIVED})


@open_page("whoever holds the item in the hand must know whether to use it; it names no person")
@never_cache
def tag(request: HttpRequest, code: str, secret: str = "") -> HttpResponse:
    """The verdict for the site's own day; who may act gets the form that takes the item out."""
    typed = read(code)
    if typed.code is None:
        return _no_item(request, code[:20], _mistyped(code))
    found = Tag.objects.select_related("item__product", "item__site", "item__as_kit")
    row = found.filter(code=typed.code).first()
    if row is None:
        return _no_item(
            request, shown(typed.code), _("This is the code of no item in the register.")
        )
    item = row.item
    form = TagQuarantineForm(request.POST or None) if _may_stop(request, row, secret) else None
    if form and form.is_valid() and _stopped(request, item, form):
        return redirect(request.path)
    return render(
        request, "inspections/tag.html", _page(row, item, form), status=_status(request, form)
    )


def _may_stop(request: HttpRequest, row: Tag, secret: str) -> bool:
    """The secret that stands on the tag, or a login that may quarantine the item it sees."""
    item = row.item
    if item.condition not in STOPPABLE:
        return False
    if secret and secrets.compare_digest(secret.upper().encode(), row.secret.encode()):
        return True
    if not may(request.user, "item.quarantine"):
        return False
    return Item.objects.visible_to(request.user).filter(pk=item.pk).exists()


def _stopped(request: HttpRequest, item: Item, form: TagQuarantineForm) -> bool:
    """Quarantine the item; without a login only so often an hour."""
    if not request.user.is_authenticated and not may_act_again(_address(request), item.code):
        form.add_error(None, _throttled())
        return False
    told = form.cleaned_data
    stamp = replace(stamp_of(request), device="tag page")
    try:
        stop_from_tag(item, reason=told["reason"], note=told["note"], stamp=stamp)
    except Refusal as refusal:
        form.add_error(None, refusal.sentence)
        return False
    return True


def _page(row: Tag, item: Item, form: TagQuarantineForm | None) -> dict[str, object]:
    verdict = verdict_of(item, clock.today(item.site))
    return {
        "verdict": {
            "usable": verdict.usable,
            "through": verdict.through,
            "sentence": _without_the_head(verdict),
        },
        "waits": not verdict.usable and is_waiting(item, verdict),
        "what_to_do": "" if verdict.usable else what_to_do(verdict.code),
        "item": item,
        "kit": getattr(item, "as_kit", None),
        "in_kit": item.kit if item.custody == "kit" else None,
        "code": item.shown_code,
        "serial_tail": tail_of(item.serial),
        "replaced": shown(row.code) if row.replaced_at else "",
        "form": form,
        "tell_stores": form is None and item.condition in STOPPABLE,
    }


def _without_the_head(verdict: Verdict) -> str:
    """The sentence, less the words that the head of the page says already."""
    if not verdict.usable:
        why = reason(verdict.code, verdict.facts)
        return why[:1].upper() + why[1:] + "."
    if verdict.code == "usable-restricted":
        use = dict(verdict.facts)["restricted_to"]
        return _("For %(use)s only.") % {"use": use}
    return ""


def _status(request: HttpRequest, form: TagQuarantineForm | None) -> int:
    """A post that did nothing says so: 403 without the right, 400 for what is missing."""
    if request.method != "POST":
        return 200
    return 400 if form else 403


def _no_item(request: HttpRequest, code: str, sentence: str) -> HttpResponse:
    """A code that leads to nothing: nobody vouches for what it hangs on."""
    verdict = {"usable": False, "through": None, "sentence": sentence}
    page = {"verdict": verdict, "code": code, "what_to_do": what_to_do("not-registered")}
    return render(request, "inspections/tag.html", page, status=404)


def _mistyped(code: str) -> str:
    return _(
        "“%(code)s” is mistyped: no tag reads like that. Compare with the tag and try again."
    ) % {"code": code[:20]}


def _throttled() -> str:
    return _(
        "Too much was taken out of use from here within the hour. Keep the item from being used and"
        " tell the stores."
    )


def _address(request: HttpRequest) -> str:
    return request.META.get("REMOTE_ADDR", "")
