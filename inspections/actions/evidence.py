"""The passes on which a release rests, and what becomes of an item when one of them is no more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db.models import QuerySet

from inspections.conditions import standing_inspections
from inspections.models import Inspection
from inspections.regime import regime_in_force
from inspections.rules.item_facts import PASSES
from inspections.rules.kinds import KINDS, may_release
from inspections.rules.schemes import asked_after
from inspections.wording import no_pass_since_sentence
from register.actions.conditions import quarantine
from register.models import Entry, Item, Stamp, User
from register.refusal import Refusal
from register.rules.conditions import Condition

FOUND_BY_USER = "pre-use-check-failed"


def passes_since(item: Item, reasons: Iterable[str], since: datetime | None) -> list[str]:
    """For each reason a pass of the right kind, performed and recorded since; or a refusal.

    Recorded too: a device whose clock is ahead could claim a look that came before the quarantine.
    """
    passes = [
        one
        for one in standing_inspections([item])[item.pk]
        if one.counts
        and one.verdict in PASSES
        and since is not None
        and min(one.performed_at, one.recorded_at) >= since
    ]
    every = dict.fromkeys(reasons)
    return list(dict.fromkeys(key for why in every for key in _evidence(item, why, passes)))


def quarantine_unproven(item: Item, wrong: Inspection, stamp: Stamp) -> None:
    """A pass that released the item was corrected: it is out again unless another proves the same.

    What is away, lost, withdrawn or gone comes back through a quarantine anyhow.
    """
    if item.condition not in (Condition.IN_SERVICE, Condition.QUARANTINED):
        return
    for entry in _acts(item, "release").order_by("seq"):
        if str(wrong.pk) not in str(entry.facts.get("evidence", "")).split():
            continue
        reasons = _reasons_told(entry)
        told = entry.facts.get("was_out_since")
        since = datetime.fromisoformat(str(told)) if told else None
        try:
            passes_since(item, reasons, since)
        except Refusal:
            for why in reasons:
                quarantine(item, reason=why, stamp=stamp.again())


def reported_from_use_by(item: Item, user: User) -> bool:
    """Whether the user reported it from its use, first or later, since it was last in service."""
    ended = _acts(item, "release", "accept").order_by("-seq").values_list("seq", flat=True).first()
    told = _acts(item, "quarantine").filter(act__by=user, seq__gt=ended or 0)
    return any(FOUND_BY_USER in (one.facts.get("reason"), one.facts.get("again")) for one in told)


def _acts(item: Item, *verbs: str) -> QuerySet[Entry]:
    chain = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk))
    return chain.filter(act__verb__in=verbs)


def _reasons_told(entry: Entry) -> list[str]:
    told = entry.facts.get("was_out_for")
    return [str(why) for why in told if why] if isinstance(told, list) else []


def _evidence(item: Item, why: str, passes: Sequence[Inspection]) -> list[str]:
    """The passes that end this reason for quarantine, by their keys: one of a kind that releases,
    and one for each line of the schemes that asks for an inspection after such an event."""
    free = frozenset(slug for slug in KINDS if may_release(why, slug))
    lines = asked_after(regime_in_force().schemes, item.product.equipment_class, why)
    asked = [(free, ""), *((line.kinds, line.source) for line in lines)]
    return [_pass_of(item, kinds, source, passes) for kinds, source in asked]


def _pass_of(item: Item, kinds: frozenset[str], source: str, passes: Sequence[Inspection]) -> str:
    for one in passes:
        if one.kind in kinds:
            return str(one.pk)
    raise Refusal("no-pass-since", no_pass_since_sentence(item.shown_code, kinds, source))
