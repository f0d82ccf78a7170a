"""One of the best allocations: call by call, then as many as can be had in all."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from readiness.rules.aims import Aim
from readiness.rules.allotment import Allotment, filled, nothing_yet
from readiness.rules.demand import Call, Demand
from readiness.rules.searches import Search


def best_allotment(
    look: Search, start: Allotment | None = None, beyond: Aim | None = None
) -> tuple[Allotment, Aim]:
    """One of the best there are, and the aim that just these reach: call by call, then in all.

    `beyond` is an aim known to be out of reach, though not more than what it asks could be had.
    """
    demands = look.goods.demands
    held = filled(start or nothing_yet(look.goods.mates), look.in_call_order())
    calls = sorted({one.rank for one in demands.values() if one.rank is not None})
    floors: dict[Call, int] = {}
    for call in (*calls, None):
        among = _up_to(call, demands.values())
        counted = [task for task in among if call is None or demands[task].rank == call]
        most = _most(len(counted), call, floors, beyond)
        while True:
            least = sum(task in held.ways for task in counted)
            better = None
            if least < most:
                better = look.reach(Aim(dict(floors), call, least + 1), _only(held, among), among)
            if better is None:
                break
            held = better
        if call is not None:
            floors[call] = least
    return held, Aim(floors, None, len(held.ways))


def _most(counted: int, call: Call | None, floors: Mapping[Call, int], beyond: Aim | None) -> int:
    """At most so many of those counted, as far as is known beforehand."""
    if beyond is None or any(beyond.floors.get(one) != floor for one, floor in floors.items()):
        return counted
    if call is not None:
        return min(counted, beyond.floors.get(call, counted))
    whole = floors.keys() == beyond.floors.keys()
    return min(counted, beyond.least - 1) if whole else counted


def _up_to(call: Call | None, demands: Collection[Demand]) -> frozenset[str]:
    """Later calls are no matter while an earlier one is being settled."""
    return frozenset(
        one.task for one in demands if call is None or (one.rank is not None and one.rank <= call)
    )


def _only(held: Allotment, among: Collection[str]) -> Allotment:
    for task in held.ways.keys() - set(among):
        held = held.released(task)
    return held
