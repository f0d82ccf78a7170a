"""A first good allocation, found by filling up and moving along; not proven to be the best."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations

from readiness.rules.bounds import most_coverable
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

    def released(self, task: str) -> Allotment:
        kits, people = self.kits.copy(), self.people.copy()
        kits.release(task)
        people.release(task)
        return Allotment({one: self.ways[one] for one in self.ways if one != task}, kits, people)

    def without(self, lost: Resource) -> Allotment:
        """What is left of it when a thing is gone: whoever holds it gives up its place."""
        holding = [task for task in self.ways if self._holds(task, lost)]
        left = self
        for task in holding:
            left = left.released(task)
        if lost.kind == "anchor":
            return left
        seats = left.kits if lost.kind == "kit" else left.people
        for task, request in seats.requests.items():
            kept = tuple(one for one in request.wanted if one != lost.id)
            seats.requests[task] = Request(kept, request.places)
        return left

    def _holds(self, task: str, lost: Resource) -> bool:
        if lost.kind == "kit":
            return lost.id in self.kits.of_task(task)
        private = lost.id in self.ways[task].private
        return lost.kind == "person" and (private or lost.id in self.people.of_task(task))


def kit_request(way: Way) -> Request:
    return Request(tuple(sorted(way.kits)), 1)


def people_request(way: Way) -> Request:
    return Request(tuple(sorted(way.people)), way.need)


def any_kit(demand: Demand) -> Request:
    return Request(tuple(sorted({kit for way in demand.ways for kit in way.kits})), 1)


def anybody(demand: Demand) -> Request:
    people = {person for way in demand.ways for person in way.people}
    return Request(tuple(sorted(people)), min(way.need for way in demand.ways))


def nothing_yet(mates: Mapping[str, frozenset[str]]) -> Allotment:
    return Allotment({}, Seats(mates), Seats(mates))


def inserted(held: Allotment, demand: Demand) -> Allotment | None:
    """With one more task covered, others moved along but none given up."""
    for way in demand.ways:
        kits = placed(held.kits, demand.task, kit_request(way))
        people = kits and placed(held.people, demand.task, people_request(way))
        if kits and people:
            return Allotment({**held.ways, demand.task: way}, kits, people)
    return None


def rearranged(held: Allotment, demand: Demand, demands: Mapping[str, Demand]) -> Allotment | None:
    """With one more task covered, where one other has to take another way for it."""
    for task in held.ways:
        if len(demands[task].ways) > 1:
            both = _both(held.released(task), demand, demands[task])
            if both is not None:
                return both
    return None


def traded(
    held: Allotment, one: Demand, two: Demand, demands: Mapping[str, Demand]
) -> Allotment | None:
    """Two tasks covered for one given up that has no better call than they."""
    for task in held.ways:
        if demands[task].rank == one.rank == two.rank:
            both = _both(held.released(task), one, two)
            if both is not None:
                return both
    return None


def _both(held: Allotment, one: Demand, two: Demand) -> Allotment | None:
    first = inserted(held, one)
    return None if first is None else inserted(first, two)


def filled(start: Allotment, order: Iterable[Demand], most: int) -> Allotment:
    """Fill up in order until there are so many, then trade one for two while that is possible."""
    demands = {demand.task: demand for demand in order}
    held = start
    for demand in demands.values():
        if demand.task not in held.ways and len(held.ways) < most:
            held = _with(held, demand, demands)
    return held if len(held.ways) >= most else _traded_up(held, demands)


def _with(held: Allotment, demand: Demand, demands: Mapping[str, Demand]) -> Allotment:
    more = inserted(held, demand)
    if more is not None:
        return more
    wanted = [demand, *(demands[task] for task in held.ways)]
    if most_coverable(wanted, held.kits.mates) < len(wanted):
        return held
    return rearranged(held, demand, demands) or held


def _traded_up(held: Allotment, demands: Mapping[str, Demand]) -> Allotment:
    left = [demand for task, demand in demands.items() if task not in held.ways]
    if len(left) > MOST_TRADED:
        return held
    for one, two in combinations(left, 2):
        better = traded(held, one, two, demands)
        if better is not None:
            return _traded_up(better, demands)
    return held
