"""How many tasks could be covered at most: an easy question that is never too low."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from readiness.rules.demand import Demand
from readiness.rules.seating import Request, Seats, cells


def most_coverable(kept: Iterable[Demand], mates: Mapping[str, frozenset[str]]) -> int:
    """Cells cannot share with each other: each needs a kit of its own, and people of its own."""
    demands = {demand.task: demand for demand in kept}
    groups = [[demands[task] for task in cell] for cell in cells(demands, mates)]
    groups.sort(key=lambda group: (-len(group), group[0].task))
    return min(_by_kits(groups), _by_people(groups), _by_headcount(groups))


def _by_kits(groups: list[list[Demand]]) -> int:
    wanted = [{kit for one in group for way in one.ways for kit in way.kits} for group in groups]
    return _heaviest_matching(groups, wanted)


def _by_people(groups: list[list[Demand]]) -> int:
    """One person a cell, where it needs any."""
    needy = [group for group in groups if _least_need(group) > 0]
    wanted = [_people(group) for group in needy]
    spared = sum(len(group) for group in groups) - sum(len(group) for group in needy)
    return spared + _heaviest_matching(needy, wanted)


def _heaviest_matching(groups: list[list[Demand]], wanted: list[set[str]]) -> int:
    """Greedy by size is exact here: sets that can be matched form a matroid."""
    seats = Seats({str(place): frozenset() for place in range(len(groups))})
    total = 0
    for place, group in enumerate(groups):
        seats.requests[str(place)] = Request(tuple(sorted(wanted[place])), 1)
        if seats.place((str(place), 0), set()):
            total += len(group)
    return total


def _by_headcount(groups: list[list[Demand]]) -> int:
    """All people count for all; a cell pays its least need, the last one in part."""
    people = len(set().union(*(_people(group) for group in groups))) if groups else 0
    total = 0.0
    for group in sorted(groups, key=lambda one: _least_need(one) / len(one)):
        need = _least_need(group)
        if need > people:
            return int(total + len(group) * people / need + 1e-9)
        total, people = total + len(group), people - need
    return int(total)


def _least_need(group: list[Demand]) -> int:
    return min(way.need for one in group for way in one.ways)


def _people(group: list[Demand]) -> set[str]:
    return {person for one in group for way in one.ways for person in way.people}
