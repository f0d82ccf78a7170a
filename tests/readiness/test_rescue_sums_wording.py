"""Restraint and rescue by numbers, told: names, figures on the safe side, sources, no promise."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from readiness.rules.sums import hierarchy, suspension
from readiness.rules.sums.hierarchy import Unanswered
from readiness.rules.sums.rescue_energy import Descender, descents
from readiness.rules.sums.rescue_haul import haul
from readiness.rules.sums.rescue_load import Component, load_fit
from readiness.rules.sums.rescue_rope import Rope, rope_fit
from readiness.rules.sums.rescue_times import Timed, Way, timeline, timeline_by_drill
from readiness.rules.sums.restraint import Anchorage, Layout, Side, restrained
from readiness.wording import rescue_sums as words

EDGE = Layout((Side("north eave", (-5, 3.4), (5, 3.4)),))
ROUND = Layout(
    (
        *EDGE.sides,
        Side("wall", (5, 3.4), (0, -20), guarded=True),
        Side("other wall", (0, -20), (-5, 3.4), guarded=True),
    )
)
ANCHOR = Anchorage("AN-1", ((0, 0),))


def test_proven_restraint_tells_what_is_spare_and_what_was_not_looked_at() -> None:
    assert words.restraint_lines(restrained(ROUND, ANCHOR, 2.0)) == [
        "Proven restraint: 0.9 m to spare at the nearest edge, north eave.",
        "A lanyard of 2.9 m at most would be proven restraint.",
    ]


def test_an_open_rim_is_never_told_as_proven() -> None:
    assert words.restraint_lines(restrained(EDGE, ANCHOR, 2.0)) == [
        "Not proven: the rim is not drawn all round. Of what is drawn, north eave is nearest, with "
        "0.9 m to spare.",
        "The rim is not closed: only the edges named were looked at.",
    ]


def test_an_edge_that_can_be_passed_is_named_and_the_lanyard_that_would_hold() -> None:
    lines = words.restraint_lines(restrained(ROUND, ANCHOR, 3.5))
    assert lines[0] == "north eave can be passed by 0.6 m: 4 m of reach, 3.4 m to the edge."
    assert lines[1].startswith("This is arrest, whatever it is called")
    assert lines[2] == "A lanyard of 2.9 m at most would be proven restraint."


@pytest.mark.parametrize(
    ("rope", "sentence"),
    [
        (Rope(49), "The rope is too short: 50 m are needed, 1 m are missing."),
        (
            Rope(52, 60),
            "The rope is long enough: 50 m are needed, 2 m are to spare. "
            "No stopper at its end is on record.",
        ),
        (Rope(60, 40), "Too high for this kit by its maker: 8 m too high."),
    ],
    ids=["short", "enough", "too-high"],
)
def test_rope_in_words(rope: Rope, sentence: str) -> None:
    assert words.rope_sentence(rope_fit(50, 48, rope)) == sentence


def test_a_haul_past_the_handle_names_the_source_of_the_limit() -> None:
    told = words.haul_sentence(haul(100, 3, 0.9, 6))
    assert told.startswith("362 N at the hand, over 18 m of rope (327 N without losses).")
    assert "EN 1496:2017" in told
    assert "lifting device" not in words.haul_sentence(haul(100, 6, 0.9, 6))


def test_descents_in_words() -> None:
    assert words.descents_sentence(descents(Descender("B", used=14), 100, 100)) == (
        "One descent of 98.1 kJ is left in the device; 1 asked for."
    )
    assert words.descents_sentence(descents(Descender("D", used=1), 100, 100, 2)) == (
        "0 descents of 98.1 kJ are left in the device; 2 asked for."
    )
    assert words.descents_sentence(descents(Descender("A", max_kg=100), 120, 20)) == (
        "The load is more than the device is marked for."
    )


def test_the_weakest_component_in_words() -> None:
    parts = (Component("strap", None), Component("descender", 150, 60))
    assert words.load_sentence(load_fit(parts, 118)) == (
        "118 kg is too much for strap; the weakest is strap, 100 kg. "
        "Without a mark, taken to bear 100 kg (common practice): strap."
    )
    assert words.load_sentence(load_fit(parts[1:], 100, 55)) == "55 kg is too little for descender."


def test_a_timeline_tells_each_step_with_what_it_rests_on() -> None:
    lines = words.timeline_lines(timeline(60, 120, Timed(90), Way(lower_m=15), 5))
    assert lines[0] == "1 min alarm (the employer's figure)"
    assert lines[2] == "1.5 min rigging (an estimate nobody has timed)"
    assert lines[-1] == "Together 5.1 min: longer than the plan's target of 5 min."
    drilled = timeline_by_drill(60, 120, Timed(240, date(2026, 9, 1)), 8)
    told = words.timeline_lines(drilled)
    assert "drill of" in told[2]
    assert told[-1] == "Together 7 min; the plan's target is 8 min."


def test_every_study_is_told_with_its_source_and_status() -> None:
    for study in suspension.STUDIES:
        told = words.study_sentence(study)
        assert str(study.minutes) in told
        assert study.source in told
        assert "read in the source" in told


def test_every_question_has_its_words_and_every_way_to_leave_it_open() -> None:
    assert set(words.QUESTIONS) == set(hierarchy.QUESTIONS)
    for why in ("missing", "no-answer", "unnamed"):
        assert words.QUESTIONS["avoid"] in words.open_question(Unanswered("avoid", why))


def test_no_sentence_promises_safety() -> None:
    text = Path(words.__file__).read_text(encoding="utf-8")
    assert "is safe for" not in text
    assert "None is a time for which anybody is safe" in text
