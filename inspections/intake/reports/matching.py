"""Which item of the register a line means: surely one, or none and why. Nothing is guessed.

By the serial, then by the mark; whatever the line says besides (maker, product, class) can only
contradict. The same serial on two items is told apart by the whole product, never by likelihood.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from inspections.intake.reports.stated import Stated
from register.intake.keys import LOOK_ALIKE, name_key, tag_key
from register.intake.rows import Problem
from register.intake.words import class_of
from register.rules.serials import serial_key
from register.rules.tags import shown

# Shorter than this a serial alone, with nothing that bears it out, may be any maker's.
# Common practice, no source.
SHORTEST_ALONE = 4
_SHORTEST_NAME = 4
_NAMED = 3

# Classes one and the same piece is called by; a word of one of them contradicts none of the others.
_ALIKE = (
    frozenset({"harness", "rescue-harness"}),
    frozenset({"lanyard", "energy-absorbing-lanyard", "positioning-lanyard", "sling"}),
    frozenset({"descender", "rope-adjuster", "lifting-device"}),
    frozenset({"sling", "rescue-loop", "anchor"}),
    frozenset({"rope", "guided-arrester", "horizontal-lifeline"}),
    frozenset({"anchor", "horizontal-lifeline", "tripod"}),
    frozenset({"lifting-device", "tripod", "pulley", "retractable"}),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """An item as far as a line can be compared with it."""

    pk: int
    code: str
    serial: str
    maker: str
    product: str
    class_slug: str
    made_first_on: date | None = None
    made_last_on: date | None = None


@dataclass(frozen=True, slots=True)
class Register:
    """Items by serial, by serial with what is misread on a worn label left out, and by mark."""

    by_serial: Mapping[str, Sequence[Held]] = field(default_factory=dict)
    by_bare: Mapping[str, Sequence[Held]] = field(default_factory=dict)
    by_mark: Mapping[str, Sequence[Held]] = field(default_factory=dict)
    products: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Match:
    """item: the one meant. is_sure: nothing contradicts; else bad news alone may be taken from it,
    and only where the mark names it. problems: why it is not sure."""

    item: Held | None = None
    is_sure: bool = False
    problems: tuple[Problem, ...] = ()
    notes: tuple[Problem, ...] = ()


def bare(serial: str) -> str:
    """O as 0, I and L as 1, no zeros in front: two serials one misreading apart have one of these."""
    return serial_key(serial).translate(LOOK_ALIKE).lstrip("0")


def register_of(items: Iterable[Held], marks: Mapping[str, Iterable[int]]) -> Register:
    """``marks``: every mark ever given, as compared, and the keys of the items that bear or bore it."""
    by_serial: dict[str, list[Held]] = {}
    by_bare: dict[str, list[Held]] = {}
    by_pk = {}
    for one in items:
        by_pk[one.pk] = one
        by_serial.setdefault(serial_key(one.serial), []).append(one)
        by_bare.setdefault(bare(one.serial), []).append(one)
    by_mark = {mark: [by_pk[pk] for pk in keys if pk in by_pk] for mark, keys in marks.items()}
    products = frozenset(name_key(one.product) for one in by_pk.values())
    return Register(by_serial, by_bare, by_mark, products)


def matched(line: Stated, register: Register) -> Match:
    """The item the line means."""
    marked = register.by_mark.get(tag_key(line.tag), ()) if line.tag else ()
    if line.serial.problem and line.serial.problem != "serial-missing":
        told = Problem(line.serial.problem, "serial", {"value": line.serial.fact})
        return Match(marked[0] if len(marked) == 1 else None, problems=(told,))
    if not line.serial.value:
        return _by_mark(line, marked, register)
    return _by_serial(line, marked, register)


def _by_mark(line: Stated, marked: Sequence[Held], register: Register) -> Match:
    if not line.tag:
        return Match(problems=(Problem("no-identity", "serial"),))
    if len(marked) != 1:
        code = "mark-of-two" if marked else "mark-not-ours"
        return Match(problems=(Problem(code, "tag", {"value": line.tag}),))
    return _borne_out(line, marked[0], register)


def _by_serial(line: Stated, marked: Sequence[Held], register: Register) -> Match:
    found = register.by_serial.get(serial_key(line.serial.value), ())
    if not found:
        return Match(problems=(_why_not_found(line, marked, register),))
    found = _told_apart(line, found, marked)
    rivals = _with_zeros(line, register) if line.was_number else ()
    if len(found) > 1 or any(one.pk != found[0].pk for one in rivals):
        others = _some({one.code for one in (*found, *rivals)})
        facts = {"value": line.serial.value, "others": others}
        return Match(problems=(Problem("serial-of-two", "serial", facts),))
    item = found[0]
    if marked and item.pk not in {one.pk for one in marked}:
        facts = {"value": line.tag, "bearer": marked[0].serial, "item": item.code}
        return Match(problems=(Problem("mark-of-another", "tag", facts),))
    return _borne_out(line, item, register, is_marked=bool(marked))


def _some(codes: set[str]) -> str:
    """Three of them as people read them aloud, and how many there are besides."""
    told = ", ".join(map(shown, sorted(codes)[:_NAMED]))
    return told if len(codes) <= _NAMED else f"{told} (+{len(codes) - _NAMED})"


def _told_apart(line: Stated, found: Sequence[Held], marked: Sequence[Held]) -> Sequence[Held]:
    """Of several with one serial the one whose mark or whole product the line names."""
    if len(found) == 1:
        return found
    by_mark = [one for one in found if one.pk in {each.pk for each in marked}]
    if len(by_mark) == 1:
        return by_mark
    named = [one for one in found if line.product and _names_product(line.product, one)]
    return named if len(named) == 1 else found


def _with_zeros(line: Stated, register: Register) -> list[Held]:
    """Items whose serial begins with 0 and is otherwise this number: it may have lost its zeros."""
    alike = register.by_bare.get(bare(line.serial.value), ())
    return [one for one in alike if serial_key(one.serial).startswith("0")]


def _why_not_found(line: Stated, marked: Sequence[Held], register: Register) -> Problem:
    value = line.serial.value
    zeros = _with_zeros(line, register)
    if line.was_number and zeros:
        return Problem("zeros-lost", "serial", {"value": value, "peer": zeros[0].serial})
    if marked:
        facts = {"value": line.tag, "bearer": marked[0].serial, "serial": value}
        return Problem("mark-with-other-serial", "tag", facts)
    alike = register.by_bare.get(bare(value), ())
    if alike:
        return Problem("near-ours", "serial", {"value": value, "peer": alike[0].serial})
    return Problem("not-ours", "serial", {"value": value})


def _borne_out(line: Stated, item: Held, register: Register, *, is_marked: bool = True) -> Match:
    """Sure, unless what the line says besides contradicts or a short serial stands all alone."""
    against = _contradictions(line, item, register)
    if against:
        return Match(problems=tuple(against))
    agrees = is_marked or (line.product and _names_product(line.product, item))
    agrees = agrees or (line.maker and _same_maker(line.maker, item.maker))
    short = len(serial_key(line.serial.value)) < SHORTEST_ALONE
    if line.serial.value and short and not agrees:
        return Match(problems=(Problem("serial-short", "serial", {"value": line.serial.value}),))
    unread = line.tag and not is_marked
    notes = (Problem("mark-unknown", "tag", {"value": line.tag}),) if unread else ()
    return Match(item, is_sure=True, notes=notes)


def _contradictions(line: Stated, item: Held, register: Register) -> list[Problem]:
    ours = {"item": item.code, "product": item.product, "maker": item.maker}
    found = []
    if line.maker and not _same_maker(line.maker, item.maker):
        found.append(Problem("maker-differs", "maker", {"value": line.maker, **ours}))
    if line.product and _is_other_product(line.product, item, register):
        found.append(Problem("product-differs", "product", {"value": line.product, **ours}))
    if line.class_text and _is_other_class(line.class_text, item):
        found.append(Problem("product-differs", "class", {"value": line.class_text, **ours}))
    return found + _made_otherwise(line, item)


def _made_otherwise(line: Stated, item: Held) -> list[Problem]:
    """The month of manufacture on the line is none in which ours can have been made."""
    made, first, last = line.made, item.made_first_on, item.made_last_on
    if made is None or made.first is None or first is None or last is None:
        return []
    if made.overlaps(first, last):
        return []
    return [Problem("made-differs", "made", {"value": str(made.first), "ours": str(first)})]


def _names_product(text: str, item: Held) -> bool:
    """The text holds our whole designation, or the other way round."""
    said, ours = name_key(text), name_key(item.product)
    shorter = min(said, ours, key=len)
    return said == ours or (len(shorter) >= _SHORTEST_NAME and (ours in said or said in ours))


def _is_other_product(text: str, item: Held, register: Register) -> bool:
    if _names_product(text, item):
        return False
    said = name_key(text)
    other = any(len(name) >= _SHORTEST_NAME and name in said for name in register.products)
    return other or said in register.products or _is_other_class(text, item)


def _is_other_class(text: str, item: Held) -> bool:
    slug = class_of(text)
    if not slug or slug == item.class_slug:
        return False
    return not any({slug, item.class_slug} <= group for group in _ALIKE)


def _same_maker(text: str, maker: str) -> bool:
    """One within the other, or the first letters of its words: 'HT' is Halvard Textiles."""
    said, ours = name_key(text), name_key(maker)
    initials = "".join(word[0] for word in maker.casefold().split() if word[0].isalnum())
    return bool(said) and (said in ours or ours in said or said == initials)
