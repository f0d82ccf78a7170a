"""The condition of an item, and the only changes of condition there are."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from register.rules.texts import gettext_noop

Facts = tuple[tuple[str, str], ...]


class Condition(StrEnum):
    """Kept apart from where the item is and from its dates; NEW is 'not in the register yet'."""

    NEW = ""
    RECEIVED = "received"
    IN_SERVICE = "in-service"
    QUARANTINED = "quarantined"
    AWAY = "away"
    WITHDRAWN = "withdrawn"
    DESTROYED = "destroyed"
    NOT_LOCATED = "not-located"
    LEFT = "left"


NEW = Condition.NEW
RECEIVED = Condition.RECEIVED
IN_SERVICE = Condition.IN_SERVICE
QUARANTINED = Condition.QUARANTINED
AWAY = Condition.AWAY
WITHDRAWN = Condition.WITHDRAWN
DESTROYED = Condition.DESTROYED
NOT_LOCATED = Condition.NOT_LOCATED
LEFT = Condition.LEFT

CONDITIONS: dict[Condition, str] = {
    RECEIVED: gettext_noop("Received, not yet accepted"),
    IN_SERVICE: gettext_noop("In service"),
    QUARANTINED: gettext_noop("Quarantined"),
    AWAY: gettext_noop("Away for service"),
    WITHDRAWN: gettext_noop("Withdrawn for good"),
    DESTROYED: gettext_noop("Destroyed"),
    NOT_LOCATED: gettext_noop("Not located"),
    LEFT: gettext_noop("Left the undertaking"),
}
CONDITION_CHOICES: tuple[tuple[str, str], ...] = tuple(
    (condition.value, name) for condition, name in CONDITIONS.items()
)


@dataclass(frozen=True, slots=True)
class Change:
    """One allowed change: the act that makes it, and the slugs of the evidence it needs."""

    act: str
    evidence: tuple[str, ...]


_LOST = Change("report-not-located", ("last-custodian", "search-note"))
_SENT = Change("send-away", ("recipient", "reason", "dispatch-reference"))
_WITHDRAWN = Change("withdraw", ("withdrawal-ground",))
_LET_GO = Change("let-go", ("recipient", "last-inspection-travels"))
_STOPPED = Change("quarantine", ("quarantine-reason",))

# Two roads are closed on purpose. A withdrawn item that nobody finds stays withdrawn (its custody
# says 'not located'): found again, it must not come back as merely quarantined. Away leads back
# through quarantine only, so that what the maker returns is looked at before anyone hangs on it.
CHANGES: dict[tuple[Condition, Condition], Change] = {
    (NEW, RECEIVED): Change("receive", ("delivery-reference", "product", "serial", "made-date")),
    (NEW, QUARANTINED): Change("take-on-quarantined", ("product", "quarantine-reason")),
    (RECEIVED, IN_SERVICE): Change("accept", ("label-checked", "instructions", "declaration")),
    (RECEIVED, QUARANTINED): _STOPPED,
    (RECEIVED, WITHDRAWN): _WITHDRAWN,
    (RECEIVED, NOT_LOCATED): _LOST,
    (RECEIVED, LEFT): Change("reject-delivery", ("rejection-note",)),
    (IN_SERVICE, QUARANTINED): _STOPPED,
    (IN_SERVICE, AWAY): _SENT,
    (IN_SERVICE, WITHDRAWN): _WITHDRAWN,
    (IN_SERVICE, NOT_LOCATED): _LOST,
    (IN_SERVICE, LEFT): _LET_GO,
    (QUARANTINED, IN_SERVICE): Change("release", ("pass-after-quarantine",)),
    (QUARANTINED, AWAY): _SENT,
    (QUARANTINED, WITHDRAWN): _WITHDRAWN,
    (QUARANTINED, NOT_LOCATED): _LOST,
    (QUARANTINED, LEFT): Change("return-to-owner", ("owner", "condition-told")),
    (AWAY, QUARANTINED): Change("take-back-from-service", ("service-certificate",)),
    (AWAY, WITHDRAWN): _WITHDRAWN,
    (AWAY, NOT_LOCATED): _LOST,
    (WITHDRAWN, QUARANTINED): Change("undo-withdrawal", ("written-reason", "two-people")),
    (WITHDRAWN, DESTROYED): Change("destroy", ("method", "witness", "photographs")),
    (WITHDRAWN, LEFT): Change("return-to-owner", ("owner", "condition-told")),
    (NOT_LOCATED, QUARANTINED): Change("report-found", ("where-found",)),
    (LEFT, RECEIVED): Change("receive-again", ("delivery-reference", "last-inspection")),
}


def may_change(frm: str, to: str) -> bool:
    """Whether a register may ever record this change; who may, and on what proof, is not asked."""
    return (Condition(frm), Condition(to)) in CHANGES


def refusal(frm: str, to: str) -> tuple[str, Facts] | None:
    """Why the change cannot be, as a code and facts for register.wording; None where it can."""
    if may_change(frm, to):
        return None
    facts = (("from", str(frm)), ("to", str(to)))
    if frm == to:
        return "condition-unchanged", facts
    if frm == DESTROYED:
        return "destroyed-for-ever", facts
    return _SPECIAL_REFUSALS.get((Condition(frm), Condition(to)), "change-not-allowed"), facts


def refusal_to_come_back(left_as: str) -> tuple[str, Facts] | None:
    """Why an item that left in this condition cannot be received again; None where it can.

    Without it a withdrawn item would return to service by leaving and being delivered anew.
    """
    return ("left-withdrawn", (("left_as", str(left_as)),)) if left_as == WITHDRAWN else None


_SPECIAL_REFUSALS: dict[tuple[Condition, Condition], str] = {
    (WITHDRAWN, IN_SERVICE): "withdrawn-stays-withdrawn",
    (WITHDRAWN, AWAY): "withdrawn-stays-withdrawn",
    (WITHDRAWN, RECEIVED): "withdrawn-stays-withdrawn",
    (WITHDRAWN, NOT_LOCATED): "withdrawn-stays-withdrawn",
    (AWAY, IN_SERVICE): "quarantine-first",
    (NOT_LOCATED, IN_SERVICE): "quarantine-first",
    (LEFT, IN_SERVICE): "receive-first",
    (NEW, IN_SERVICE): "receive-first",
    (RECEIVED, DESTROYED): "withdraw-first",
    (IN_SERVICE, DESTROYED): "withdraw-first",
    (QUARANTINED, DESTROYED): "withdraw-first",
    (AWAY, DESTROYED): "withdraw-first",
}

QUARANTINE_REASONS: dict[str, str] = {
    "arrested-a-fall": gettext_noop("Arrested a fall"),
    "suspected-load": gettext_noop("May have taken a load"),
    "damage-found": gettext_noop("Damage found"),
    "pre-use-check-failed": gettext_noop("Pre-use check failed"),
    "failed-inspection": gettext_noop("Failed an inspection, decision pending"),
    "referred": gettext_noop("Referred to the maker or an engineer"),
    "identity-in-doubt": gettext_noop("Identity in doubt"),
    "label-unreadable": gettext_noop("Label unreadable"),
    "safety-notice": gettext_noop("Safety notice"),
    "seal-broken": gettext_noop("Seal broken"),
    "contents-wrong": gettext_noop("Contents wrong"),
    "found-after-loss": gettext_noop("Found after being lost"),
    "contaminated": gettext_noop("Contaminated"),
    "dropped": gettext_noop("Dropped or thrown"),
    "flooded": gettext_noop("Flooded or soaked"),
    "heat": gettext_noop("Heat, flame or sparks"),
    "lightning": gettext_noop("Lightning or current"),
    "long-storage": gettext_noop("Stored for long"),
    "load-tested": gettext_noop("Loaded in a test"),
    "used-in-rescue": gettext_noop("Used in a rescue, to be checked"),
    "used-in-drill": gettext_noop("Used in a drill, to be checked"),
    "out-of-date": gettext_noop("Out of date and taken out of use"),
    "returned-unsure": gettext_noop("Returned, history not known"),
    "age-not-established": gettext_noop("Age not established"),
    "back-from-service": gettext_noop("Back from service, not yet accepted"),
    "withdrawn-in-error": gettext_noop("Withdrawn in error, to be inspected"),
}
QUARANTINE_REASON_CHOICES: tuple[tuple[str, str], ...] = tuple(QUARANTINE_REASONS.items())

CUSTODY_KINDS: dict[str, str] = {
    "stores": gettext_noop("In stores"),
    "person": gettext_noop("On issue to a person"),
    "site": gettext_noop("On site with a custodian"),
    "kit": gettext_noop("In a kit"),
    "installed": gettext_noop("Installed"),
    "in-transit": gettext_noop("In transit"),
    "inspector": gettext_noop("With an inspector"),
    "maker": gettext_noop("With the maker or an agent"),
    "cage": gettext_noop("In the quarantine cage"),
    "not-located": gettext_noop("Not located"),
    "owner": gettext_noop("Returned to its owner"),
    "destroyed": gettext_noop("Destroyed"),
}
CUSTODY_CHOICES: tuple[tuple[str, str], ...] = tuple(CUSTODY_KINDS.items())

# Wherever the condition says, nobody can use an item that is in one of these places.
CUSTODY_NOT_USABLE: frozenset[str] = frozenset(
    {"in-transit", "maker", "cage", "not-located", "owner", "destroyed"}
)
