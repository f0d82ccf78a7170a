"""What was in doubt after a fall and was not in the load path after all."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.authority import authorised_for_class, users_of
from inspections.models import Arrest, EventItem
from inspections.rules.events import LOADED
from register import clock
from register.actions.conditions import sites_relying_on
from register.actions.locking import locked_item
from register.models import Entry, Item, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition

ARRESTED, SUSPECTED = "arrested-a-fall", "suspected-load"


@transaction.atomic
def clear_of_load(line: EventItem, *, because: str, stamp: Stamp) -> EventItem:
    """A competent person says how it is known that the item bore nothing of the fall.

    It stays out and stays evidence: it may have been loaded, so it has to pass and be released.
    What somebody else reported to have arrested a fall stays finished.
    """
    item = locked_item(line.item)
    line = EventItem.objects.select_for_update(of=("self",)).get(pk=line.pk)
    _refuse_unfit(line, item, because)
    _refuse_wrong_person(line, item, stamp)
    line.cleared_at, line.cleared_by, line.cleared_because = stamp.at, stamp.by, because
    line.save(update_fields=["cleared_at", "cleared_by", "cleared_because"])
    if not _arrested_otherwise(item):
        _put_down_to_suspicion(item)
    facts = {"event": str(line.event_id), "reason": item.quarantine_reason}
    touched = {item: facts, line.event: {"cleared": item.code}}
    notes = {"because": because}
    record("clear-of-load", touched, stamp=stamp, notes=notes, sites=sites_relying_on(item))
    return line


def _put_down_to_suspicion(item: Item) -> None:
    reasons = [item.quarantine_reason, *item.quarantined_also_for]
    told = dict.fromkeys(SUSPECTED if one == ARRESTED else one for one in reasons)
    item.quarantine_reason, *item.quarantined_also_for = told
    item.save(update_fields=["quarantine_reason", "quarantined_also_for"])


def _arrested_otherwise(item: Item) -> bool:
    """By another fall, or as somebody reported apart from the falls on record."""
    lines = EventItem.objects.filter(item=item, event__kind="arrest", part__in=LOADED)
    if lines.filter(cleared_at=None).exists():
        return True
    falls = lines.values_list("event__recorded_at", "event__accounts__at")
    told = {at for pair in falls for at in pair}
    chain = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk))
    acts = chain.filter(act__verb="quarantine").select_related("act")
    return any(
        ARRESTED in (one.facts.get("reason"), one.facts.get("again")) and one.act.at not in told
        for one in acts
    )


def _refuse_unfit(line: EventItem, item: Item, because: str) -> None:
    if line.event.kind != "arrest" or line.part not in LOADED:
        raise Refusal(
            "not-in-the-path",
            _("%(item)s does not count as loaded in a fall.") % {"item": item.shown_code},
        )
    if line.cleared_at:
        raise Refusal(
            "cleared-already", _("This was said of %(item)s before.") % {"item": item.shown_code}
        )
    if item.condition != Condition.QUARANTINED:
        raise Refusal(
            "not-quarantined",
            _("%(item)s is not in quarantine: look at it.") % {"item": item.shown_code},
        )
    if not because.strip():
        raise Refusal("reason-missing", _("Say how it is known that it was not in the load path."))


def _refuse_wrong_person(line: EventItem, item: Item, stamp: Stamp) -> None:
    person = stamp.by.person if stamp.by else None
    if person is None:
        raise Refusal(
            "nobody-named", _("Your login is linked to no person: ask a competent person.")
        )
    fell = Arrest.objects.filter(pk=line.event_id, wearer=person).exists()
    if fell or person.pk in users_of(item, stamp.at):
        raise Refusal(
            "cleared-by-its-user", _("You fell or use it: somebody else has to say this.")
        )
    if not authorised_for_class(person, item, clock.day_at(item.site, stamp.at)):
        raise Refusal(
            "not-authorised",
            _("%(person)s is not authorised for this class today: %(kind)s.")
            % {"person": person, "kind": item.product.kind_name.lower()},
        )
