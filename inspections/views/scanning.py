"""What a scanned or typed text leads to at a site: an item, or one clear line why not."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib.auth.models import AnonymousUser
from django.utils.translation import gettext as _

from register.models import Item, Site, Tag, User
from register.rules import tags
from register.rules.serials import serial_key


@dataclass(frozen=True, slots=True)
class Scan:
    """The item, with a notice where its tag was replaced; or the problem, and no item.

    ``elsewhere`` is the item of another site of the user: bad news about it is taken all the same.
    """

    item: Item | None
    problem: str = ""
    notice: str = ""
    elsewhere: Item | None = None


def scanned(text: str, user: User | AnonymousUser, site: Site) -> Scan:
    """The item of this site that the text names."""
    read = tags.read(text)
    if read.code is None:
        return Scan(None, _mistyped(text))
    tag = Tag.objects.filter(code=read.code).first()
    shown = tags.shown(read.code)
    if tag is None:
        words = _(
            "%(code)s is the code of no item in the register. Put the item aside; do not pass it."
        )
        return Scan(None, words % {"code": shown})
    item = Item.objects.visible_to(user).with_product().filter(pk=tag.item_id).first()
    if item is None:
        words = _(
            "%(code)s belongs to a site that is not yours. Put the item aside for its stores."
        )
        return Scan(None, words % {"code": shown})
    if item.site_id != site.pk:
        return Scan(None, _elsewhere(item, site), elsewhere=item)
    return Scan(item, notice=_replaced(tag, item))


def at_round(text: str, user: User | AnonymousUser, site: Site) -> Scan:
    """As ``scanned``; a text that is no tag may be a serial, and a twin is told in one line."""
    found = scanned(text, user, site)
    if found.item is None and tags.read(text).code is None:
        found = _by_serial(text, user, site) or found
    if found.item is None or found.notice:
        return found
    return Scan(found.item, notice=_twin(found.item, user))


def _by_serial(text: str, user: User | AnonymousUser, site: Site) -> Scan | None:
    key = serial_key(text)
    here = Item.objects.visible_to(user).with_product().filter(site=site, serial_key=key)
    rows = list(here.order_by("code")[:4]) if key else []
    if len(rows) == 1:
        words = _("Found by its serial: the tag was not read. Compare the whole label.")
        return Scan(rows[0], notice=words)
    if rows:
        codes = ", ".join(item.shown_code for item in rows)
        words = _("Several items here have the serial “%(text)s” (%(codes)s): scan the tag.")
        return Scan(None, words % {"text": text[:40], "codes": codes})
    return None


def _twin(item: Item, user: User | AnonymousUser) -> str:
    """Another item with the same serial: their tags may have been swapped."""
    rows = Item.objects.visible_to(user).filter(serial_key=item.serial_key).exclude(pk=item.pk)
    twin = rows.select_related("product").first()
    if twin is None:
        return ""
    words = _(
        "%(other)s (%(product)s) has the same serial: tags may be swapped. Compare maker and model."
    )
    return words % {"other": twin.shown_code, "product": twin.product}


def _mistyped(text: str) -> str:
    words = _(
        "“%(text)s” is mistyped: no tag reads like that. Compare with the tag and type it again."
    )
    return words % {"text": text[:40]}


def _elsewhere(item: Item, site: Site) -> str:
    facts = {"code": item.shown_code, "there": item.site.name, "here": site.name}
    return (
        _(
            "%(code)s belongs to %(there)s in the register, not to %(here)s. Have it booked in here, or change the site of the round."
        )
        % facts
    )


def _replaced(tag: Tag, item: Item) -> str:
    if tag.replaced_at is None:
        return ""
    facts = {"old": tags.shown(tag.code), "new": item.shown_code}
    return (
        _("Tag %(old)s was replaced by %(new)s. Compare the serial, and put the new tag on.")
        % facts
    )
