"""Which items a safety notice means: certainly, possibly or not, and what is missing to be sure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from inspections.rules.serial_order import SerialRange, look_alike
from register.intake.keys import name_key
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan
from register.rules.serials import serial_key
from register.rules.texts import gettext_noop

Certainty = Literal["certain", "possible", "none"]
Doubt = tuple[str, str]
"""What keeps a match from being certain, as a code, and the fact that belongs to it."""

CERTAINTIES: dict[str, str] = {
    "certain": gettext_noop("Certain"),
    "possible": gettext_noop("Possible"),
    "none": gettext_noop("Not meant"),
}
CERTAINTY_CHOICES: tuple[tuple[str, str], ...] = tuple(CERTAINTIES.items())


@dataclass(frozen=True, slots=True)
class ProductName:
    """A maker, and one of its models; '' for the model means all of them."""

    maker: str
    model: str = ""

    def names(self, maker: str, model: str) -> bool:
        """Whether the product is meant; capitals, blanks and dashes make no difference."""
        same_maker = name_key(self.maker) == name_key(maker)
        return same_maker and (not self.model or name_key(self.model) == name_key(model))


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What a notice says of the pieces it means; every part that is given must hold.

    No products: of any product. The days are both included; None leaves an end open.
    """

    products: tuple[ProductName, ...] = ()
    serials: tuple[SerialRange, ...] = ()
    batches: frozenset[str] = frozenset()
    made_from_on: date | None = None
    made_through_on: date | None = None
    sold_from_on: date | None = None
    sold_through_on: date | None = None

    @property
    def means_everything(self) -> bool:
        """Nothing is said, so that every item of the register would be held."""
        return not (
            self.products or self.serials or self.batches or self.tells_made or self.tells_sold
        )

    @property
    def tells_made(self) -> bool:
        return bool(self.made_from_on or self.made_through_on)

    @property
    def tells_sold(self) -> bool:
        return bool(self.sold_from_on or self.sold_through_on)

    def names(self, maker: str, model: str) -> bool:
        """Whether the product is among those the notice means."""
        return not self.products or any(one.names(maker, model) for one in self.products)


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """What is on record of one item of a product that the notice means; '' and None: not known."""

    serial: str = ""
    batch: str = ""
    made: DateSpan = UNKNOWN_SPAN
    purchased_on: date | None = None


@dataclass(frozen=True, slots=True)
class Match:
    """How far a notice means an item; doubts tell what is missing where it does so possibly."""

    certainty: Certainty
    doubts: tuple[Doubt, ...] = ()

    @property
    def is_meant(self) -> bool:
        return self.certainty != "none"


NOT_MEANT = Match("none")


def match(rule: Rule, piece: Piece) -> Match:
    """Every part of the rule is asked; one clear no ends it, anything not known leaves it open."""
    doubts: list[Doubt] = []
    for holds, doubt in _answers(rule, piece):
        if holds is False:
            return NOT_MEANT
        if holds is None:
            doubts.append(doubt)
    return Match("possible", tuple(doubts)) if doubts else Match("certain")


def _answers(rule: Rule, piece: Piece) -> Iterable[tuple[bool | None, Doubt]]:
    if rule.serials:
        yield _any(one.contains(piece.serial) for one in rule.serials), _serial_doubt(piece)
    if rule.batches:
        yield _has_batch(rule.batches, piece.batch), _batch_doubt(piece)
    if rule.tells_made:
        rough = ("made-rough", piece.made.precision) if piece.made.first else ("made-missing", "")
        yield _within(rule.made_from_on, rule.made_through_on, piece.made), rough
    if rule.tells_sold:
        day = piece.purchased_on
        bought = DateSpan(day, day, "day") if day else UNKNOWN_SPAN
        yield _within(rule.sold_from_on, rule.sold_through_on, bought), ("sold-missing", "")


def _any(answers: Iterable[bool | None]) -> bool | None:
    found = set(answers)
    if True in found:
        return True
    return None if None in found else False


def _has_batch(meant: Iterable[str], batch: str) -> bool | None:
    """None also for one that differs only by a letter that may be a misread digit."""
    if not serial_key(batch):
        return None
    if serial_key(batch) in set(map(serial_key, meant)):
        return True
    return None if look_alike(batch) in set(map(look_alike, meant)) else False


def _batch_doubt(piece: Piece) -> Doubt:
    return ("batch-unlike", piece.batch) if serial_key(piece.batch) else ("batch-missing", "")


def _serial_doubt(piece: Piece) -> Doubt:
    return ("serial-unlike", piece.serial) if serial_key(piece.serial) else ("serial-missing", "")


def _within(first: date | None, last: date | None, span: DateSpan) -> bool | None:
    """Whether all days of the span are between these; None where only some may be."""
    low, high = first or date.min, last or date.max
    if not span.overlaps(low, high):
        return False
    if span.first is None or span.last is None:
        return None
    return True if low <= span.first and span.last <= high else None
