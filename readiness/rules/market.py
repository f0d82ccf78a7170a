"""What the tasks of one contest compete for, with kits and people alike for everybody in classes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from readiness.rules.demand import Demand, Way
from readiness.rules.sharing import Circles, circles


@dataclass(frozen=True, slots=True)
class Offer:
    """One way of one task, in classes of kits and of people."""

    way: Way
    kits: tuple[int, ...]
    people: tuple[int, ...]
    need: int


@dataclass(frozen=True, slots=True)
class Goods:
    """Kits, or people: the class of each, how many a class has, and what one could serve at once."""

    class_of: Mapping[str, int]
    counts: tuple[int, ...]
    circles: Circles

    def less(self, place: int | None) -> Goods:
        """With one less of a class."""
        if place is None:
            return self
        counts = (many - (one == place) for one, many in enumerate(self.counts))
        return replace(self, counts=tuple(counts))


@dataclass(frozen=True, slots=True)
class Market:
    demands: Mapping[str, Demand]
    offers: Mapping[str, tuple[Offer, ...]]
    mates: Mapping[str, frozenset[str]]
    kits: Goods
    people: Goods

    def less(self, kit: int | None, person: int | None) -> Market:
        """With one kit of a class less to be had, or one person."""
        return replace(self, kits=self.kits.less(kit), people=self.people.less(person))


def market(demands: Iterable[Demand], mates: Mapping[str, frozenset[str]]) -> Market:
    known = _in_order_of_use({demand.task: demand for demand in demands}, mates)
    kits = _goods(known, lambda way: way.kits, mates)
    people = _goods(known, _asked, mates)
    offers = {
        task: tuple(
            Offer(way, _classes(kits, way.kits), _classes(people, _asked(way)), way.need)
            for way in demand.ways
        )
        for task, demand in known.items()
    }
    return Market(known, offers, mates, kits, people)


def _in_order_of_use(
    demands: Mapping[str, Demand], mates: Mapping[str, frozenset[str]]
) -> dict[str, Demand]:
    """Who shares takes first what serves most of its mates, who does not what serves fewest."""
    everywhere = _popularity(demands.values())
    found = {}
    for task, demand in demands.items():
        near = [demands[other] for other in sorted(mates[task]) if other in demands]
        kits, people = _popularity(near) if near else everywhere
        turn = -1 if near else 1
        ordered = (_ordered(way, kits, people, turn) for way in demand.ways)
        found[task] = replace(demand, ways=tuple(ordered))
    return found


def _popularity(demands: Iterable[Demand]) -> tuple[Counter[str], Counter[str]]:
    ways = [way for demand in demands for way in demand.ways]
    kits = Counter(one for way in ways for one in way.kits)
    return kits, Counter(one for way in ways for one in way.people)


def _ordered(way: Way, kits: Counter[str], people: Counter[str], turn: int) -> Way:
    return replace(
        way,
        kits_first=tuple(sorted(way.kits, key=lambda one: (turn * kits[one], one))),
        people_first=tuple(sorted(way.people, key=lambda one: (turn * people[one], one))),
    )


def _asked(way: Way) -> frozenset[str]:
    return way.people if way.need else frozenset()


def _classes(goods: Goods, things: Iterable[str]) -> tuple[int, ...]:
    return tuple(sorted({goods.class_of[one] for one in things}))


def _goods(
    demands: Mapping[str, Demand],
    asked: Callable[[Way], frozenset[str]],
    mates: Mapping[str, frozenset[str]],
) -> Goods:
    uses: dict[str, list[tuple[str, str]]] = {}
    for task, demand in demands.items():
        for way in demand.ways:
            for one in asked(way):
                uses.setdefault(one, []).append((task, way.family))
    places: dict[tuple[tuple[str, str], ...], int] = {}
    class_of = {one: places.setdefault(tuple(uses[one]), len(places)) for one in sorted(uses)}
    counts = [0] * len(places)
    for place in class_of.values():
        counts[place] += 1
    wanted: dict[str, set[int]] = {task: set() for task in demands}
    for use, place in places.items():
        for task, _ in use:
            wanted[task].add(place)
    return Goods(class_of, tuple(counts), circles(wanted, mates))
