"""Acts that ask first whether an item is usable: into service, over the hatch, out of quarantine."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.authority import authorised_for_class, users_of
from inspections.actions.evidence import passes_since, reported_from_use_by
from inspections.actions.notices import match_items
from inspections.conditions import refresh_due, standing_inspections, verdict_of
from inspections.models import SyncEvent
from inspections.regime import regime_in_force
from inspections.rules.events import LOADED
from inspections.rules.item_facts import PASSES
from inspections.rules.schemes import needed_before_use
from inspections.wording import examine_first_sentence, reason
from register import clock
from register.actions import conditions as register_conditions
from register.actions import custody, deliveries
from register.actions.locking import locked_item, locked_items
from register.models import Item, Movement, Person, Stamp
from register.refusal import Refusal
from register.wording import shown_day

ANSWERS = Movement.Answer


@transaction.atomic
def accept_into_service(items: Sequence[Item], *, on: date, stamp: Stamp) -> list[Item]:
    """Received pieces go into service, where none needs a thorough examination first.

    What comes before first use is in the schemes: LOLER 1998, regulation 9(1), asks it of what
    lifts persons, and custom of what has lain in stores for long.
    """
    locked = [item.pk for item in locked_items(items)]
    rows = Item.objects.filter(pk__in=locked).select_related("product", "delivery", "site")
    for item in rows.order_by("pk"):
        if on > clock.day_at(item.site, stamp.at):
            raise Refusal(
                "in-the-future",
                _("%(day)s lies in the future: accept it then.") % {"day": shown_day(on)},
            )
        _refuse_unexamined(item, on)
    accepted = deliveries.accept(items, on=on, stamp=stamp)
    match_items(_with_product(accepted), stamp=stamp)
    _refresh(*accepted)
    return accepted


@transaction.atomic
def issue(item: Item, *, to: Person, due_back_on: date | None, stamp: Stamp) -> Item:
    """Over the hatch, if the item is usable today and through the day it is due back.

    It is judged as it stands once it is locked: what the hatch saw a moment ago may be out by now.
    """
    refuse_issue(locked_item(item), due_back_on, stamp)
    item = custody.hand_out(item, to=to, due_back_on=due_back_on, stamp=stamp)
    _refresh(item)  # first use starts and ends clocks
    return item


def refuse_issue(item: Item, due_back_on: date | None, stamp: Stamp) -> None:
    """Refuse in one line what is not usable through the expected return."""
    today = clock.day_at(item.site, stamp.at)
    if due_back_on and due_back_on < today:
        raise Refusal(
            "back-before-today",
            _("Due back %(day)s: that day has passed.") % {"day": shown_day(due_back_on)},
        )
    verdict = verdict_of(item, today)
    if not verdict.usable:
        why = reason(verdict.code, verdict.facts)
        raise Refusal(
            "not-for-issue",
            _("%(item)s: NOT for issue, %(why)s.") % {"item": item.shown_code, "why": why},
        )
    if verdict.through and due_back_on and verdict.through < due_back_on:
        days = (verdict.through - today).days
        raise Refusal(
            "not-usable-that-long",
            _(
                "%(item)s: NOT for issue until %(day)s, it is OK only until %(day2)s (%(days)s days)."
            )
            % {
                "item": item.shown_code,
                "day": shown_day(due_back_on),
                "day2": shown_day(verdict.through),
                "days": days,
            },
        )


@transaction.atomic
def take_back(item: Item, *, loaded: str, wrong: str, note: str = "", stamp: Stamp) -> Item:
    """Back over the hatch; 'yes' or 'don't know' to either question puts it in quarantine."""
    if loaded not in ANSWERS.values or wrong not in ANSWERS.values:
        raise Refusal(
            "question-open", _("Ask both questions: held a fall? Anything wrong with it?")
        )
    item = custody.put_back(item, loaded=loaded, wrong=wrong, stamp=stamp)
    if why := _quarantine_after_return(loaded, wrong):
        item = register_conditions.quarantine(item, reason=why, note=note, stamp=stamp.again())
    return item


