"""How tasks that may share a thing split its price, so that together they never pay it twice."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from readiness.rules.seating import cells

Parts = dict[str, float]
"""The part of the price of whatever serves it that each task pays, from 0 to 1."""

MOST_CIRCLES = 300


@dataclass(frozen=True, slots=True)
class Circles:
    """The largest sets of tasks that one thing could serve at once; `of` places tasks in them."""

    sets: tuple[tuple[str, ...], ...]
    of: Mapping[str, tuple[int, ...]]

    def fitted(self, parts: Parts) -> Parts:
        """Scaled down where a circle would pay more than the price."""
        sums = [sum(parts.get(task, 0.0) for task in tasks) for tasks in self.sets]
        return {
            task: part / max(1.0, *(sums[place] for place in self.of[task]))
            if task in self.of
            else min(1.0, part)
            for task, part in parts.items()
        }

    def filled(self, parts: Parts) -> Parts:
        """Scaled up, task by task, as far as each circle's price allows."""
        full = self.fitted(parts)
        order = sorted(full, key=lambda one: (self.breadth(one), one))
        for task in order:
            sums = [
                sum(full.get(other, 0.0) for other in self.sets[place])
                for place in self.of.get(task, ())
            ]
            full[task] = min(1.0, full[task] + max(0.0, 1.0 - max(sums))) if sums else 1.0
        return full

    def breadth(self, task: str) -> int:
        return sum(len(self.sets[place]) for place in self.of.get(task, ()))


def circles(asked: Mapping[str, Collection[int]], mates: Mapping[str, frozenset[str]]) -> Circles:
    """`asked` are the classes of things that each task could be served by."""
    wanted_by: dict[int, set[str]] = {}
    for task, classes in asked.items():
        for one in classes:
            wanted_by.setdefault(one, set()).add(task)
    near = {task: mates[task] & asked.keys() for task in asked}
    cliques = _cliques(near)
    found = {frozenset(clique & tasks) for clique in cliques for tasks in wanted_by.values()}
    sets = sorted(tuple(sorted(one)) for one in _largest(found) if len(one) > 1)
    of: dict[str, list[int]] = {}
    for place, tasks in enumerate(sets):
        for task in tasks:
            of.setdefault(task, []).append(place)
    return Circles(tuple(sets), {task: tuple(places) for task, places in of.items()})


def _largest(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    kept: list[frozenset[str]] = []
    for one in sorted(sets, key=lambda each: (-len(each), sorted(each))):
        if not any(one <= other for other in kept):
            kept.append(one)
    return kept


def _cliques(near: Mapping[str, frozenset[str]]) -> list[frozenset[str]]:
    """All largest sets that meet pairwise; where there are very many, the cells that hold them."""
    found: list[frozenset[str]] = []
    stack = [(frozenset[str](), frozenset(near), frozenset[str]())]
    while stack:
        clique, more, done = stack.pop()
        if not more and not done:
            found.append(clique)
            if len(found) > MOST_CIRCLES:
                return [frozenset(cell) for cell in cells(near, near)]
        if not more:
            continue
        pivot = max(sorted(more | done), key=lambda one: len(near[one] & more))
        for task in sorted(more - near[pivot]):
            stack.append((clique | {task}, more & near[task], done & near[task]))
            more, done = more - {task}, done | {task}
    return found


def even_parts(
    around: Circles, tasks: Collection[str], mates: Mapping[str, frozenset[str]]
) -> Parts:
    """Groups of which no two meet pay in full, their members alike; the rest what is left to pay."""
    left, parts = set(tasks), dict.fromkeys(sorted(tasks), 0.0)
    groups: dict[frozenset[str], list[str]] = {}
    for task in parts:
        groups.setdefault(mates[task] & left | {task}, []).append(task)
    while left:
        near = min(
            (one for one, group in groups.items() if group[0] in left),
            key=lambda one: (len(one & left), groups[one][0]),
        )
        for task in groups[near]:
            parts[task] = 1 / len(groups[near])
        left -= near
    return around.filled(parts)
