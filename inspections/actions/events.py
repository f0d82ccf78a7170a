"""What happens to equipment: all that was in it is out at once, and what was told stays as told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Protocol

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from inspections.models import Event, EventAccount, EventItem
from inspections.rules.events import EVENT_KINDS, REASON_OF_PART
from register.actions.conditions import quarantine, zone_at
from register.actions.kits import unseal_kit
from register.actions.locking import locked_items
from register.models import Item, Kit, SealEvent, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.rules.conditions import Condition


class Told(Protocol):
    """What is told of every event."""

    @property
    def happened_at(self) -> datetime: ...
    @property
    def account(self) -> str: ...
    @property
    def zone(self) -> Zone | None: ...
    @property
    def place(self) -> str: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Happened:
    """One event as it is told: what, when, in whose words, where."""

    kind: str
    happened_at: datetime
    account: str
    zone: Zone | None = None
    place: str = ""


@transaction.atomic
def record_event(site: Site, *, items: Sequence[Item], told: Happened, stamp: Stamp) -> Event:
    """All the items are out until each has passed a look that came after it.

    An arrested fall has an act of its own, for there more is out than is named.
    """
    kind = EVENT_KINDS.get(told.kind)
    if kind is None or kind.slug == "arrest":
        raise Refusal("kind-unknown", _("Choose what happened."))
    refuse_future(told.happened_at, stamp)
    zone_at(site, told.zone)
    if not items:
        raise Refusal("nothing-named", _("Name what was in it: tags, a zone, a kit or a person."))
    strange = [item for item in items if kind.anchors_only and not item.product.kind.is_anchor]
    if strange:
        raise Refusal(
            "anchors-only",
            _(
                "%(strange)s is no anchor: a load test is about anchors. Choose another kind of"
                " event for it."
            )
            % {"strange": strange[0].shown_code},
        )
    held = locked_things(with_contents(items))
    event = Event.objects.create(site=site, kind=kind.slug, **columns_of(told, stamp))
    _record_new(event, held, stamp)
    put_in(event, dict.fromkeys(held, "concerned"), stamp)
    return event


def columns_of(told: Told, stamp: Stamp) -> dict[str, Any]:
    """What every event is told with, and by whom it was recorded."""
    names = ("happened_at", "account", "zone", "place")
    said = {name: getattr(told, name) for name in names}
    return {**said, "recorded_at": stamp.at, "recorded_by": stamp.by}


def _record_new(event: Event, held: Sequence[Item], stamp: Stamp) -> None:
    facts = {"kind": event.kind, "items": codes_of(held)}
    facts["happened_at"] = event.happened_at.isoformat()
    notes = {"account": event.account}
    record("event", {event: facts}, stamp=stamp, notes=notes, sites=[event.site_id])


@transaction.atomic
def add_account(
    event: Event, *, text: str, items: Sequence[Item] = (), stamp: Stamp
) -> EventAccount:
    """Later words, and what was in it as well; the first account stays as it was told."""
    if not text.strip():
        raise Refusal("text-missing", _("Say what is to be added."))
    held = locked_things(with_contents(items))
    known = set(event.lines.filter(item__in=held).values_list("item_id", flat=True))
    new = [item for item in held if item.pk not in known]
    account = EventAccount.objects.create(event=event, at=stamp.at, by=stamp.by, text=text)
    notes, facts = {"text": text}, {"items": codes_of(new)}
    record("add-account", {event: facts}, stamp=stamp, notes=notes, sites=[event.site_id])
    part = "load-path" if event.kind == "arrest" else "concerned"
    put_in(event, dict.fromkeys(new, part), stamp)
    _named_again(event, [item for item in held if item.pk in known], stamp)
    if event.hold and event.hold.released_at is None:
        event.hold.items.add(*new)
    if event.kind == "arrest":
        unseal(new, stamp)
    return account


def _named_again(event: Event, items: Sequence[Item], stamp: Stamp) -> None:
    """It was in it, whatever has been said or found since: out once more, and for that reason."""
    for line in event.lines.filter(item__in=items):
        if event.kind == "arrest":
            line.part = line.part if line.part == "rescue-kit" else "load-path"
        line.cleared_at, line.cleared_by, line.cleared_because = None, None, ""
        line.save(update_fields=["part", "cleared_at", "cleared_by", "cleared_because"])
        _put_out(event, line.item, line.part, stamp)


def put_in(event: Event, parts: Mapping[Item, str], stamp: Stamp) -> None:
    """These items were in the event: they are out since it happened, each for its reason."""
    lines = [EventItem(event=event, item=item, part=part) for item, part in parts.items()]
    EventItem.objects.bulk_create(lines, batch_size=200)
    for item, part in parts.items():
        _put_out(event, item, part, stamp)


def _put_out(event: Event, item: Item, part: str, stamp: Stamp) -> None:
    if item.condition == Condition.DESTROYED:  # a tag misread must not stop the others
        return
    reason = REASON_OF_PART.get(part, EVENT_KINDS[event.kind].reason)
    quarantine(item, reason=reason, happened_at=event.happened_at, stamp=stamp.again())


def with_contents(items: Sequence[Item]) -> list[Item]:
    """These, and where a bag is among them all that is really in it, each once."""
    inside = of_kits(list(Kit.objects.filter(item__in=items)))
    return list({item.pk: item for item in [*items, *inside]}.values())


def of_kits(kits: Sequence[Kit]) -> list[Item]:
    """The bags, and what is really in them: it went through the same."""
    inside = Q(kit__in=kits, custody="kit")
    return list(Item.objects.filter(inside | Q(as_kit__in=kits)).select_related("product"))


def unseal(held: Sequence[Item], stamp: Stamp) -> None:
    """A kit among them has been opened."""
    for kit in Kit.objects.filter(item__in=held):
        reason = "used in a rescue"
        unseal_kit(kit, kind=SealEvent.Kind.OPENED, reason=reason, stamp=stamp.again())


def refuse_future(happened_at: datetime, stamp: Stamp) -> None:
    if happened_at > stamp.at:
        raise Refusal("in-the-future", _("This lies in the future. Check the day and the time."))


def locked_things(items: Sequence[Item]) -> list[Item]:
    """Kits first and items after them, as every act on a kit does; before any site is touched."""
    keys = [item.pk for item in items]
    list(Kit.objects.select_for_update().filter(item__in=keys).order_by("pk"))
    return locked_items(items)


def codes_of(items: Sequence[Item]) -> list[str]:
    return sorted(item.code for item in items)
