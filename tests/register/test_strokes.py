"""A drawn signature is bounded vector strokes, and anything else is refused."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from register.rules.strokes import (
    HEIGHT,
    MOST_POINTS,
    MOST_STROKES,
    WIDTH,
    NoStrokes,
    path_of,
    read_strokes,
)

POINT = st.tuples(st.integers(0, WIDTH), st.integers(0, HEIGHT))
DRAWING = st.lists(st.lists(POINT, min_size=1, max_size=8), max_size=6)
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=2), inner),
)


@given(DRAWING)
def test_what_was_drawn_is_read_back_as_it_was(drawn: list[list[tuple[int, int]]]) -> None:
    assert read_strokes(json.dumps(drawn)) == tuple(tuple(stroke) for stroke in drawn)


@given(JSON)
def test_whatever_is_sent_is_read_or_refused_and_stays_in_the_box(sent: object) -> None:
    try:
        strokes = read_strokes(json.dumps(sent))
    except NoStrokes:
        return
    assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for stroke in strokes for x, y in stroke)


@pytest.mark.parametrize(
    ("sent", "code"),
    [
        ([[[1, 1]]] * (MOST_STROKES + 1), "too-large"),
        ([[[1, 1]] * (MOST_POINTS + 1)], "too-large"),
        ([[[WIDTH + 1, 0]]], "not-a-drawing"),
        ([[[1.5, 0]]], "not-a-drawing"),
        ([[[True, 0]]], "not-a-drawing"),
        ([[]], "not-a-drawing"),
    ],
)
def test_a_drawing_out_of_bounds_is_refused(sent: object, code: str) -> None:
    with pytest.raises(NoStrokes) as wrong:
        read_strokes(json.dumps(sent))
    assert wrong.value.code == code


def test_no_drawing_is_no_error() -> None:
    assert read_strokes("  ") == ()


def test_a_dot_is_a_line_of_no_length() -> None:
    assert path_of([(3, 4)]) == "M3 4h0"
    assert path_of([(3, 4), (5, 6)]) == "M3 4L5 6"
