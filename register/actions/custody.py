"""Changes of custody: who answers for the item now. Whether it may be used is asked above."""

from __future__ import annotations

from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from register import clock
from register.actions.conditions import bring_contents, sites_relying_on, zone_at
from register.actions.locking import locked_item
from register.models import Item, Movement, Person, Site, Stamp, Zone, record
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.wording import shown_day

GONE = frozenset({Condition.DESTROYED, Condition.LEFT, Condition.NOT_LOCATED})
PLACE_FIELDS = [
    *("custody", "site", "bound_for", "zone", "place", "holder", "due_back_on", "fixed_on"),
]


@transaction.atomic
def hand_out(item: Item, *, to: Person, due_back_on: date | None, stamp: Stamp) -> Item:
    """Put the item on issue to a person; the caller has asked whether it is usable that long."""
    item = locked_item(item)
    today = clock.day_at(item.site, stamp.at)
    _refuse_if_gone(item)
    _refuse_who_left(to, today)
    if item.kit_id or item.custody in {"kit", "installed"}:
        raise Refusal(
            "fixed-in-place",
            _("%(item)s belongs to a kit or an installation: take it out.")
            % {"item": item.shown_code},
        )
    if item.custody == "person" and item.holder_id != to.pk:
        raise Refusal(
            "issued-elsewhere",
            _("%(item)s is on issue to %(holder)s. Take it back first.")
            % {"item": item.shown_code, "holder": item.holder},
        )
    item.custody, item.holder, item.due_back_on = "person", to, due_back_on
    item.first_used_on = min(item.first_used_on or today, today)
    item.save(update_fields=["custody", "holder", "due_back_on", "first_used_on"])
    _moved(item, Movement.Kind.ISSUED, stamp, person=to)
    _record("issue", item, stamp, {"to_person": to.pk, "due_back_on": _iso(due_back_on)})
    return item


@transaction.atomic
def put_back(item: Item, *, loaded: str, wrong: str, stamp: Stamp) -> Item:
    """Back over the hatch, with the answers to the two questions."""
    item = locked_item(item)
    _refuse_if_gone(item)
    who = item.holder
    item.custody, item.holder, item.due_back_on = "stores", None, None
    item.save(update_fields=["custody", "holder", "due_back_on"])
    _moved(item, Movement.Kind.RETURNED, stamp, person=who, loaded=loaded, wrong=wrong)
    _record("take-back", item, stamp, {"loaded": loaded, "wrong": wrong})
    return item


@transaction.atomic
def dispatch(item: Item, *, to: Site, stamp: Stamp) -> Item:
    """Send the item to another site; on its way it covers nobody."""
    item = locked_item(item)
    _refuse_if_gone(item)
    if item.site_id == to.pk:
        raise Refusal(
            "already-there",
            _("%(item)s is at %(to)s already.") % {"item": item.shown_code, "to": to},
        )
    if item.custody == "kit":
        raise Refusal(
            "part-of-a-kit",
            _("%(item)s is in kit %(kit)s: send the kit.")
            % {"item": item.shown_code, "kit": item.kit},
        )
    item.custody, item.bound_for, item.holder, item.due_back_on = "in-transit", to, None, None
    item.save(update_fields=["custody", "bound_for", "holder", "due_back_on"])
    _moved(item, Movement.Kind.DISPATCHED, stamp, to_site=to)
    _record("dispatch", item, stamp, {"to_site": to.code}, to)
    return item


@transaction.atomic
def arrive(item: Item, *, at: Site, zone: Zone | None = None, stamp: Stamp) -> Item:
    """Scan the item in at a site; from now on it is there. A kit brings its contents along.

    What is safe only as fixed hangs elsewhere now: it is inspected there before use.
    """
    item = locked_item(item)
    _refuse_if_gone(item)
    before = item.site_id
    item.custody, item.bound_for, item.site = "site", None, at
    item.zone, item.place = zone_at(at, zone), ""
    _fixed_anew(item, clock.day_at(at, stamp.at))
    item.save(update_fields=PLACE_FIELDS)
    bring_contents(item, at)
    _moved(item, Movement.Kind.ARRIVED, stamp, to_site=at)
    _record("arrive", item, stamp, {"at": at.code, "before": before}, at, before)
    return item


