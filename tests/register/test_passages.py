"""Minutes on foot that contradict each other."""

from __future__ import annotations

from itertools import pairwise, permutations

from hypothesis import given
from hypothesis import strategies as st

from register.rules.passages import contradictions

ZONES = "ABCD"


def test_a_way_that_is_longer_than_the_way_round_contradicts_it() -> None:
    (found,) = contradictions({("A", "B"): 2, ("B", "C"): 3, ("A", "C"): 9})

    assert (found.start, found.end, found.via) == ("A", "C", "B")
    assert (found.minutes, found.round_minutes) == (9, 5)


def test_a_way_as_long_as_the_way_round_does_not() -> None:
    assert contradictions({("A", "B"): 2, ("B", "C"): 3, ("A", "C"): 5}) == ()


def test_a_way_back_of_its_own_counts_as_it_is_given() -> None:
    """Down is quicker than up; by way of C nobody is quicker either way."""
    assert contradictions({("A", "B"): 9, ("B", "A"): 3, ("A", "C"): 6, ("C", "B"): 6}) == ()


@given(
    st.dictionaries(
        st.tuples(st.sampled_from(ZONES), st.sampled_from(ZONES)).filter(
            lambda way: way[0] != way[1]
        ),
        st.integers(0, 20),
    )
)
def test_minutes_stand_exactly_where_no_walk_over_given_ways_is_shorter(
    minutes: dict[tuple[str, str], int],
) -> None:
    """Against every walk that sees no zone twice, one by one."""
    both = {(end, start): taken for (start, end), taken in minutes.items()} | minutes

    def walks(start: str, end: str) -> list[int]:
        between = [zone for zone in ZONES if zone not in (start, end)]
        paths = [(start, *middle, end) for n in (1, 2) for middle in permutations(between, n)]
        steps = [list(pairwise(path)) for path in paths]
        return [sum(both[step] for step in path) for path in steps if set(path) <= set(both)]

    shorter = {way for way in minutes if min(walks(*way), default=99) < minutes[way]}

    assert {(one.start, one.end) for one in contradictions(minutes)} == shorter
