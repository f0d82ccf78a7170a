"""Restraint seen from above, to scale: edges, what is tied to, and how far anybody gets."""

from __future__ import annotations

from collections.abc import Mapping

from readiness.rules.sums.plan_view import Point
from readiness.rules.sums.restraint import Anchorage, Hold, Layout, Restrained, Side, reached
from readiness.rules.sums.side_view import Note, Scene, Shape, box_around


def restraint_scene(layout: Layout, anchorage: Anchorage, answer: Restrained) -> Scene:
    """The picture of an answer of `restrained`; the reach is drawn with the allowance in it."""
    holds = {hold.name: hold for hold in answer.holds}
    areas = reached(anchorage, answer.reach_m + answer.allowance_m)
    shapes = (
        *(Shape("reach", "area", area.points) for area in areas),
        *(
            Shape(_role(area.name, holds, "fragile"), "area", area.corners, name=area.name)
            for area in layout.areas
        ),
        *(_side(side, holds) for side in layout.sides),
        *_tied(anchorage),
    )
    return Scene(
        kind="plan",
        shapes=shapes,
        box=box_around(shapes, 0.6, 0.6, 0.6),
        notes=_notes(layout, anchorage, holds),
        facts={"answer": answer, "anchor": anchorage.name, "guarded": _guarded(layout)},
    )


def _role(name: str, holds: Mapping[str, Hold], otherwise: str) -> str:
    return f"{otherwise}-passed" if holds[name].can_be_passed else otherwise


def _side(side: Side, holds: Mapping[str, Hold]) -> Shape:
    role = "guarded" if side.guarded else _role(side.name, holds, "edge")
    return Shape(role, "line", (side.start, side.end), name=side.name)


def _tied(anchorage: Anchorage) -> tuple[Shape, ...]:
    ends = tuple(
        Shape("anchor", "circle", (point,), 0.07, anchorage.name) for point in anchorage.points
    )
    if len(anchorage.points) == 1:
        return ends
    return (Shape("line-deployed", "line", anchorage.points), *ends)


def _guarded(layout: Layout) -> tuple[str, ...]:
    return tuple(side.name for side in layout.sides if side.guarded)


def _notes(layout: Layout, anchorage: Anchorage, holds: Mapping[str, Hold]) -> tuple[Note, ...]:
    first = anchorage.points[0]
    notes = [Note("anchor", (first[0] + 0.07, first[1]), {"name": anchorage.name})]
    for side in layout.sides:
        at = _middle((side.start, side.end))
        if side.guarded:
            notes.append(Note("guarded", at, {"name": side.name}, "middle", "above"))
        else:
            notes.append(_hold_note(holds[side.name], at))
    notes += [_hold_note(holds[area.name], _top(area.corners)) for area in layout.areas]
    return tuple(notes)


def _hold_note(hold: Hold, at: Point) -> Note:
    code = "edge-passed" if hold.can_be_passed else "edge-held"
    return Note(code, at, {"name": hold.name, "spare_m": hold.spare_m}, "middle", "above")


def _top(points: tuple[Point, ...]) -> Point:
    return _middle(points)[0], max(y for _, y in points)


def _middle(points: tuple[Point, ...]) -> Point:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return sum(xs) / len(xs), sum(ys) / len(ys)