@transaction.atomic
def place_at(
    item: Item, *, zone: Zone, place: str, put_up_on: date | None = None, stamp: Stamp
) -> Item:
    """Say where on its site a kit hangs or an anchor is installed, and since when: today if not told.

    One that was known to be installed, but not where, has not been moved by saying so.
    """
    item = locked_item(item)
    _refuse_if_gone(item)
    today = clock.day_at(item.site, stamp.at)
    _refuse_untrue_day(item, put_up_on, today)
    if zone.site_id != item.site_id:
        raise Refusal(
            "zone-of-another-site",
            _("%(zone)s is not a zone of %(site)s.") % {"zone": zone, "site": item.site},
        )
    if item.custody != "installed" or (item.zone_id and _hangs_elsewhere(item, zone, place)):
        _fixed_anew(item, put_up_on or today)
    item.custody = "installed" if item.product.kind.is_anchor else "site"
    item.zone, item.place, item.holder = zone, place, None
    item.save(update_fields=PLACE_FIELDS)
    _moved(item, Movement.Kind.INSTALLED, stamp, reference=place)
    _record("place", item, stamp, {"zone": zone.code, "place": place})
    return item


@transaction.atomic
def change_use(item: Item, *, use_class: str, stamp: Stamp) -> Item:
    """Move the item to other conditions of use; its dates follow at once.

    A change that comes in late does not undo a later one.
    """
    item = locked_item(item)
    before = item.use_class
    if item.use_class_set_at is None or item.use_class_set_at <= stamp.at:
        item.use_class, item.use_class_set_at = use_class, stamp.at
    item.full_clean(validate_unique=False, exclude=["serial_key"])
    item.save(update_fields=["use_class", "use_class_set_at"])
    _record("change-use", item, stamp, {"from": before, "to": use_class})
    return item


def _refuse_untrue_day(item: Item, put_up_on: date | None, today: date) -> None:
    """Nothing is put up in the future, nor before it was put up where it hung last."""
    if put_up_on and put_up_on > today:
        raise Refusal(
            "in-the-future", _("%(day)s lies in the future.") % {"day": shown_day(put_up_on)}
        )
    if put_up_on and item.fixed_on and put_up_on < item.fixed_on:
        raise Refusal(
            "put-up-earlier",
            _(
                "%(item)s came to where it was on %(day)s: it cannot have been put up here before that."
            )
            % {"item": item.shown_code, "day": shown_day(item.fixed_on)},
        )


def _hangs_elsewhere(item: Item, zone: Zone, place: str) -> bool:
    return item.zone_id != zone.pk or (item.place or place) != place


def _fixed_anew(item: Item, on: date) -> None:
    """Installed equipment was put up elsewhere; whatever was found before, it was found there."""
    if item.product.kind.installed:
        item.fixed_on = max(item.fixed_on or on, on)


def _refuse_who_left(person: Person, day: date) -> None:
    if person.left_on and person.left_on <= day:
        raise Refusal(
            "has-left",
            _("%(person)s is no longer here in the register: nothing goes out.")
            % {"person": person},
        )


def _refuse_if_gone(item: Item) -> None:
    if item.condition in GONE:
        raise Refusal(
            "not-here",
            _(
                "%(item)s is %(condition)s in the register. If you hold it in your hands, report it"
                " found."
            )
            % {"item": item.shown_code, "condition": item.get_condition_display().lower()},
        )


def _moved(item: Item, kind: Movement.Kind, stamp: Stamp, **particulars: object) -> None:
    Movement.objects.create(
        item=item,
        kind=kind,
        at=stamp.at,
        by=stamp.by,
        from_site_id=item.site_id,
        due_back_on=item.due_back_on,
        **particulars,
    )


def _record(
    verb: str, item: Item, stamp: Stamp, facts: dict[str, object], *sites: Site | int
) -> None:
    record(verb, {item: facts}, stamp=stamp, sites=[*sites_relying_on(item), *sites])


def _iso(day: date | None) -> str | None:
    return day.isoformat() if day else None
