"""Sets of acts against plain enumeration of all of them, each solved afresh."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from itertools import combinations

from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from readiness.rules.changes import changed_spans
from readiness.rules.moments import Moments
from readiness.rules.remedies import Act, Bench, remedies
from readiness.rules.remedies.acts import dated
from readiness.rules.slices import Solver
from readiness.rules.timeline import Timeline
from tests.readiness.remedy_sites import DAY, LAST, at, pair

EXAMPLES = int(os.environ.get("TALLYHOOK_EXAMPLES", "150"))
sampled = settings(
    max_examples=EXAMPLES // 3,
    deadline=None,
    suppress_health_check=list(HealthCheck),
    database=None,
)
FIRST = at("00:00", DAY)
HOUR = timedelta(hours=1)
SEEDS = st.integers(0, 2**32)

Hours = frozenset[tuple[str, str, datetime]]
"""Site, task and the beginning of an hour; every fact of these sites changes on the hour."""


def uncovered_hours(sites: Mapping[str, Timeline], acts: Iterable[Act]) -> Hours:
    """By hour, from the plain values and a solver that knows nothing yet."""
    found = set()
    for code, timeline in sites.items():
        for span in changed_spans(timeline, dated(acts, code), FIRST, LAST, Solver()):
            count = int((span.ends - span.begins) / HOUR)
            bad = [task for task, answer in span.answers.items() if answer.uncovered]
            found.update((code, task, span.begins + n * HOUR) for task in bad for n in range(count))
    return frozenset(found)


def plain_sets(acts: list[Act]) -> list[tuple[Act, ...]]:
    sets = [chosen for size in range(1, 5) for chosen in combinations(acts, size)]
    return [
        chosen
        for chosen in sets
        if len({act.what for act in chosen if act.uses}) == sum(bool(act.uses) for act in chosen)
    ]


def enumerated(sites: Mapping[str, Timeline], acts: list[Act]) -> tuple[bool, float] | None:
    """Whether the best set leaves a gap, and its cost; None where no set mends anything."""
    base = uncovered_hours(sites, ())
    wanted = {hour for hour in base if hour[0] == "a"}
    moments = Moments(sites["a"])
    by_state: dict[object, datetime] = {}
    for _, task, hour in sorted(wanted, key=lambda one: one[2]):
        by_state[task, moments.key(hour)] = hour
    last = {("a", state[0], hour) for state, hour in by_state.items()}  # type: ignore[index]
    after = {chosen: uncovered_hours(sites, chosen) for chosen in plain_sets(acts)}
    can = {hour for hour in last if any(hour not in hours for hours in after.values())}
    good = [
        (any(hour[0] == "a" for hour in hours), sum(act.cost for act in chosen))
        for chosen, hours in after.items()
        if can and not hours - base and not can & hours
    ]
    return min(good, default=None)


def bench(sites: Mapping[str, Timeline]) -> Bench:
    return Bench(sites, FIRST, LAST, budget=10**6)


def asked(sites: Mapping[str, Timeline]) -> list[tuple[str, str]]:
    return [("a", one.task.id) for one in sites["a"].tasks]


@sampled
@given(SEEDS)
def test_the_cheapest_set_is_the_cheapest_of_all_subsets(seed: int) -> None:
    sites, acts = pair(seed)
    if not any(hour[0] == "a" for hour in uncovered_hours(sites, ())):
        return

    found = remedies(bench(sites), asked(sites), acts, most=4).cheapest

    expected = enumerated(sites, acts)
    event("mended" if expected else "nothing mends it")
    told = None if found is None else (bool(found.outcome.gaps), found.outcome.cost)
    assert told == expected
    assert found is None or found.proof == "best"


@sampled
@given(SEEDS)
def test_no_set_uncovers_any_task_in_any_hour(seed: int) -> None:
    sites, acts = pair(seed)
    base = uncovered_hours(sites, ())

    found = remedies(bench(sites), asked(sites), acts)

    for chosen in (found.soonest, found.cheapest, found.sturdiest):
        if chosen is not None:
            event("a set was offered")
            assert uncovered_hours(sites, chosen.acts) <= base
            left = uncovered_hours(sites, (*chosen.acts, *chosen.stops))
            assert not {hour for hour in left if hour[0] == "a"}


@sampled
@given(SEEDS)
def test_no_set_is_sooner_than_the_soonest_nor_uses_a_thing_twice(seed: int) -> None:
    sites, acts = pair(seed)

    found = remedies(bench(sites), asked(sites), acts)

    if found.soonest is None:
        return
    for other in (found.cheapest, found.sturdiest):
        ends = FIRST if other is None else other.outcome.mended_at or FIRST
        if other is not None and found.cheapest is other:
            assert (found.soonest.outcome.mended_at or FIRST) <= ends
    for chosen in (found.soonest, found.cheapest, found.sturdiest):
        used = [name for act in (chosen.acts if chosen else ()) for name in act.uses]
        assert len(used) == len(set(used))
