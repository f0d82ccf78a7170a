"""What the tasks of one contest compete for, with kits and people alike for everybody in classes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from readiness.rules.demand import Demand, Resource, Way
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
class Loss:
    """A thing that is gone, the class it was one of, and the tasks that nothing can cover then."""

    kit: int | None = None
    person: int | None = None
    tasks: tuple[str, ...] = ()


NOTHING = Loss()


@dataclass(frozen=True, slots=True)
class Market:
    demands: Mapping[str, Demand]
    offers: Mapping[str, tuple[Offer, ...]]
    mates: Mapping[str, frozenset[str]]
    kits: Goods
    people: Goods

    def without(self, lost: Resource) -> tuple[Market, Loss]:
        """What is left when a thing is gone; the classes stay those that they were."""
        left, offers = dict(self.demands), dict(self.offers)
        for task, demand in self.demands.items():
            less = demand.without(lost)
            if less is demand:
                continue
            if less.coverable:
                left[task] = less
                offers[task] = self._offered(less)
            else:
                del left[task], offers[task]
        gone = Loss(
            self.kits.class_of.get(lost.id) if lost.kind == "kit" else None,
            self.people.class_of.get(lost.id) if lost.kind == "person" else None,
            tuple(task for task in self.demands if task not in left),
        )
        kits, people = self.kits.less(gone.kit), self.people.less(gone.person)
        return Market(left, offers, self.mates, kits, people), gone

    def _offered(self, demand: Demand) -> tuple[Offer, ...]:
        """Of ways that are as they were, what was offered."""
        same = {id(offer.way): offer for offer in self.offers[demand.task]}
        return tuple(
            same.get(id(way)) or _offer(way, self.kits, self.people) for way in demand.ways
        )


def market(demands: Iterable[Demand], mates: Mapping[str, frozenset[str]]) -> Market:
    known = _in_order_of_use({demand.task: demand for demand in demands}, mates)
    kits = _goods(known, lambda way: way.kits, mates)
    people = _goods(known, _perhaps_asked, mates)
    offers = {
        task: tuple(_offer(way, kits, people) for way in demand.ways)
        for task, demand in known.items()
    }
    return Market(known, offers, mates, kits, people)


def _offer(way: Way, kits: Goods, people: Goods) -> Offer:
    return Offer(way, _classes(kits, way.kits), _classes(people, _asked(way)), way.need)


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


def _perhaps_asked(way: Way) -> frozenset[str]:
    """Also those who are asked only once one of the private is lost."""
    return way.people if way.need or way.private else frozenset()


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
