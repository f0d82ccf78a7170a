"""The picture of a rescue: from which anchor, on which rope, which way, to which place."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.ranges import length
from readiness.rules.sums.side_view import Break, Note, Scene, Shape, box_around
from readiness.rules.sums.side_view_people import hanging, standing
from readiness.rules.sums.values import within

HANGS_X: Final = 0.45
LEFT_X: Final = -4.2
RIGHT_X: Final = 4.2
SLAB_M: Final = 0.25
ARROW_X: Final = 1.3
POST_X: Final = -0.2
UNBROKEN_M: Final = 18.0
"""What is higher than this gets a break line."""
KEPT_M: Final = 4.0
"""Of the height above the landing place, and below the casualty, that is never left out."""


@dataclass(frozen=True, slots=True)
class Recovery:
    """Heights in metres above the walking surface, below it negative. `minutes` is the route of
    the rescuer and the kit. The casualty hangs with the lowest point at `casualty_m`."""

    way: Literal["lower", "raise"]
    anchor_m: float
    casualty_m: float
    landing_m: float
    minutes: float
    anchor: str = ""
    kit: str = ""
    landing: str = ""
    attachment_m: float = 1.5


def rescue_scene(recovery: Recovery) -> Scene:
    """Casualty, rescue rope with its direction, rescuer at the edge, landing place."""
    within("anchor_m", recovery.anchor_m, -1000, 1000)
    within("casualty_m", recovery.casualty_m, -1000, 1000)
    within("landing_m", recovery.landing_m, -1000, 1000)
    shapes = (
        Shape("surface", "area", _slab(LEFT_X, 0.0, 0.0)),
        *_landing(recovery),
        Shape("structure", "line", _arm(recovery)),
        Shape("rescue-anchor", "circle", (_anchor(recovery),), 0.07, recovery.anchor),
        Shape("rescue-rope", "line", _rope(recovery), name=recovery.kit),
        Shape("direction", "line", _direction(recovery)),
        *standing("rescuer", (-0.9, 0.0), 1.5),
        *hanging("hanging", (HANGS_X, recovery.casualty_m), recovery.attachment_m),
    )
    _, _, bottom, top = box_around(shapes, 0, 0.5, 0.4)
    return Scene(
        kind="rescue",
        shapes=shapes,
        box=(LEFT_X - 0.1, RIGHT_X + 0.1, bottom, top),
        notes=_notes(recovery),
        gap=_gap(recovery),
        facts=_facts(recovery),
    )


def travel_m(recovery: Recovery) -> float:
    """How far the casualty is lowered or raised."""
    return abs(recovery.casualty_m - recovery.landing_m)


def _slab(left: float, right: float, top: float) -> tuple[Point, ...]:
    return ((left, top), (right, top), (right, top - SLAB_M), (left, top - SLAB_M))


def _anchor(recovery: Recovery) -> Point:
    return (HANGS_X, recovery.anchor_m)


def _arm(recovery: Recovery) -> tuple[Point, ...]:
    """From the walking surface up a post, or straight from the edge, to the anchor."""
    if recovery.anchor_m <= 0:
        return ((0.0, recovery.anchor_m), _anchor(recovery))
    return ((POST_X, 0.0), (POST_X, recovery.anchor_m), _anchor(recovery))


def _landing(recovery: Recovery) -> tuple[Shape, ...]:
    """Raised, the casualty comes to the walking surface itself unless another height is named."""
    if recovery.landing_m == 0:
        return ()
    slab = _slab(LEFT_X, RIGHT_X, recovery.landing_m)
    return (Shape("landing", "area", slab, name=recovery.landing),)


def _rope(recovery: Recovery) -> tuple[Point, ...]:
    held = (HANGS_X, recovery.casualty_m + recovery.attachment_m)
    return (_anchor(recovery), held)


def _direction(recovery: Recovery) -> tuple[Point, ...]:
    """An arrow beside the casualty, from where they hang to where they go."""
    return ((ARROW_X, recovery.casualty_m), (ARROW_X, recovery.landing_m))


def _gap(recovery: Recovery) -> Break | None:
    top, bottom = recovery.casualty_m, recovery.landing_m
    if recovery.way == "raise" or length("travel_m", travel_m(recovery)) <= UNBROKEN_M:
        return None
    return Break(bottom + KEPT_M, top - KEPT_M)


def _notes(recovery: Recovery) -> tuple[Note, ...]:
    facts = {"metres": travel_m(recovery)}
    beside = recovery.casualty_m + (-1.0 if recovery.way == "lower" else 0.5)
    beside_anchor = (HANGS_X + 0.07, recovery.anchor_m)
    return (
        Note("rescue-anchor", beside_anchor, {"name": recovery.anchor, "kit": recovery.kit}),
        Note("rescuer", (LEFT_X, -SLAB_M), {"minutes": recovery.minutes}, side="below"),
        Note(recovery.way, (ARROW_X, beside), facts),
        Note("landing", (LEFT_X, recovery.landing_m), {"name": recovery.landing}, side="above"),
    )


def _facts(recovery: Recovery) -> dict[str, object]:
    return {
        "way": recovery.way,
        "metres": travel_m(recovery),
        "anchor": recovery.anchor,
        "anchor_m": recovery.anchor_m,
        "kit": recovery.kit,
        "landing": recovery.landing,
        "minutes": recovery.minutes,
    }
