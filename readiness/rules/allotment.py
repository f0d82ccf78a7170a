"""A first good allocation, found by filling up and moving along; not proven to be the best."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain, combinations

from readiness.rules.demand import Demand, Resource, Way
from readiness.rules.seating import Request, Seats, placed

MOST_TRADED = 6
"""Trading looks at every pair left over; with many left over the kits are simply too few."""


@dataclass(frozen=True, slots=True)
class Allotment:
    """The tasks covered, each with its way, and who holds which kit and people."""

    ways: Mapping[str, Way]
    kits: Seats
    people: Seats

    @property
    def tied_up(self) -> tuple[int, int]:
        return (self.kits.tied_up, self.people.tied_up)

    def released(self, *tasks: str) -> Allotment:
        kits, people = self.kits.copy(), self.people.copy()
        for task in tasks:
            kits.release(task)
            people.release(task)
        left = {task: way for task, way in self.ways.items() if task not in tasks}
        return Allotment(left, kits, people)

    def without(self, lost: Resource) -> Allotment:
        """What is left of it when a thing is gone: whoever holds it gives up its place."""
        holding = [task for task in self.ways if self._holds(task, lost)]
        left = self.released(*holding)
        if lost.kind == "anchor":
            return left
        seats = left.kits if lost.kind == "kit" else left.people
        for task, request in seats.requests.items():
            kept = tuple(one for one in request.wanted if one != lost.id)
            seats.requests[task] = Request(kept, request.places)
        return left

    @property
    def held(self) -> frozenset[tuple[str, str]]:
        """Kind and id of every kit and person that it ties up."""
        kits = {("kit", one) for one, slots in self.kits.holders.items() if slots}
        people = {("person", one) for one, slots in self.people.holders.items() if slots}
        private = {("person", one) for way in self.ways.values() for one in way.private}
        return frozenset(kits | people | private)

    def _holds(self, task: str, lost: Resource) -> bool:
        if lost.kind == "kit":
            return lost.id in self.kits.of_task(task)
        private = lost.id in self.ways[task].private
        return lost.kind == "person" and (private or lost.id in self.people.of_task(task))


def kit_request(way: Way) -> Request:
    return Request(_kits(way), 1)


def _kits(way: Way) -> tuple[str, ...]:
    return way.kits_first or tuple(sorted(way.kits))


def people_request(way: Way) -> Request:
    return Request(way.people_first or tuple(sorted(way.people)), way.need)


def nothing_yet(mates: Mapping[str, frozenset[str]]) -> Allotment:
    return Allotment({}, Seats(mates), Seats(mates))


@dataclass(frozen=True, slots=True)
class Dead:
    """Kits and people from which no way leads to something free, while tasks only come on top."""

    kits: set[str] = field(default_factory=set)
    people: set[str] = field(default_factory=set)


def inserted(held: Allotment, demand: Demand, dead: Dead | None = None) -> Allotment | None:
    """With one more task covered, others moved along but none given up; as little tied up as can be."""
    found: list[Allotment] = []
    kits_dead, people_dead = (None, None) if dead is None else (dead.kits, dead.people)
    for way in demand.ways:
        kits = placed(held.kits, demand.task, kit_request(way), kits_dead)
        people = kits and placed(held.people, demand.task, people_request(way), people_dead)
        if kits and people:
            more = Allotment({**held.ways, demand.task: way}, kits, people)
            if not held.kits.mates[demand.task]:
                return more
            found.append(more)
    return min(found, key=lambda one: one.tied_up, default=None)


def traded(
    held: Allotment, one: Demand, two: Demand, demands: Mapping[str, Demand]
) -> Allotment | None:
    """Two tasks covered for one given up that has no better call than they."""
    for task in held.ways:
        if task in demands and demands[task].rank == one.rank == two.rank:
            both = _both(held.released(task), one, two)
            if both is not None:
                return both
    return None


def _both(held: Allotment, one: Demand, two: Demand) -> Allotment | None:
    first = inserted(held, one)
    return None if first is None else inserted(first, two)


def filled(
    start: Allotment, order: Iterable[Demand], enough: Callable[[Allotment], bool] | None = None
) -> Allotment:
    """As many more as will go in, in this order, others moved along; no more than is enough."""
    held, dead = start, None if any(start.kits.mates.values()) else Dead()
    for demand in order:
        if demand.task not in held.ways:
            more = inserted(held, demand, dead)
            if more is not None:
                held = more
                if enough is not None and enough(held):
                    break
    return held


def gathered(
    held: Allotment, demands: Mapping[str, Demand], circles: Iterable[tuple[str, ...]]
) -> Allotment:
    """Those that may share put together at one kit, as far as that frees any."""
    for circle in circles:
        around = [demands[task] for task in circle if task in held.ways and task in demands]
        kits = Counter(kit for one in around for kit in any_kit(one))
        for kit in sorted(kits, key=lambda one: (-kits[one], one)):
            wishes = {one.task: (kit,) for one in around if one.takes(kit)}
            if len({held.kits.of_task(task) for task in wishes}) > 1:
                together = rehoused(held, wishes, demands)
                if together is not None and together.tied_up < held.tied_up:
                    held = together
    return held


def rehoused(
    held: Allotment, wishes: Mapping[str, tuple[str, ...]], demands: Mapping[str, Demand]
) -> Allotment | None:
    """With these tasks at kits of their wish, and all others in whatever way then goes."""
    kits = held.released(*(task for task in wishes if task in held.ways)).kits
    if not all(task in demands for task in kits.requests):
        return None
    for task in kits.requests:
        kits.requests[task] = Request(any_kit(demands[task]), 1)
    for task, wanted in wishes.items():
        kits.requests[task] = Request(wanted, 1)
        if not kits.place((task, 0), set()):
            return None
    ways = {}
    for task in kits.requests:
        [kit] = kits.of_task(task)
        ways[task] = next(way for way in demands[task].ways if kit in way.kits)
        kits.requests[task] = kit_request(ways[task])
    people = _all_placed(ways, kits.mates)
    return None if people is None else Allotment(ways, kits, people)


def _all_placed(ways: Mapping[str, Way], mates: Mapping[str, frozenset[str]]) -> Seats | None:
    people = Seats(mates)
    for task in sorted(ways, key=lambda one: (-len(mates[one]), len(ways[one].people), one)):
        people.requests[task] = people_request(ways[task])
        if not all(people.place((task, place), set()) for place in range(ways[task].need)):
            return None
    return people


def any_kit(demand: Demand) -> tuple[str, ...]:
    return tuple(dict.fromkeys(kit for way in demand.ways for kit in _kits(way)))


def _turned(held: Allotment, demand: Demand, demands: Mapping[str, Demand]) -> Allotment | None:
    """With one more task covered, and another in whatever way then goes."""
    for task in held.ways:
        if task in demands and len(demands[task].ways) > 1:
            both = _both(held.released(task), demand, demands[task])
            if both is not None:
                return both
    return None


def made_room(held: Allotment, demands: Mapping[str, Demand]) -> Allotment:
    """For the few left over, as long as one more can be had."""
    left = [demand for task, demand in demands.items() if task not in held.ways]
    if len(left) > MOST_TRADED:
        return held
    better = (rehoused(held, {one.task: any_kit(one)}, demands) for one in left)
    turned = (_turned(held, one, demands) for one in left)
    pairs = (traded(held, one, two, demands) for one, two in combinations(left, 2))
    more = next((one for one in chain(better, turned, pairs) if one is not None), None)
    return held if more is None else made_room(more, demands)
