"""The words of jurisdiction files for what happens, what is kept and what a report must say."""

from __future__ import annotations

from register.rules.texts import gettext_noop

# What happens to equipment, after which some texts ask for an inspection.
EVENTS: dict[str, str] = {
    "arrest": gettext_noop("A fall was arrested"),
    "load": gettext_noop("A shock or a heavy load"),
    "damage": gettext_noop("Damage, or a check that failed"),
    "contamination": gettext_noop("Chemicals, paint, heat or dirt"),
    "loss": gettext_noop("Lost and found again"),
    "idle": gettext_noop("Long out of use"),
    "repair": gettext_noop("Repair, service or alteration"),
    "moved": gettext_noop("Put up or fixed anew"),
    "exceptional": gettext_noop("Anything else that may have harmed it"),
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
    "inspection": gettext_noop("Record of an inspection"),
    "thorough-examination": gettext_noop("Report of a thorough examination"),
    "installation": gettext_noop("Report on an installation"),
    "first-examination": gettext_noop("Report of an examination before first use"),
    "declaration": gettext_noop("Declaration of conformity"),
    "training": gettext_noop("Record of training"),
}
# Until when: the next of its kind, the end of its use here, or a number of months and no event.
UNTIL: dict[str, str] = {
    "next": gettext_noop("until the next is recorded"),
    "end": gettext_noop("as long as the equipment is in use here"),
    "months": gettext_noop("from the day it was made"),
}

PARTICULARS: dict[str, str] = {
    "for-whom": gettext_noop("Name and address of the employer for whom it was made"),
    "premises": gettext_noop("Where it was made"),
    "identity": gettext_noop("What identifies the equipment"),
    "description": gettext_noop("Description of the equipment"),
    "made-on": gettext_noop("Date of manufacture, where known"),
    "first-used-on": gettext_noop("Date of first use"),
    "performed-on": gettext_noop("Date of the inspection"),
    "performed-at": gettext_noop("Date and time of the inspection"),
    "report-made-on": gettext_noop("Date of the report"),
    "last-performed-on": gettext_noop("Date of the last one"),
    "safe-working-load": gettext_noop("Safe working load or rating"),
    "occasion": gettext_noop(
        "Why it was made: in which interval, under a scheme or after an event"
    ),
    "after-installation": gettext_noop(
        "Whether it is the first after installation, and installed correctly"
    ),
    "safe-to-operate": gettext_noop("Whether it is safe to use"),
    "defects": gettext_noop("Each defect that is or could become a danger"),
    "repairs": gettext_noop("Repairs made or needed"),
    "danger-by": gettext_noop("The day by which a defect could become a danger"),
    "action-taken": gettext_noop("What was done about it"),
    "further-action": gettext_noop("What is still to be done"),
    "tests": gettext_noop("Particulars of any test"),
    "next-due": gettext_noop("Latest date of the next one"),
    "inspector": gettext_noop("Name of who made it"),
    "inspector-qualifications": gettext_noop("Address and qualifications of who made it"),
    "inspector-employer": gettext_noop("Employer of who made it"),
    "signatory": gettext_noop("Who authenticated it"),
}


def events_of(reason: str) -> frozenset[str]:
    """The events that a reason for quarantine stands for; one that is not known counts as one."""
    return frozenset() if reason in _NO_EVENT else _EVENTS_OF.get(reason, _SUDDEN)


def record_of(kind: str) -> str:
    """Which record an inspection of the kind leaves."""
    return kind if kind in {"thorough-examination", "installation"} else "inspection"
