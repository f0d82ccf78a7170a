"""The words of jurisdiction files for what happens, what is kept and what a report must say."""

from __future__ import annotations

# What happens to equipment, after which some texts ask for an inspection.
EVENTS: dict[str, str] = {
    "arrest": "A fall was arrested",
    "load": "A shock or a heavy load",
    "damage": "Damage, or a check that failed",
    "contamination": "Chemicals, paint, heat or dirt",
    "loss": "Lost and found again",
    "idle": "Long out of use",
    "repair": "Repair, service or alteration",
    "moved": "Put up or fixed anew",
    "exceptional": "Anything else that may have harmed it",
}

_SUDDEN = frozenset({"exceptional"})
_EVENTS_OF: dict[str, frozenset[str]] = {
    "arrested-a-fall": _SUDDEN | {"arrest", "load"},
    "suspected-load": _SUDDEN | {"load"},
    "damage-found": frozenset({"damage"}),
    "pre-use-check-failed": frozenset({"damage"}),
    "contaminated": _SUDDEN | {"contamination"},
    "dropped": _SUDDEN | {"load"},
    "flooded": _SUDDEN | {"contamination"},
    "heat": _SUDDEN | {"contamination"},
    "long-storage": frozenset({"idle"}),
    "load-tested": _SUDDEN | {"load"},
    "used-in-rescue": _SUDDEN | {"load"},
    "found-after-loss": _SUDDEN | {"loss", "idle"},
    "back-from-service": frozenset({"repair"}),
}
# Reasons that are no event: nothing happened to the item itself, or only what it is there for.
_NO_EVENT = frozenset(
    {
        *("failed-inspection", "referred", "identity-in-doubt", "label-unreadable"),
        *("safety-notice", "seal-broken", "contents-wrong", "out-of-date"),
        *("age-not-established", "withdrawn-in-error", "used-in-drill"),
    }
)

# What is kept; a kind of inspection leaves one of the first three.
RECORDS: dict[str, str] = {
    "inspection": "Record of an inspection",
    "thorough-examination": "Report of a thorough examination",
    "installation": "Report on an installation",
    "first-examination": "Report of an examination before first use",
    "declaration": "Declaration of conformity",
    "training": "Record of training",
}
# Until when: the next of its kind, the end of its use here, or a number of months and no event.
UNTIL: dict[str, str] = {
    "next": "until the next is recorded",
    "end": "as long as the equipment is in use here",
    "months": "from the day it was made",
}

PARTICULARS: dict[str, str] = {
    "for-whom": "Name and address of the employer for whom it was made",
    "premises": "Where it was made",
    "identity": "What identifies the equipment",
    "description": "Description of the equipment",
    "made-on": "Date of manufacture, where known",
    "first-used-on": "Date of first use",
    "performed-on": "Date of the inspection",
    "performed-at": "Date and time of the inspection",
    "report-made-on": "Date of the report",
    "last-performed-on": "Date of the last one",
    "safe-working-load": "Safe working load or rating",
    "occasion": "Why it was made: in which interval, under a scheme or after an event",
    "after-installation": "Whether it is the first after installation, and installed correctly",
    "safe-to-operate": "Whether it is safe to use",
    "defects": "Each defect that is or could become a danger",
    "repairs": "Repairs made or needed",
    "danger-by": "The day by which a defect could become a danger",
    "action-taken": "What was done about it",
    "further-action": "What is still to be done",
    "tests": "Particulars of any test",
    "next-due": "Latest date of the next one",
    "inspector": "Name of who made it",
    "inspector-qualifications": "Address and qualifications of who made it",
    "inspector-employer": "Employer of who made it",
    "signatory": "Who authenticated it",
}


def events_of(reason: str) -> frozenset[str]:
    """The events that a reason for quarantine stands for; one that is not known counts as one."""
    return frozenset() if reason in _NO_EVENT else _EVENTS_OF.get(reason, _SUDDEN)


def record_of(kind: str) -> str:
    """Which record an inspection of the kind leaves."""
    return kind if kind in {"thorough-examination", "installation"} else "inspection"
