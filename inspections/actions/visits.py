"""Visits that somebody takes on. A visit promises nothing about an item: only its inspection does."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.capacity import hours_by_person, minutes_by_class, rights_from
from inspections.models import Visit
from inspections.regime import regime_in_force
from inspections.rules.workload import kind_for
from register import clock
from register.actions.locking import locked_items
from register.models import Item, Person, Site, Stamp, record
from register.refusal import Refusal
from register.wording import shown_day


@transaction.atomic
def accept_visit(
    inspector: Person, site: Site, *, day: date, items: Sequence[Item], stamp: Stamp
) -> Visit:
    """Put the visit into the inspector's days; the due list names it beside each item."""
    inspector = Person.objects.select_for_update().get(pk=inspector.pk)
    keys = [item.pk for item in locked_items(items)]
    items = list(Item.objects.select_related("product", "due").filter(pk__in=keys).order_by("code"))
    today = clock.day_at(site, stamp.at)
    _refuse_day(inspector, day, today)
    _refuse_items(site, items, today)
    _refuse_too_late(items, day, today)
    _refuse_unless_authorised(inspector, items, day)
    _refuse_overfull(inspector, items, day)
    visit = Visit(
        inspector=inspector, site=site, day_on=day, accepted_at=stamp.at, accepted_by=stamp.by
    )
    visit.full_clean()
    visit.save()
    visit.items.set(items)
    facts = {
        "inspector": str(inspector.pk),
        "site": site.code,
        "day": day.isoformat(),
        "items": [item.code for item in items],
    }
    record("accept-visit", {visit: facts}, stamp=stamp, sites=[site])
    return visit


@transaction.atomic
def drop_visit(visit: Visit, *, because: str, stamp: Stamp) -> Visit:
    """Give the visit up; its items stand in the plan again."""
    visit = Visit.objects.select_for_update().get(pk=visit.pk)
    if visit.dropped_at:
        raise Refusal(
            "dropped-already",
            _("The visit of %(day)s is dropped already.") % {"day": shown_day(visit.day_on)},
        )
    if not because.strip():
        raise Refusal("reason-missing", _("Say why the visit is dropped."))
    visit.dropped_at = stamp.at
    visit.save(update_fields=["dropped_at"])
    facts = {"day": visit.day_on.isoformat()}
    notes = {"because": because}
    record("drop-visit", {visit: facts}, stamp=stamp, notes=notes, sites=[visit.site_id])
    return visit


def _refuse_day(inspector: Person, day: date, today: date) -> None:
    if day < today:
        raise Refusal(
            "day-past",
            _("%(day)s is past. Choose a visit of the plan as it is now.")
            % {"day": shown_day(day)},
        )
    if Visit.objects.filter(inspector=inspector, dropped_at=None, day_on=day).exists():
        raise Refusal(
            "on-a-visit",
            _("%(inspector)s is on another visit on %(day)s: drop that one first.")
            % {"inspector": inspector, "day": shown_day(day)},
        )


def _refuse_items(site: Site, items: Sequence[Item], today: date) -> None:
    if not items:
        raise Refusal("nothing-to-inspect", _("A visit is for one item or more."))
    if strays := [item.shown_code for item in items if item.site_id != site.pk]:
        raise Refusal(
            "not-here",
            _("Not at %(site)s any more: %(strays)s.")
            % {"site": site, "strays": ", ".join(strays[:5])},
        )
    promised = Item.objects.filter(
        pk__in=[item.pk for item in items], visits__dropped_at=None, visits__day_on__gte=today
    )
    if taken := [item.shown_code for item in promised.distinct()]:
        raise Refusal(
            "on-another-visit",
            _("On another visit already: %(taken)s.") % {"taken": ", ".join(taken[:5])},
        )


def _refuse_unless_authorised(inspector: Person, items: Sequence[Item], day: date) -> None:
    rights = [one for one in rights_from(day, [inspector]) if one.from_on <= day]
    for item in items:
        equipment_class = item.product.equipment_class
        kind = kind_for(_clock_of(item), equipment_class)
        if not any(right.covers(equipment_class, kind) for right in rights):
            raise Refusal(
                "not-authorised",
                _("%(inspector)s is not authorised for %(item)s on %(day)s.")
                % {"inspector": inspector, "item": item.shown_code, "day": shown_day(day)},
            )
        if item.holder_id == inspector.pk:
            raise Refusal(
                "holds-the-item",
                _("%(item)s is on issue to %(inspector)s: nobody passes their own.")
                % {"item": item.shown_code, "inspector": inspector},
            )


def _refuse_too_late(items: Sequence[Item], day: date, today: date) -> None:
    """What is overdue already may still be inspected; what is not must not become so."""
    mark = regime_in_force().mark
    for item in items:
        due = getattr(item, "due", None)
        last = due.last_good_on if due and due.regime == mark else None
        if last and today <= last < day:
            raise Refusal(
                "too-late",
                _("%(item)s is due by %(day)s: a visit on %(day2)s is too late.")
                % {"item": item.shown_code, "day": shown_day(last), "day2": shown_day(day)},
            )


def _refuse_overfull(inspector: Person, items: Sequence[Item], day: date) -> None:
    room = sum(hours.on(day) for hours in hours_by_person([inspector]))
    minutes = minutes_by_class()
    needed = sum(minutes[item.product.equipment_class] for item in items)
    if needed > room:
        raise Refusal(
            "day-over-full",
            _(
                "%(inspector)s has %(room)s minutes for inspecting on %(day)s; this takes %(needed)s."
            )
            % {"inspector": inspector, "room": room, "day": shown_day(day), "needed": needed},
        )


def _clock_of(item: Item) -> str:
    due = getattr(item, "due", None)
    return due.clock if due else ""
