"""Which pictures go with the answer for a fall: the side view, and the swing where there is one."""

from __future__ import annotations

from readiness.rules.sums.fall import FallAnswer
from readiness.rules.sums.side_view import Scene
from readiness.rules.sums.side_view_clearance import Fall, clearance_scene
from readiness.rules.sums.side_view_swing import Swung, swing_scene


def fall_scenes(answer: FallAnswer, anchor: str) -> tuple[Scene, ...]:
    """`anchor` is what people call it."""
    fall = clearance_scene(Fall(answer.clearance, answer.case.place, anchor=anchor))
    if answer.swung is None:
        return (fall,)
    swung = Swung(
        swing=answer.swung.swing,
        path=answer.swung.path,
        obstacles=answer.case.obstacles,
        strikes=answer.swung.strikes,
        ground_m=answer.clearance.first_struck.depth_m,
        attachment_m=answer.case.place.heights.attachment_m,
        anchor=anchor,
    )
    return (fall, swing_scene(swung))
