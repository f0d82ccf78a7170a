"""Giving out tags: a code is given once and never again."""

from __future__ import annotations

import secrets

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.conditions import sites_relying_on
from register.actions.locking import locked_item
from register.models import Act, Item, Stamp, Tag, record
from register.refusal import Refusal
from register.rules.tags import code_from, secret_from


def fresh_codes(count: int) -> list[str]:
    """Codes that were never given out, drawn at random so that nobody can guess the next one."""
    codes: set[str] = set()
    while len(codes) < count:
        drawn = {code_from(secrets.randbelow) for _ in range(count - len(codes))}
        taken = Tag.objects.filter(code__in=drawn).values_list("code", flat=True)
        codes |= drawn - set(taken)
    return sorted(codes)


def tag_of(item: Item, stamp: Stamp, issue: int = 1) -> Tag:
    """The row of the item's present code, not yet saved."""
    secret = secret_from(secrets.randbelow)
    return Tag(code=item.code, secret=secret, item=item, issue=issue, issued_at=stamp.at)


@transaction.atomic
def replace_tag(item: Item, *, because: str, identity_proof: str, stamp: Stamp) -> Tag:
    """A new code for an item whose tag is lost or worn; the old code still leads to the item."""
    item = locked_item(item)
    if not identity_proof.strip():
        raise Refusal(
            "identity-not-proven",
            _("Say how you know that this is %(item)s: its serial, its photograph.")
            % {"item": item.shown_code},
        )
    old = item.tags.select_for_update().get(code=item.code)
    old.replaced_at, old.replaced_because = stamp.at, because
    old.save(update_fields=["replaced_at", "replaced_because"])
    item.code = fresh_codes(1)[0]
    item.save(update_fields=["code"])
    tag = tag_of(item, stamp, issue=old.issue + 1)
    tag.save()
    record(
        "replace-tag",
        {item: {"old": old.code, "new": tag.code, "because": because}},
        stamp=stamp,
        notes={"identity_proof": identity_proof},
        sites=sites_relying_on(item),
    )
    return tag


def history_of(item: Item) -> list[Act]:
    """The acts that touched the item, newest first."""
    touching = Act.objects.filter(entries__thing_kind="item", entries__thing_id=str(item.pk))
    return list(touching.select_related("by__person").prefetch_related("notes").order_by("-at"))
