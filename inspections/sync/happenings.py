"""Bad news from a phone: out of use, an arrested fall, another event; and that a holder knows."""

from __future__ import annotations

from datetime import datetime

from django.utils.translation import gettext as _

from inspections.actions.arresting import Fall, Particulars, record_arrest
from inspections.actions.events import Happened, record_event
from inspections.actions.notice_items import acknowledge
from inspections.models import NoticeMatch
from inspections.sync.bodies import Body
from inspections.sync.context import Context, Done, known_item
from register.actions.conditions import quarantine
from register.models import Item, Kit, Person, Site, Tag, Zone
from register.refusal import Refusal
from register.rules.conditions import QUARANTINE_REASONS

ANY_DAMAGE = "damage-found"


def stop(body: Body, told: Context) -> Done:
    """Out of use, at once, from anyone who may at its site or holds its tag in the hand."""
    item = told.item(body.text("item", 60))
    if not _holds_the_tag(item, body.text("secret", 16)):
        told.demand("item.quarantine", item.site_id, item.bound_for_id)
    reason = body.text("reason", 24)
    known = reason if reason in QUARANTINE_REASONS else ANY_DAMAGE
    note = body.text("note") or (reason if known != reason else "")
    quarantine(item, reason=known, note=note, happened_at=told.since, stamp=told.stamp)
    return Done(result=f"item:{item.code}")


def _holds_the_tag(item: Item, secret: str) -> bool:
    return bool(secret) and Tag.objects.filter(item=item, secret=secret.upper()).exists()


def arrest(body: Body, told: Context) -> Done:
    """The whole load path is out, as ``record_arrest`` finds it in the register."""
    site = told.site(body.text("site", 20))
    told.demand("arrest.record", site.pk)
    items, account = named_items(body, told)
    kit = Kit.objects.filter(name=body.text("rescue_kit", 20)).first()
    fall = Fall(
        happened_at=_happened_at(body, told),
        account=account,
        wearer=_person(body.number("wearer"), told),
        zone=_zone(body, site),
        place=body.text("place", 120),
        others_on_line=_people(body.numbers("others"), told),
        particulars=Particulars(rescue_kit=kit, task=body.text("task", 120)),
    )
    found = record_arrest(site, items=items, fall=fall, stamp=told.stamp)
    return Done(result=f"arrest:{found.pk}")


def event(body: Body, told: Context) -> Done:
    """All the items are out until each has passed a look that came after it."""
    site = told.site(body.text("site", 20))
    told.demand("event.record", site.pk)
    items, account = named_items(body, told)
    happened = Happened(
        kind=body.text("what", 12),
        happened_at=_happened_at(body, told),
        account=account,
        zone=_zone(body, site),
        place=body.text("place", 120),
    )
    found = record_event(site, items=items, told=happened, stamp=told.stamp)
    return Done(result=f"event:{found.pk}")


def acknowledged(body: Body, told: Context) -> Done:
    """The holder of an item knows of a notice; said twice is said once."""
    item = told.item(body.text("item", 60))
    match = NoticeMatch.objects.filter(item=item, notice=body.number("notice")).first()
    if match is None:
        raise Refusal("notice-unknown", _("No notice of this kind means this item."))
    person = told.by.person_id
    is_holder = person is not None and person == item.holder_id
    told.demand("notice.acknowledge" if is_holder else "notice.tell", item.site_id)
    if match.acknowledged_at is None:
        acknowledge(match, how=body.text("how", 120), stamp=told.stamp)
    return Done(result=f"notice:{match.notice_id}")


def named_items(body: Body, told: Context) -> tuple[list[Item], str]:
    """What was named, each once. A tag that leads nowhere, or to an item of a site where the sender
    has no role, is told in the account and stops nothing."""
    codes = dict.fromkeys(body.texts("items"))
    found = {code: item for code in codes if (item := known_item(code)) and told.reaches(item)}
    items = {item.pk: item for item in found.values()}
    strange = [code for code in codes if code not in found]
    account = body.text("account", 8000)
    if strange:
        words = _("Tags that lead to no item here: %(codes)s.") % {"codes": ", ".join(strange)}
        account = f"{account}\n{words}".strip()
    return list(items.values()), account


def _happened_at(body: Body, told: Context) -> datetime:
    """As told, else since when it counts; the register knows no event that has yet to happen."""
    return min(body.moment("happened_at") or told.since or told.at, told.at)


def _zone(body: Body, site: Site) -> Zone | None:
    code = body.text("zone", 20)
    return Zone.objects.filter(site=site, code=code).first() if code else None


def _person(key: int | None, told: Context) -> Person | None:
    found = _people([key] if key else [], told)
    return found[0] if found else None


def _people(keys: list[int], told: Context) -> list[Person]:
    """Those named whom the sender may know of."""
    rows = Person.objects.visible_to(told.by).filter(pk__in=keys)
    return list(rows.order_by("pk"))
