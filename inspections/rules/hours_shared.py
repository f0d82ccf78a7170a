"""How much work fits into the hours of those who may do it: the greatest flow from one to the other."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

Way = list[tuple[int, int]]  # each work with the time it moves into


def most_placed(work: Sequence[int], time: Sequence[int], fits: Sequence[Sequence[bool]]) -> int:
    """The most minutes of the work that fit; ``fits[w][t]`` says whether w may be done in time t.

    Work that stands in a time may move to another to make room (augmenting paths, Ford and
    Fulkerson, the shortest first).
    """
    done = [[0] * len(time) for _ in work]
    free = list(time)
    for at, minutes in enumerate(work):
        left = minutes
        while left and (way := _way_to_free_time(at, done, free, fits)):
            left -= _moved_along(way, left, done, free)
    return sum(time) - sum(free)


def _moved_along(way: Way, most: int, done: list[list[int]], free: list[int]) -> int:
    """As much as every step of the way bears."""
    given_up = [(after[0], before[1]) for before, after in pairwise(way)]
    moved = min(most, free[way[-1][1]], *(done[w][t] for w, t in given_up), most)
    for w, t in way:
        done[w][t] += moved
    for w, t in given_up:
        done[w][t] -= moved
    free[way[-1][1]] -= moved
    return moved


def _way_to_free_time(
    begin: int,
    done: Sequence[Sequence[int]],
    free: Sequence[int],
    fits: Sequence[Sequence[bool]],
) -> Way:
    """The shortest way; empty where there is none."""
    ways: list[Way] = [[]]
    seen: set[int] = set()
    for way in ways:
        movable = [w for w, own in enumerate(done) if own[way[-1][1]]] if way else [begin]
        steps = [(w, t) for t in range(len(free)) for w in movable if fits[w][t]]
        for w, t in steps:
            if t in seen:
                continue
            seen.add(t)
            ways.append([*way, (w, t)])
            if free[t]:
                return ways[-1]
    return []
