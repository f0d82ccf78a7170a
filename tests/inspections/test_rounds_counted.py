"""The counts of a round's certificate add up to its list."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.rounds_counted import WORST_FIRST, counted


@given(st.lists(st.tuples(st.integers(0, 5), st.sampled_from(WORST_FIRST), st.booleans())))
def test_the_parts_add_up_to_the_list_whatever_was_done(
    lines: list[tuple[int, str, bool]],
) -> None:
    told = counted((str(key), came, listed) for key, came, listed in lines)
    assert told.reconciles
    assert told.listed == len({key for key, _came, listed in lines if listed})
    everything = sum(told.of_listed.values()) + sum(told.besides.values())
    assert everything == len({key for key, _came, _listed in lines})
