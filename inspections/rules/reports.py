"""What a report of an examination must say, and which particulars are missing.

Schedule 1 of the Lifting Operations and Lifting Equipment Regulations 1998 (SI 1998/2307), and
Schedule 7 of the Work at Height Regulations 2005 (SI 2005/735), both of Great Britain. What each
clause asks is told in our own words; ``status`` says how well the clause is known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from inspections.rules.item_facts import PASSES
from register.rules.texts import gettext_noop

FIRST = "first"
OCCASIONS: dict[str, str] = {
    FIRST: gettext_noop("First examination after installation, or after assembly at a new place"),
    "six-months": gettext_noop("Within an interval of 6 months"),
    "twelve-months": gettext_noop("Within an interval of 12 months"),
    "scheme": gettext_noop("In accordance with an examination scheme"),
    "exceptional": gettext_noop("After exceptional circumstances"),
}
OCCASION_CHOICES: tuple[tuple[str, str], ...] = tuple(OCCASIONS.items())

_READ, _SECOND, _MEMORY = "read", "read-2", "from memory, to be verified"


@dataclass(frozen=True, slots=True)
class Clause:
    """One particular: its number in the schedule, what it asks, and how well it is known."""

    number: str
    name: str
    status: str


LOLER_1: tuple[Clause, ...] = (
    Clause("1", gettext_noop("Employer for whom the examination was made: name and address"), _READ),
    Clause("2", gettext_noop("Address of the premises at which it was made"), _READ),
    Clause("3", gettext_noop("What identifies the equipment; date of manufacture, where known"), _READ),
    Clause("4", gettext_noop("Date of the last thorough examination"), _READ),
    Clause("5", gettext_noop("Safe working load; where it depends on configuration, of the one examined"), _READ),
    Clause("6(a)", gettext_noop("Whether it is the first after installation or at a new place"), _READ),
    Clause("6(b)", gettext_noop("If so, whether it was installed correctly and is safe to operate"), _READ),
    Clause("7(a)(i)", gettext_noop("Otherwise: whether within an interval of 6 months"), _READ),
    Clause("7(a)(ii)", gettext_noop("Whether within an interval of 12 months"), _READ),
    Clause("7(a)(iii)", gettext_noop("Whether in accordance with an examination scheme"), _READ),
    Clause("7(a)(iv)", gettext_noop("Whether after exceptional circumstances"), _READ),
    Clause("7(b)", gettext_noop("If so, whether it is safe to operate"), _READ),
    Clause("8(a)", gettext_noop("Each part with a defect that is or could become a danger, and the defect"), _READ),
    Clause("8(b)", gettext_noop("For a danger now: the repair, renewal or alteration it needs"), _READ),
    Clause("8(c)(i)", gettext_noop("For a danger to come: by when it could become one"), _READ),
    Clause("8(c)(ii)", gettext_noop("For a danger to come: the repair, renewal or alteration it needs"), _READ),
    Clause("8(d)", gettext_noop("Latest date by which the next thorough examination must be made"), _SECOND),
    Clause("8(e)", gettext_noop("Particulars of any test"), _SECOND),
    Clause("8(f)", gettext_noop("Date of the thorough examination"), _MEMORY),
    Clause("9", gettext_noop("Author of the report: name, address, qualifications; self-employed, or employer’s name and address"), _SECOND),
    Clause("10", gettext_noop("Who signed or authenticated it on the author’s behalf: name and address"), _SECOND),
    Clause("11", gettext_noop("Date of the report"), _MEMORY),
)  # fmt: skip

WAHR_7: tuple[Clause, ...] = (
    Clause("1", gettext_noop("For whom the inspection was carried out: name and address"), _SECOND),
    Clause("2", gettext_noop("Location of the equipment inspected"), _SECOND),
    Clause("3", gettext_noop("Description of the equipment inspected"), _SECOND),
    Clause("4", gettext_noop("Date and time of the inspection"), _SECOND),
    Clause("5", gettext_noop("Any matter that could be a risk to the health or safety of anybody"), _SECOND),
    Clause("6", gettext_noop("Action taken because of it"), _SECOND),
    Clause("7", gettext_noop("Further action considered necessary"), _MEMORY),
    Clause("8", gettext_noop("Who made the report: name and position"), _MEMORY),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What an author has said, as far as it decides whether the report is whole.

    ``defects`` are the grades by the key of each defect; ``latest_on`` is the last day that the
    regime leaves until the next, None where it knows no interval for it.
    """

    thorough: bool
    verdict: str
    employer_name: str
    employer_address: str
    premises: str
    author_address: str
    defects: Mapping[str, str]
    remedies: Mapping[str, str]
    occasion: str = ""
    installed_well: bool | None = None
    safe_load: str = ""
    qualifications: str = ""
    self_employed: bool = False
    author_employer: str = ""
    position: str = ""
    next_on: date | None = None
    latest_on: date | None = None


def missing(said: Said) -> list[str]:
    """The codes of what is missing or cannot be, in the order of the schedule."""
    checks = [
        ("employer-name", not said.employer_name),
        ("employer-address", not said.employer_address),
        ("premises", not said.premises),
    ]
    checks += _of_thorough(said) if said.thorough else [("position", not said.position)]
    checks.append(("author-address", said.thorough and not said.author_address))
    return [code for code, lacks in checks if lacks]


def _of_thorough(said: Said) -> Sequence[tuple[str, bool]]:
    dangers = [key for key, grade in said.defects.items() if grade in ("A", "B")]
    passes = said.verdict in PASSES
    late = bool(said.next_on and said.latest_on and said.next_on > said.latest_on)
    return (
        ("safe-load", not said.safe_load),
        ("occasion", said.occasion not in OCCASIONS),
        ("installed-well", said.occasion == FIRST and said.installed_well is None),
        ("installed-badly", passes and said.occasion == FIRST and said.installed_well is False),
        ("remedies", any(not said.remedies.get(key, "").strip() for key in dangers)),
        ("next", passes and said.next_on is None),
        ("next-too-late", late),
        ("qualifications", not said.qualifications),
        ("author-employer", not said.self_employed and not said.author_employer),
    )
