"""Prices of kits and people while they are looked for: where they begin, and how they move."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from readiness.rules.demand import Call
from readiness.rules.market import Market
from readiness.rules.sharing import Circles, Parts, even_parts

_NEW, _OLD = 0.7, 0.3


@dataclass(frozen=True, slots=True)
class Prices:
    """What a kit and a person of each class cost, what a task at each call brings, who pays which part."""

    kits: list[float]
    people: list[float]
    calls: dict[Call, float]
    kit_parts: Parts
    person_parts: Parts
    kit_dues: Mapping[str, list[float]] = field(default_factory=dict)
    person_dues: Mapping[str, list[float]] = field(default_factory=dict)
    """What a task that may share pays of each class, where that is no part alike for all: those that
    one thing could serve at once pay no more together than its price. Such prices are not moved."""

    @property
    def movable(self) -> bool:
        return bool(self.kit_parts)

    def for_all(self, goods: Market) -> Prices:
        """Of prices found for some tasks, those in which the others too pay their part."""
        if not self.movable:
            return self
        return replace(
            self,
            kit_parts=_parts_for_all(goods, goods.kits.circles, self.kit_parts),
            person_parts=_parts_for_all(goods, goods.people.circles, self.person_parts),
        )


@dataclass(slots=True)
class Over:
    """What is left over, or wanting where negative, of each class and beyond each floor.

    `kit_paid` and `person_paid` are the full prices that covered tasks pay their part of.
    """

    kits: list[float]
    people: list[float]
    calls: dict[Call, float]
    kit_paid: Parts = field(default_factory=dict)
    person_paid: Parts = field(default_factory=dict)

    def blended(self, before: Over | None) -> Over:
        """Part of the way before is kept, which keeps prices from swinging to and fro."""
        if before is None:
            return self
        return Over(
            [_NEW * a + _OLD * b for a, b in zip(self.kits, before.kits, strict=True)],
            [_NEW * a + _OLD * b for a, b in zip(self.people, before.people, strict=True)],
            {call: _NEW * self.calls[call] + _OLD * before.calls[call] for call in self.calls},
            self.kit_paid,
            self.person_paid,
        )

    def steepness(self, prices: Prices) -> float:
        """Of the way that prices can go: what is left over of a thing that costs nothing is no matter."""
        calls = _steepness(prices.calls.values(), self.calls.values())
        people = _steepness(prices.people, self.people)
        return _steepness(prices.kits, self.kits) + people + calls


def _parts_for_all(goods: Market, around: Circles, parts: Parts) -> Parts:
    return around.filled({task: parts.get(task, 0.0) for task in goods.demands})


def _steepness(prices: Iterable[float], left: Iterable[float]) -> float:
    ways = zip(prices, left, strict=True)
    return sum([over * over for price, over in ways if price > 0 or over < 0])


def first_prices(
    goods: Market, floors: Iterable[Call], tasks: tuple[str, ...]
) -> tuple[Prices, ...]:
    """Everything somewhat scarce; only kits scarce; only people."""
    calls = dict.fromkeys(floors, 1.0)
    kit_parts = even_parts(goods.kits.circles, tasks, goods.mates)
    person_parts = even_parts(goods.people.circles, tasks, goods.mates)
    starts = ((0.5, 0.1), (1.0, 0.0), (0.0, 0.7))
    return tuple(
        Prices(
            [kit] * len(goods.kits.counts),
            [person] * len(goods.people.counts),
            calls,
            kit_parts,
            person_parts,
        )
        for kit, person in starts
    )


def moved(prices: Prices, over: Over, step: float, goods: Market) -> Prices:
    """A step the way that what is left over and wanting tells."""
    return Prices(
        _moved(prices.kits, over.kits, step),
        _moved(prices.people, over.people, step),
        {call: max(0.0, was - step * over.calls[call]) for call, was in prices.calls.items()},
        _shifted(goods.kits.circles, prices.kit_parts, over.kit_paid, step),
        _shifted(goods.people.circles, prices.person_parts, over.person_paid, step),
    )


def _moved(prices: list[float], over: list[float], step: float) -> list[float]:
    return [max(0.0, price - step * left) for price, left in zip(prices, over, strict=True)]


def _shifted(around: Circles, parts: Parts, paid: Parts, step: float) -> Parts:
    """Who is covered can pay more, and so leaves less to pay for those who share with it."""
    if not around.sets:
        return parts
    return around.fitted(
        {
            task: part + step * paid.get(task, 0.0) if task in around.of else part
            for task, part in parts.items()
        }
    )
