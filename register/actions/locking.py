"""Locking rows before they are judged, and the one way a condition changes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from django.utils.translation import gettext as _

from register.models import Item, Kit, Site
from register.refusal import Refusal
from register.rules.conditions import Condition, refusal
from register.wording import condition_name, lower_first, refusal_sentence


def locked_item(item: Item) -> Item:
    """The item as it stands now, locked until the transaction ends."""
    return Item.objects.select_for_update().get(pk=item.pk)


def locked_items(items: Iterable[Item]) -> list[Item]:
    """The items as they stand now, locked in one order so that two acts never deadlock."""
    ids = [item.pk for item in items]
    return list(Item.objects.select_for_update().filter(pk__in=ids).order_by("pk"))


def locked_kit(kit: Kit) -> Kit:
    return Kit.objects.select_for_update().get(pk=kit.pk)


def locked_site(site: Site) -> Site:
    return Site.objects.select_for_update().get(pk=site.pk)


def turn(item: Item, to: Condition, at: datetime) -> dict[str, object]:
    """Change the condition of a locked item, or refuse; returns the facts for the ledger.

    ``at`` is since when it is so: the moment of the act, or of what came to pass before it.

    Release and withdrawal forget why it was in quarantine; the ledger keeps it. What is lost or
    away from quarantine keeps its reasons, for it comes back there.
    """
    if found := refusal(item.condition, to):
        code, facts = found
        raise Refusal(code, refusal_sentence(code, facts, item=item.shown_code))
    said: dict[str, object] = {"from": item.condition, "to": str(to)}
    was_in_service, item.condition = item.condition == Condition.IN_SERVICE, to
    item.out_since_at = None if to == Condition.IN_SERVICE else item.out_since_at
    if was_in_service or (to != Condition.IN_SERVICE and item.out_since_at is None):
        item.out_since_at = at
    if to != Condition.QUARANTINED:
        reasons = [item.quarantine_reason, *item.quarantined_also_for]
        if item.quarantined_at:
            said |= {"was_out_for": reasons, "was_out_since": item.quarantined_at.isoformat()}
        comes_back = to in (Condition.AWAY, Condition.NOT_LOCATED)
        item.quarantined_also_for = [one for one in reasons if one] if comes_back else []
        item.quarantine_reason = ""
        item.quarantined_at = None
        item.quarantined_by = None
    return said


def turn_from(item: Item, start: Condition, to: Condition, at: datetime) -> dict[str, object]:
    """As ``turn``, for an act that starts from one condition though another allows this change.

    Else what was withdrawn could come 'back from service', and what is quarantined be 'accepted'.
    """
    found = item.condition
    said = turn(item, to, at)
    if found != start:
        raise Refusal(
            "not-in-that-condition",
            _("%(item)s is not “%(named)s” in the register, but “%(named2)s”.")
            % {"item": item.shown_code, "named": _named(start), "named2": _named(found)},
        )
    return said


def _named(condition: str) -> str:
    return lower_first(condition_name(condition))