@transaction.atomic
def release_from_quarantine(item: Item, *, stamp: Stamp) -> Item:
    """Back into service on a pass of the right kind, performed after the quarantine began.

    Only somebody authorised for the class that day releases it, never the person who used it last
    or reported it from use, and never a product that is finished once it arrested a fall. What was
    never accepted answers what acceptance asks first.
    """
    item = locked_item(item)
    on = clock.day_at(item.site, stamp.at)
    _refuse_its_user(item, stamp)
    _refuse_finished(item)
    _refuse_unauthorised(item, on, stamp)
    _refuse_undecided(item)
    if item.delivery and item.accepted_on is None:
        _refuse_unexamined(item, on)
    evidence = passes_since(item, _reasons(item), item.quarantined_at)
    item = register_conditions.release(item, on=on, evidence=" ".join(evidence), stamp=stamp)
    _refresh(item)
    return item


def _refuse_its_user(item: Item, stamp: Stamp) -> None:
    releaser = stamp.by.person_id if stamp.by else None
    if releaser is not None and releaser in users_of(item, stamp.at):
        raise Refusal(
            "releaser-is-user", _("Who uses the item cannot release it: ask a colleague.")
        )


def _refuse_unauthorised(item: Item, on: date, stamp: Stamp) -> None:
    """Good news only from the right person: authorised for this class on this day."""
    person = stamp.by.person if stamp.by else None
    if person is None:
        raise Refusal(
            "no-releaser",
            _("Your login is linked to no person: ask a competent person to release it."),
        )
    if not authorised_for_class(person, item, on):
        raise Refusal(
            "releaser-not-authorised",
            _(
                "%(person)s is not authorised for this class today (%(kind)s): ask a competent"
                " person who is."
            )
            % {"person": person, "kind": item.product.kind_name.lower()},
        )
    if stamp.by and reported_from_use_by(item, stamp.by):
        raise Refusal(
            "releaser-reported-it",
            _("You reported %(item)s from its use: somebody else has to release it.")
            % {"item": item.shown_code},
        )


def _refuse_undecided(item: Item) -> None:
    """What a phone told of the item may hold a defect or a narrower use that is not on record."""
    if SyncEvent.objects.undecided().filter(item=item).exists():
        raise Refusal(
            "sent-undecided",
            _(
                "A phone sent something about %(item)s that waits for a decision: decide that first,"
                " under “Needs a decision”."
            )
            % {"item": item.shown_code},
        )


def _reasons(item: Item) -> list[str]:
    return [item.quarantine_reason, *item.quarantined_also_for]


def _refuse_finished(item: Item) -> None:
    """Whatever reason stands first, and whether or not the fall itself is on record."""
    loaded = item.event_lines.filter(event__kind="arrest", part__in=LOADED, cleared_at=None)
    has_arrested = "arrested-a-fall" in _reasons(item) or loaded.exists()
    if has_arrested and item.product.reject_after_arrest:
        raise Refusal(
            "finished-after-arrest",
            _("%(item)s has arrested a fall and its maker says that ends it: withdraw it.")
            % {"item": item.shown_code},
        )


@transaction.atomic
def change_use(item: Item, *, use_class: str, stamp: Stamp) -> Item:
    """Other conditions of use: the dates are counted anew from the last inspection, at once."""
    item = custody.change_use(item, use_class=use_class, stamp=stamp)
    _refresh(item)
    return item


def _refresh(*items: Item) -> None:
    refresh_due(_with_product(items))


def _with_product(items: Sequence[Item]) -> list[Item]:
    keys = [item.pk for item in items]
    return list(Item.objects.filter(pk__in=keys).select_related("product"))


def _refuse_unexamined(item: Item, on: date) -> None:
    """What has to come before first use; an installation is held back by its clocks instead."""
    lines = needed_before_use(
        regime_in_force().schemes,
        item.product.equipment_class,
        on,
        declared_on=item.delivery.declaration_on if item.delivery else None,
        made_on=item.made_first_on,
        passed=[
            one.kind
            for one in standing_inspections([item])[item.pk]
            if one.counts and one.verdict in PASSES
        ],
    )
    for line in lines:
        if "installation" not in line.kinds:
            raise Refusal(
                "examine-first", examine_first_sentence(item.shown_code, line.kinds, line.source)
            )


def _quarantine_after_return(loaded: str, wrong: str) -> str:
    """The reason for quarantine that the two answers give, or ''."""
    if loaded == ANSWERS.YES:
        return "suspected-load"
    if wrong == ANSWERS.YES:
        return "damage-found"
    return "returned-unsure" if ANSWERS.UNSURE in (loaded, wrong) else ""
