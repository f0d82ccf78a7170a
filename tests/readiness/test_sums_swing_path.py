"""What a swinging body strikes: the exact cut against points tried one by one."""

from __future__ import annotations

from math import atan2, degrees, hypot, sqrt

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from readiness.rules.sums.swing import swing
from readiness.rules.sums.swing_path import Body, Obstacle, Sweep, block, strikes, sweep
from readiness.rules.sums.values import Refused

POINT = Body(above_m=0, below_m=0, aside_m=0)


def test_a_column_beside_the_plumb_line_is_struck() -> None:
    found = swing(6, 3.5)
    path = sweep(found, anchor_height_m=8)
    struck = strikes(found, path, [block("column", -1.2, -0.8, 0, 6), block("tank", -9, -7, 0, 3)])
    assert [one.name for one in struck] == ["column"]
    assert struck[0].speed_m_s == pytest.approx(4.2, abs=0.1)


def test_what_is_met_at_the_bottom_is_struck_at_full_speed() -> None:
    found = swing(6, 2)
    struck = strikes(found, sweep(found, 8), [Obstacle("handrail", ((-1, 1), (1, 1)))])
    assert struck[0].angle_deg == 0
    assert struck[0].speed_m_s == pytest.approx(found.speed_m_s)


def test_a_beam_wholly_between_body_and_anchor_is_met_by_the_line() -> None:
    found = swing(6, 2)
    struck = strikes(found, sweep(found, 8), [block("beam", -1, 1, 4, 5)])
    assert [(one.name, one.what) for one in struck] == [("beam", "line")]


def test_what_holds_the_anchor_is_not_in_the_way() -> None:
    found = swing(6, 2)
    holding = [block("beam", -3, 3, 8, 8.4), block("plate", -0.1, 0.1, 7.8, 8)]
    assert strikes(found, sweep(found, 8), holding) == ()


def test_the_far_side_counts_as_much_as_this_one() -> None:
    found = swing(6, 3)
    path = sweep(found, 8, body=POINT)
    left, right = block("left", -2.8, -2.6, 1.9, 2.2), block("right", 2.6, 2.8, 1.9, 2.2)
    assert [one.name for one in strikes(found, path, [left, right])] == ["left", "right"]


def test_a_longer_stretch_reaches_what_lies_deeper() -> None:
    found = swing(4, 1)
    pipe = block("pipe", -0.2, 0.2, 0, 1.2)
    assert strikes(found, sweep(found, 8), [pipe]) == ()
    assert len(strikes(found, sweep(found, 8, stretch_m=1.5), [pipe])) == 1


def within_ring(path: Sweep, x: float, z: float) -> bool:
    x, z = x - path.anchor[0], z - path.anchor[1]
    return (
        path.inner_m <= hypot(x, z) <= path.outer_m and abs(degrees(atan2(x, -z))) <= path.angle_deg
    )


@given(
    vertical=st.floats(1, 10),
    offset=st.floats(0.1, 10),
    left=st.floats(-12, 12),
    wide=st.floats(0.01, 4),
    bottom=st.floats(-5, 12),
    high=st.floats(0.01, 4),
)
def test_a_block_with_a_point_in_the_ring_is_struck_and_one_without_is_not(
    vertical: float, offset: float, left: float, wide: float, bottom: float, high: float
) -> None:
    found = swing(vertical, offset)
    path = sweep(found, 10)
    obstacle = block("block", left, left + wide, bottom, bottom + high)
    told = [one for one in strikes(found, path, [obstacle]) if one.what == "body"]
    steps = 24
    met = any(
        within_ring(path, left + wide * across / steps, bottom + high * up / steps)
        for across in range(steps + 1)
        for up in range(steps + 1)
    )
    if met:
        assert told
    if told and not met:  # then it touches by less than a step of the grid
        near = sqrt(wide**2 + high**2) / steps
        wider = Sweep(
            path.anchor,
            path.inner_m - near,
            path.outer_m + near,
            path.angle_deg + degrees(near / max(0.2, path.inner_m - near)) + 1,
        )
        assert any(
            within_ring(wider, left + wide * across / steps, bottom + high * up / steps)
            for across in range(steps + 1)
            for up in range(steps + 1)
        )


@given(vertical=st.floats(1, 10), offset=st.floats(0.1, 5), more=st.floats(0, 5))
def test_further_aside_strikes_no_less(vertical: float, offset: float, more: float) -> None:
    obstacle = block("column", -1.5, -1, -40, 30)
    near, far = swing(vertical, offset), swing(vertical, offset + more)
    assume(strikes(near, sweep(near, 12), [obstacle]))
    found = strikes(far, sweep(far, 12), [obstacle])
    assert found
    assert found[0].speed_m_s >= strikes(near, sweep(near, 12), [obstacle])[0].speed_m_s - 1e-6


def test_a_shape_with_a_dent_is_refused() -> None:
    dented = Obstacle("notch", ((0, 0), (4, 0), (2, 1), (4, 2), (0, 2)))
    found = swing(6, 2)
    with pytest.raises(Refused) as refused:
        strikes(found, sweep(found, 8), [dented])
    assert refused.value.field == "obstacle notch"
    with pytest.raises(Refused) as refused:
        strikes(found, sweep(found, 8), [Obstacle("dot", ((0, 0),))])
    assert refused.value.code == "too-few-corners"
