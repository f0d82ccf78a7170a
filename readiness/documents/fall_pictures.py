"""Which pictures go with the answer for a fall: the side view, the swing where there is one,
and the zone from above."""

from __future__ import annotations

from readiness.rules.sums.fall import FallAnswer
from readiness.rules.sums.side_view import Scene
from readiness.rules.sums.side_view_clearance import Fall, clearance_scene
from readiness.rules.sums.side_view_swing import Swung, swing_scene
from readiness.rules.sums.side_view_zone import zone_scene


def fall_scenes(answer: FallAnswer, anchor: str) -> tuple[Scene, ...]:
    """`anchor` is what people call it."""
    counted = not answer.against
    fall = clearance_scene(
        Fall(answer.clearance, answer.case.place, anchor=anchor, counted=counted)
    )
    zone = zone_scene(answer.zone, anchor)
    zones = () if zone is None else (zone,)
    if answer.swung is None:
        return (fall, *zones)
    swung = Swung(
        swing=answer.swung.swing,
        path=answer.swung.path,
        obstacles=answer.case.obstacles,
        strikes=answer.swung.strikes,
        ground_m=answer.clearance.first_struck.depth_m,
        attachment_m=answer.case.place.heights.attachment_m,
        anchor=anchor,
    )
    return (fall, swing_scene(swung), *zones)
