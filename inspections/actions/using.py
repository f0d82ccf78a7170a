"""Acts that ask first whether an item is usable: into service, over the hatch, out of quarantine."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from inspections.actions.authority import users_of
from inspections.conditions import refresh_due, standing_inspections, verdict_of
from inspections.models import Inspection
from inspections.rules.clocks import PASSES
from inspections.rules.kinds import KINDS, may_release
from inspections.wording import reason
from register import clock
from register.actions import conditions as register_conditions
from register.actions import custody, deliveries
from register.actions.locking import locked_item, locked_items
from register.models import Item, Movement, Person, Stamp
from register.refusal import Refusal
from register.rules.lifespan import add_months
from register.wording import shown_day

DECLARATION_GOOD_MONTHS = 12  # LOLER 1998, regulation 9(1); from memory, to be verified
ANSWERS = Movement.Answer


@transaction.atomic
def accept_into_service(items: Sequence[Item], *, on: date, stamp: Stamp) -> list[Item]:
    """Received pieces go into service, where none needs a thorough examination first.

    Equipment that lifts persons, first used more than 12 months after its declaration of
    conformity or without one, is examined before (LOLER 1998, regulation 9(1)).
    """
    locked = [item.pk for item in locked_items(items)]
    rows = Item.objects.filter(pk__in=locked).select_related("product", "delivery", "site")
    for item in rows.order_by("pk"):
        if on > clock.day_at(item.site, stamp.at):
            raise Refusal("in-the-future", f"{shown_day(on)} lies in the future: accept it then.")
        _refuse_unexamined(item, on)
    accepted = deliveries.accept(items, on=on, stamp=stamp)
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
            "back-before-today", f"Due back {shown_day(due_back_on)}: that day has passed."
        )
    verdict = verdict_of(item, today)
    if not verdict.usable:
        why = reason(verdict.code, verdict.facts)
        raise Refusal("not-for-issue", f"{item.shown_code}: NOT for issue, {why}.")
    if verdict.through and due_back_on and verdict.through < due_back_on:
        days = (verdict.through - today).days
        raise Refusal(
            "not-usable-that-long",
            f"{item.shown_code}: NOT for issue until {shown_day(due_back_on)}, it is OK only until"
            f" {shown_day(verdict.through)} ({days} days).",
        )


@transaction.atomic
def take_back(item: Item, *, loaded: str, wrong: str, note: str = "", stamp: Stamp) -> Item:
    """Back over the hatch; 'yes' or 'don't know' to either question puts it in quarantine."""
    if loaded not in ANSWERS.values or wrong not in ANSWERS.values:
        raise Refusal("question-open", "Ask both questions: held a fall? Anything wrong with it?")
    item = custody.put_back(item, loaded=loaded, wrong=wrong, stamp=stamp)
    if why := _quarantine_after_return(loaded, wrong):
        item = register_conditions.quarantine(item, reason=why, note=note, stamp=stamp.again())
    return item


@transaction.atomic
def release_from_quarantine(item: Item, *, stamp: Stamp) -> Item:
    """Back into service on a pass of the right kind, performed after the quarantine began.

    Refuses the person who used the item last, and a product that is finished once it arrested a
    fall. What was never accepted answers what acceptance asks first.
    """
    item = locked_item(item)
    _refuse_its_user(item, stamp)
    _refuse_finished(item)
    on = clock.day_at(item.site, stamp.at)
    if item.delivery and item.accepted_on is None:
        _refuse_unexamined(item, on)
    evidence = _passes_since_quarantine(item)
    item = register_conditions.release(item, on=on, evidence=" ".join(evidence), stamp=stamp)
    _refresh(item)
    return item


def _refuse_its_user(item: Item, stamp: Stamp) -> None:
    releaser = stamp.by.person_id if stamp.by else None
    if releaser is not None and releaser in users_of(item, stamp.at):
        raise Refusal("releaser-is-user", "Who uses the item cannot release it: ask a colleague.")


def _refuse_finished(item: Item) -> None:
    """Whatever reason stands first, and whether or not the fall itself is on record."""
    reasons = (item.quarantine_reason, *item.quarantined_also_for)
    has_arrested = "arrested-a-fall" in reasons or item.arrests.exists()
    if has_arrested and item.product.reject_after_arrest:
        raise Refusal(
            "finished-after-arrest",
            f"{item.shown_code} has arrested a fall and its maker says that ends it: withdraw it.",
        )


@transaction.atomic
def change_use(item: Item, *, use_class: str, stamp: Stamp) -> Item:
    """Other conditions of use: the dates are counted anew from the last inspection, at once."""
    item = custody.change_use(item, use_class=use_class, stamp=stamp)
    _refresh(item)
    return item


def _refresh(*items: Item) -> None:
    keys = [item.pk for item in items]
    refresh_due(list(Item.objects.filter(pk__in=keys).select_related("product")))


def _refuse_unexamined(item: Item, on: date) -> None:
    if not item.product.kind.lifts_persons:
        return
    declared = item.delivery.declaration_on if item.delivery else None
    if declared and on <= add_months(declared, DECLARATION_GOOD_MONTHS):
        return
    found = standing_inspections([item])[item.pk]
    passes = [one.kind for one in found if one.counts and one.verdict in PASSES]
    if "thorough-examination" in passes:
        return
    raise Refusal(
        "examine-first",
        f"{item.shown_code} lifts persons and has no declaration of conformity of the last"
        f" {DECLARATION_GOOD_MONTHS} months: a thorough examination comes before first use.",
    )


def _passes_since_quarantine(item: Item) -> list[str]:
    """For each reason a pass of the right kind, performed and recorded since; or a refusal.

    Recorded too: a device whose clock is ahead could claim a look that came before the quarantine.
    """
    since = item.quarantined_at
    passes = [
        one
        for one in standing_inspections([item])[item.pk]
        if one.counts
        and one.verdict in PASSES
        and since is not None
        and min(one.performed_at, one.recorded_at) >= since
    ]
    reasons = dict.fromkeys([item.quarantine_reason, *item.quarantined_also_for])
    return list(dict.fromkeys(_evidence(item, why, passes) for why in reasons))


def _evidence(item: Item, why: str, passes: Sequence[Inspection]) -> str:
    """The pass that ends this reason for quarantine, by its key."""
    for one in passes:
        if may_release(why, one.kind):
            return str(one.pk)
    kinds = [kind.name for slug, kind in KINDS.items() if may_release(why, slug)]
    raise Refusal(
        "no-pass-since",
        f"{item.shown_code} stays in quarantine until it passes one of: {', '.join(kinds)}.",
    )


def _quarantine_after_return(loaded: str, wrong: str) -> str:
    """The reason for quarantine that the two answers give, or ''."""
    if loaded == ANSWERS.YES:
        return "suspected-load"
    if wrong == ANSWERS.YES:
        return "damage-found"
    return "returned-unsure" if ANSWERS.UNSURE in (loaded, wrong) else ""
