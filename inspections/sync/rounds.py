"""A round gone without signal: begun with its list, signed, and what was met beside it."""

from __future__ import annotations

from django.utils.translation import gettext as _

from inspections.actions.round_ends import note_stray, sign_round, take_on_in_round
from inspections.actions.rounds import MOST_ITEMS, Plan, begin_round
from inspections.models import Round, SyncEvent
from inspections.rules.phone_times import for_good_news
from inspections.sync.bodies import Body, unsound
from inspections.sync.context import Context, Done, Keep, Outcome, Wait, known_item
from inspections.sync.looks import round_of
from register.models import Item, Product
from register.rules.classes import CLASSES

NEED = "inspection.record"


def round_begin(body: Body, told: Context) -> Done:
    """The id of the event is that of the round. What has gone from the site is not on its list."""
    site = told.site(body.text("site", 20))
    told.demand(NEED, site.pk)
    codes = body.texts("items", MOST_ITEMS)
    items = list(Item.objects.filter(code__in=codes, site=site).order_by("code"))
    plan = Plan(
        site=site,
        kind=body.text("kind", 24),
        covers_periodic=body.flag("covers_periodic"),
        chosen=body.text("chosen", 300),
        id=told.event.pk,
        began_at=for_good_news(told.told),
    )
    begin_round(plan, inspector=told.inspector, items=items, stamp=told.stamp)
    return Done(result=f"round:{told.event.pk}")


def round_sign(body: Body, told: Context) -> Done:
    """Signed once all looks that the inspector had before him are here; not without one of them."""
    found = _round(body, told)
    told.event.site = found.site
    told.demand(NEED, found.site_id)
    looks = body.texts("looks")
    rows = SyncEvent.objects.filter(pk__in=_keys(looks))
    outcomes = {str(row.pk): row.outcome for row in rows}
    lacking = [one for one in looks if outcomes.get(one, Outcome.WAITS) == Outcome.WAITS]
    if lacking:
        raise Wait(*(f"event:{one}" for one in lacking))
    if Outcome.REFUSED in outcomes.values():
        raise Keep(
            "looks-refused",
            _("A look of this round was refused: settle that first, then sign the round here."),
        )
    stated = body.flag("stated")
    sign_round(found, stated=stated, note=body.text("note"), stamp=told.stamp)
    return Done(result=f"round:{found.pk}")


def _keys(looks: list[str]) -> list[str]:
    keys = [Body({"looks": one}).key("looks") for one in looks]
    return [str(key) for key in keys]


def take_on(body: Body, told: Context) -> Done:
    """An item on no record is taken on in quarantine; the answer gives its new tag."""
    found = _round(body, told)
    told.event.site = found.site
    told.demand(NEED, found.site_id)
    line = take_on_in_round(
        found,
        _product(body),
        serial=body.text("serial", 60),
        text=body.text("text", 60),
        look=told.event.pk,
        stamp=told.stamp,
    )
    told.event.item = line.item
    return Done(result=f"item:{line.item.code}" if line.item else "")


def stray(body: Body, told: Context) -> Done:
    """A code of no one, or an item of another site, stands in the round as what it was."""
    found = _round(body, told)
    told.event.site = found.site
    told.demand(NEED, found.site_id)
    text = body.text("text", 60)
    item = known_item(text) if text else None
    there = item if item and item.site_id != found.site_id else None
    words = text or _("no tag")
    note_stray(found, text=words, item=there, look=told.event.pk, stamp=told.stamp)
    return Done(result=f"round:{found.pk}")


def _round(body: Body, told: Context) -> Round:
    found = round_of(body, told)
    if found is None:
        raise unsound("round")
    return found


def _product(body: Body) -> Product:
    """One that is known, or a new one by what stands on the label."""
    if key := body.number("product"):
        known = Product.objects.filter(pk=key).first()
        if known is None:
            raise unsound("product")
        return known
    kind = body.text("equipment_class", 40)
    maker, designation = body.text("maker", 120), body.text("designation", 120)
    if kind not in CLASSES or not maker or not designation:
        raise unsound("equipment_class" if kind not in CLASSES else "maker")
    known = Product.objects.filter(maker=maker, designation=designation).first()
    return known or Product(maker=maker, designation=designation, equipment_class=kind)
