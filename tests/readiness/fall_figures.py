"""Figures of a fall as they are kept: the worked rows of the trade, for tests to change."""

from __future__ import annotations


def lanyard_figures(**changed: object) -> dict[str, object]:
    """2 m lanyard, anchor at 2 m, 6 m clear: 'enough by 1.25 m' (worked row of common practice)."""
    figures: dict[str, object] = {
        "format": 1,
        "system": "lanyard",
        "where": "en",
        "rule": "en-355",
        "mass_kg": 100,
        "length_m": 2.0,
        "anchor_m": 2.0,
        "below": [{"name": "conveyor", "depth_m": 6.0}],
    }
    figures.update(changed)
    return {name: value for name, value in figures.items() if value is not None}


def retractable_figures(**changed: object) -> dict[str, object]:
    """Overhead, 6 m above the attachment, 2 m to one side."""
    figures: dict[str, object] = {
        "format": 1,
        "system": "retractable",
        "where": "en",
        "rule": "en-360",
        "mass_kg": 100,
        "anchor_m": 7.5,
        "offset_m": 2.0,
        "below": [{"name": "deck", "depth_m": 6.0}],
    }
    figures.update(changed)
    return {name: value for name, value in figures.items() if value is not None}


def restraint_figures(**changed: object) -> dict[str, object]:
    """A roof of 20 by 10 m with a parapet and a roof light, an anchor 3 m from the south eave, a lanyard
    of 2 m: 0.50 m to spare there."""
    figures: dict[str, object] = {
        "format": 1,
        "anchorage": "anchor",
        "name": "AN-1",
        "points": [at(14, 3)],
        "lanyard_m": 2.0,
        "corners": [
            {**at(0, 0), "name": "south eave"},
            {**at(20, 0), "name": "east gable"},
            {**at(20, 10), "name": "parapet", "guarded": True},
            {**at(0, 10), "name": "west gable"},
        ],
        "closed": True,
        "areas": [{"name": "roof light", "corners": [at(8, 4), at(9, 4), at(9, 5), at(8, 5)]}],
    }
    figures.update(changed)
    return {name: value for name, value in figures.items() if value is not None}


def at(x: float, y: float) -> dict[str, float]:
    return {"x_m": x, "y_m": y}
