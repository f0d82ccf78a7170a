"""How many tasks could be covered at most: an easy question that is never too low."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from readiness.rules.demand import Demand
from readiness.rules.seating import Request, Seats, cells


def most_coverable(kept: Iterable[Demand], mates: Mapping[str, frozenset[str]]) -> int:
    """Cells cannot share with each other: each needs a kit of its own, and people of its own."""
    demands = {demand.task: demand for demand in kept}
    groups = [[demands[task] for task in sorted(cell)] for cell in cells(demands, mates)]
    groups.sort(key=lambda group: (-len(group), group[0].task))
    most = min(_by_kits(groups), _by_people(groups), _by_headcount(groups))
    if len(groups) == len(demands):
        return most
    return min(most, _by_turns(list(demands.values()), mates))


def _by_turns(demands: list[Demand], mates: Mapping[str, frozenset[str]]) -> int:
    """Each kit serves at most as many as could all share it with each other."""
    turns: list[tuple[str, int]] = []
    wanted_by: dict[str, list[str]] = {}
    for demand in demands:
        for kit in {kit for way in demand.ways for kit in way.kits}:
            wanted_by.setdefault(kit, []).append(demand.task)
    for kit, tasks in sorted(wanted_by.items()):
        turns += [(kit, turn) for turn in range(_most_sharing(tasks, mates))]
    seats = Seats({demand.task: frozenset() for demand in demands})
    for demand in demands:
        kits = {kit for way in demand.ways for kit in way.kits}
        wanted = tuple(f"{kit} {turn}" for kit, turn in turns if kit in kits)
        seats.requests[demand.task] = Request(wanted, 1)
    return sum(seats.place((demand.task, 0), set()) for demand in demands)


def _most_sharing(tasks: list[str], mates: Mapping[str, frozenset[str]]) -> int:
    """No fewer than the largest set that may share pairwise: apart-sets needed to hold all."""
    apart: list[set[str]] = []
    for task in tasks:
        room = next((one for one in apart if not one & mates[task]), None)
        if room is None:
            apart.append({task})
        else:
            room.add(task)
    return len(apart)


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
    """As many places as people can fill at all; a cell pays its least need, the last in part."""
    people = _places_filled(groups)
    total = 0.0
    for group in sorted(groups, key=lambda one: _least_need(one) / len(one)):
        need = _least_need(group)
        if need > people:
            return int(total + len(group) * people / need + 1e-9)
        total, people = total + len(group), people - need
    return int(total)


def _places_filled(groups: list[list[Demand]]) -> int:
    seats = Seats({str(place): frozenset() for place in range(len(groups))})
    filled = 0
    for name, group in enumerate(groups):
        need = _least_need(group)
        seats.requests[str(name)] = Request(tuple(sorted(_people(group))), need)
        filled += sum(seats.place((str(name), place), set()) for place in range(need))
    return filled


def _least_need(group: list[Demand]) -> int:
    return min(way.need for one in group for way in one.ways)


def _people(group: list[Demand]) -> set[str]:
    return {person for one in group for way in one.ways for person in way.people}
