"""Every refusal, flag, part and lever of a fall has its sentence, and no sentence promises safety."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import Any

import pytest

from readiness.rules.sums import (
    arrest,
    arrest_absorber,
    arrest_limits,
    chart,
    clearance,
    clearance_guided,
    clearance_lanyard,
    clearance_levers,
    fall,
    fall_anchor,
    fall_figures,
    fall_row,
    fall_swing,
    given,
    lifeline,
    limits,
    ranges,
    rescue_energy,
    rescue_figures,
    rescue_haul,
    rescue_load,
    rescue_rope,
    rescue_times,
    restraint,
    restraint_figures,
    retractable,
    side_view_rescue,
    suspension,
    swing,
    swing_path,
    swing_zone,
)
from readiness.rules.sums.clearance import Below, Place
from readiness.rules.sums.values import Basis, Flag, Plane, Refused
from readiness.wording import sums, sums_words
from readiness.wording.sums_refusals import REFUSALS

MODULES = (
    *(arrest, arrest_absorber, arrest_limits, chart, clearance, clearance_guided),
    *(clearance_lanyard, clearance_levers, lifeline, limits, retractable),
    *(ranges, rescue_energy, rescue_haul, rescue_load, rescue_rope, rescue_times, restraint),
    *(side_view_rescue, suspension, swing, swing_path, swing_zone),
    *(
        fall,
        fall_anchor,
        fall_figures,
        fall_row,
        fall_swing,
        given,
        restraint_figures,
        rescue_figures,
    ),
)


def said(name: str, place: int) -> set[str]:
    """The texts handed to every call of this name, in this place."""
    calls = [
        call
        for module in MODULES
        for call in ast.walk(ast.parse(Path(module.__file__ or "").read_text(encoding="utf-8")))
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == name
    ]
    texts = [call.args[place] for call in calls if len(call.args) > place]
    return {
        text.value
        for text in texts
        if isinstance(text, ast.Constant) and isinstance(text.value, str)
    }


def test_every_field_has_a_name() -> None:
    asking = ("within", "length", "mass", "seconds", "Refused")
    fields = {field for name in asking for field in said(name, 0)}
    assert len(fields) > 30
    assert [field for field in fields if sums_words.field_name(field) == field] == []


def test_every_code_of_a_refusal_has_its_sentence() -> None:
    codes = {*said("Refused", 1), "missing", "not-a-number", "out-of-range", "outside-chart"}
    assert codes == set(REFUSALS)
    for code in codes:
        refused = Refused("mass_kg", code, 50, 100.009, value=145)
        sentence = sums.refusal_sentence(refused)
        assert sentence.endswith(".")
        assert "%(" not in sentence


def test_every_part_flag_plane_and_lever_has_its_words() -> None:
    parts = said("Part", 0) | {"anchor-stretch"}
    assert {sums_words.part_name(code) for code in parts}
    assert said("Flag", 0) == set(sums._FLAGS)
    assert {sums_words.plane_name(plane) for plane in Plane}
    assert said("_Trial", 0) | said("Lever", 0) == set(sums._LEVERS)


@pytest.mark.parametrize(
    ("refused", "sentence"),
    [
        (
            Refused("mass_kg", "outside-product", 50, 100, value=118.0),
            "The product is not made for 118 kg: the mass of the person with tools, from 50 to 100 kg. "
            "Take another product.",
        ),
        (
            Refused("margin", "out-of-range", 0.5, 10, value=0.2),
            "0.2 m is outside what this sum holds for: the margin, from 0.5 to 10 m.",
        ),
        (
            Refused("below", "missing", 0, 1000),
            "Not known: the depth of what lies below. Give it, from 0 to 1000 m.",
        ),
        (
            Refused("force_n", "cannot-stop", 1177.2),
            "A force no greater than the weight stops nobody: the force of the absorber, "
            "1.18 kN or more.",
        ),
        (
            Refused("obstacle beam", "not-convex"),
            "This shape has a dent: the obstacle beam. Draw it as several shapes without one.",
        ),
    ],
)
def test_a_refusal_says_what_range_and_what_to_do(refused: Refused, sentence: str) -> None:
    assert sums.refusal_sentence(refused) == sentence


def worked(depth: float, **more: Any) -> clearance.Clearance:
    place = Place(2.0, (Below("the conveyor", depth),), **more)
    return clearance.clearance(clearance_lanyard.Lanyard(2.0), place, 100)


def test_the_answer_is_never_more_than_enough_on_these_figures() -> None:
    assert sums.clearance_sentence(worked(6.0)) == (
        "Enough by 1.25 m above the conveyor, on these figures."
    )
    assert sums.clearance_sentence(worked(4.0)) == (
        "Not enough: strikes the conveyor, short by 0.75 m."
    )


def test_levers_flags_and_forces_in_words() -> None:
    raised = clearance_levers.Lever("raise-anchor", 2.5, -0.05, 2.5)
    assert sums.lever_sentence(raised) == (
        "Raise the anchor to 2.5 m above the walking surface: 2.5 m more, then still short by 0.05 m."
    )
    assert sums.flag_sentence(Flag("formula-asks-for-more", {"more_m": 0.75})) == (
        "The product's chart is used. The formula asks for 0.75 m more."
    )
    warned = arrest_limits.without_absorber(100, 1.0, 1.0, "en")
    assert sums.without_absorber_sentence(warned) == (
        "Without an absorber the same fall would pull about 15.8 kN."
    )
    assert "more than the limit of 6 kN" in sums.force_sentence(warned)
    us = arrest_limits.anchor_check(22_000, arrest_limits.AnchorUse("us"))
    assert sums.anchor_sentence(us) == "The anchor is rated 22 kN: not enough, it needs 22.25 kN."


def test_lengths_round_to_the_safe_side_in_both_units() -> None:
    assert (sums.needed_length(6.75), sums.needed_length(6.75, in_feet=True)) == (
        "6.75 m",
        "22.2 ft",
    )
    assert (sums.available_length(4.2), sums.available_length(4.2, in_feet=True)) == (
        "4.2 m",
        "13.7 ft",
    )


def test_a_basis_says_where_a_figure_comes_from() -> None:
    assert sums.basis_words(Basis("read-2", "EN 355:2002")) == "EN 355:2002 (read second hand)"
    assert sums.basis_words(Basis("common practice, no source")) == "common practice, no source"
