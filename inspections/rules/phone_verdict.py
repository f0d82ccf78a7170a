"""What a phone without signal says of an item: the register's verdict as packed, or worse.

The rule of the phone, in Python: ``tests/vectors/phone_verdicts.json`` holds the phone's own script
to the same cases. A phone never works a date out and never improves a verdict. It compares days, and
adds what it knows that is worse: what was put out on it, a pack too old, a clock that cannot be right.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

GOOD_FOR = timedelta(hours=72)  # common practice, no source: a long weekend is more
MAY_STEP_BACK = timedelta(minutes=5)  # phones set their clock by the network now and then

OUT_VERDICTS = frozenset({"fail", "refer", "not-identified"})
PUTS_OUT = frozenset({"quarantine", "arrest", "event"})
OWN_CODES = (
    *("stopped-here", "part-stopped-here", "no-pack", "clock-wrong"),
    *("pack-too-old", "not-in-pack"),
)


@dataclass(frozen=True, slots=True)
class Pack:
    """When the register was packed, until when it may be relied on, and the clock of its site."""

    made_at: datetime
    good_until_at: datetime
    zone: str


@dataclass(frozen=True, slots=True)
class PackSpell:
    """One spell of an item as it stands in the pack."""

    from_on: date
    usable: bool
    through: date | None
    code: str


@dataclass(frozen=True, slots=True)
class PackItem:
    """One item of the pack: its spells in order, and the tags of a kit's required parts."""

    code: str
    spells: tuple[PackSpell, ...]
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Written:
    """Something written on this phone about one item. ``applied_at`` is the
    ``answered_at`` of the answer that called it applied or dropped; None before that."""

    item: str
    kind: str
    verdict: str = ""
    applied_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """What the phone knows beside its pack; ``latest_at`` is the latest time its clock has shown."""

    written: tuple[Written, ...] = ()
    latest_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class PhoneVerdict:
    """Usable or not, through which day, and the code of the sentence."""

    usable: bool
    through: date | None
    code: str


def puts_out(kind: str, verdict: str) -> bool:
    """Whether what was written puts its item out of use at once."""
    return kind in PUTS_OUT or (kind == "look" and verdict in OUT_VERDICTS)


def phone_verdict(
    pack: Pack | None, item: PackItem | None, known: Known, *, code: str, at: datetime
) -> PhoneVerdict:
    """The verdict on the tag ``code`` by the phone's clock ``at``; ``item`` is None outside the pack.

    What was put out here stays so until a pack that was made after the register had taken it.
    """
    parts = item.parts if item else ()
    why = (
        _why_stopped(pack, known.written, code, parts)
        or _why_not_trusted(pack, known, at)
        or ("not-in-pack" if item is None else "")
    )
    if why or pack is None or item is None:
        return PhoneVerdict(False, None, why)
    spell = _spell_on(item, day_of(pack, at))
    if spell is None:
        return PhoneVerdict(False, None, "clock-wrong")
    return PhoneVerdict(spell.usable, spell.through if spell.usable else None, spell.code)


def day_of(pack: Pack, at: datetime) -> date:
    """The day it is at the site of the pack."""
    return at.astimezone(ZoneInfo(pack.zone)).date()


def _why_stopped(
    pack: Pack | None, written: Iterable[Written], code: str, parts: tuple[str, ...]
) -> str:
    stopped = {
        one.item
        for one in written
        if puts_out(one.kind, one.verdict) and not _is_in_pack(pack, one)
    }
    if code in stopped:
        return "stopped-here"
    return "part-stopped-here" if stopped & set(parts) else ""


def _is_in_pack(pack: Pack | None, one: Written) -> bool:
    return pack is not None and one.applied_at is not None and one.applied_at < pack.made_at


def _why_not_trusted(pack: Pack | None, known: Known, at: datetime) -> str:
    if pack is None:
        return "no-pack"
    if at < pack.made_at or (known.latest_at and at < known.latest_at - MAY_STEP_BACK):
        return "clock-wrong"
    return "pack-too-old" if at >= pack.good_until_at else ""


def _spell_on(item: PackItem, day: date) -> PackSpell | None:
    begun = [spell for spell in item.spells if spell.from_on <= day]
    return begun[-1] if begun else None
