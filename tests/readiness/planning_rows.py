"""The check values of the planning sums, by topic; formulas and sources stand beside them."""

from __future__ import annotations

import csv
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

VALUES = Path(__file__).parents[1] / "vectors" / "planning-values.csv"

CLEARANCE = {
    *("clearance_sum", "clearance_below_anchor_lanyard", "clearance_below_anchor_srl"),
    *("clearance_from_Dring_level_lanyard", "clearance_from_Dring_level_srl"),
    *("clearance_below_feet_srl_overhead", "clearance_below_feet_srl_foot_level"),
    *("clearance_below_hll", "free_fall_lanyard", "clearance_reference_plane"),
}
ARREST = {
    *("rope_modulus_from_impact_force", "arrest_peak_force_spring", "arrest_stretch_spring"),
    *("absorber_stroke", "absorber_min_force", "absorber_stroke_us", "avg_force_for_stop"),
    *("twice_impact_energy", "rigid_mass_conversion", "max_mass_before_bottom_out"),
    *("absorber_elastoplastic_peak", "absorber_elastoplastic_distance"),
}
LIFELINE = {
    *("hll_amplification", "hll_tension_from_sag", "hll_elastic_sag", "hll_elastic_tension"),
    "hll_total_drop_after_taut",
}
FIGURES = {"reg_limit", "unit_conversion"}
# What of the same source is not here: swing and rescue stand in `rescue-values.csv`; check characters,
# labels, links and spare pools are no sums of a fall.


@dataclass(frozen=True)
class Row:
    """One check value; `tolerance` as printed ('0.1%' of what is expected, or in the row's unit)."""

    topic: str
    inputs: dict[str, Any]
    expected: str
    unit: str
    tolerance: str

    def is_met_by(self, value: float) -> bool:
        expected = float(self.expected)
        if self.tolerance.endswith("%"):
            return value == pytest.approx(expected, rel=float(self.tolerance[:-1]) / 100)
        return value == pytest.approx(expected, abs=float(self.tolerance) or 1e-9)


def read(file: Path) -> list[Row]:
    with file.open(encoding="utf-8", newline="") as lines:
        return [
            Row(
                *(line["topic"], json.loads(line["inputs"]), line["expected"]),
                *(line["unit"], line["tolerance"]),
            )
            for line in csv.DictReader(lines)
        ]


def all_rows() -> list[Row]:
    return read(VALUES)


def rows(*topics: str) -> list[Row]:
    found = [row for row in all_rows() if row.topic in topics]
    assert {row.topic for row in found} == set(topics)
    return found
