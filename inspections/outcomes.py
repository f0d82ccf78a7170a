"""What has become of each item that was in an event, read from the acts since then."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.models import Event
from register import clock
from register.models import Entry, Item
from register.rules.conditions import Condition
from register.wording import shown_day

OPEN = frozenset({Condition.QUARANTINED, Condition.AWAY, Condition.NOT_LOCATED})
_ENDS = {
    "release": gettext_noop("Back in service since %(day)s"),
    "withdraw": gettext_noop("Withdrawn on %(day)s"),
    "destroy": gettext_noop("Destroyed on %(day)s"),
    "let-go": gettext_noop("Left on %(day)s"),
}
_AFTER_ALL = frozenset({"destroy", "let-go"})


def outcomes_of(event: Event, items: Sequence[Item]) -> dict[int, str]:
    """In words, by the item's key; '' while it is open. One query."""
    ids = {str(item.pk): item.pk for item in items}
    verbs = [*_ENDS, "undo-withdrawal"]
    acts = Entry.objects.filter(
        thing_kind="item", thing_id__in=ids, act__verb__in=verbs, act__at__gte=event.recorded_at
    )
    found: dict[int, str] = dict.fromkeys(ids.values(), "")
    for entry in acts.select_related("act").order_by("act__at", "seq"):
        pk, verb = ids[entry.thing_id], entry.act.verb
        if verb == "undo-withdrawal":
            found[pk] = ""
        elif not found[pk] or verb in _AFTER_ALL:
            day = shown_day(clock.day_at(event.site, entry.act.at))
            found[pk] = _(_ENDS[verb]) % {"day": day}
    for item in items:
        if not found[item.pk] and item.condition not in OPEN:
            found[item.pk] = _("Was out already: %(how)s") % {
                "how": item.get_condition_display().lower()
            }
    return found
