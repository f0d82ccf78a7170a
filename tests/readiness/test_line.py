"""The drawn line: what each state looks like, and what stays true of every drawing."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from readiness.rules.lay import lay_between
from readiness.rules.line import PAINTERS, Drawing, strands

BACKUP, SINGLE, BROKEN = "covered-with-backup", "covered-no-backup", "not-covered"
DOTS, FLAT, IDLE = "not-assessed", "no-rescue-cover-needed", "not-worked"


def kinds(drawing: Drawing) -> list[str]:
    return [segment.kind for segment in drawing.segments]


def path(drawing: Drawing, kind: str) -> str:
    return "".join(segment.path for segment in drawing.segments if segment.kind == kind)


def test_cover_with_backup_is_two_strands_that_cross_over_and_under() -> None:
    assert kinds(strands([BACKUP], 100, 20)) == [
        "strand-b",
        "strand-a",
        "casing",
        "strand-b",
        "casing",
        "strand-a",
        "whip",
    ]


def test_the_two_strands_mirror_each_other_about_the_middle() -> None:
    lay = lay_between(0, 40, middle=10, swing=4, turn=20)
    assert lay.strand(1) == "M0 10C5 10 5 14 10 14C17.3 14 22.7 6 30 6C35 6 35 10 40 10"
    assert lay.strand(-1) == "M0 10C5 10 5 6 10 6C17.3 6 22.7 14 30 14C35 14 35 10 40 10"


def test_at_a_crossing_the_strand_in_front_is_painted_from_crest_to_crest() -> None:
    lay = lay_between(0, 40, middle=10, swing=4, turn=20)
    assert lay.over(1, [1]) == "M10 14C17.3 14 22.7 6 30 6"
    assert lay.casing(1, [1]) == "M14 13.2L26 6.8"


def test_cover_without_backup_is_one_strand() -> None:
    assert kinds(strands([SINGLE], 100, 20)) == ["strand-a", "whip"]


def test_not_covered_is_two_frayed_ends_with_nothing_between() -> None:
    drawing = strands([BROKEN], 100, 20)
    assert kinds(drawing) == ["stub", "fray"]
    assert path(drawing, "stub") == "M0 8.8h10.8M100 8.8h-10.8"
    reached = [float(x) for x in re.findall(r"([\d.]+) [\d.]+(?=M|$)", path(drawing, "fray"))]
    assert len(reached) == 8
    assert max(x for x in reached if x < 50) < 31
    assert min(x for x in reached if x > 50) > 69


def test_a_broken_day_between_two_broken_days_is_one_gap() -> None:
    drawing = strands([BROKEN] * 3, 300, 20)
    assert [(run.first, run.last, run.left, run.right) for run in drawing.runs] == [(0, 2, 0, 300)]
    assert path(drawing, "stub").count("M") == 2


def test_not_assessed_is_dots_spread_over_its_days() -> None:
    drawing = strands([DOTS], 40, 20)
    assert kinds(drawing) == ["dots"]
    assert path(drawing, "dots") == "M5 8.8h0M15 8.8h0M25 8.8h0M35 8.8h0"


def test_no_cover_needed_is_one_thin_rule() -> None:
    drawing = strands([FLAT], 40, 20)
    assert [(s.kind, s.thickness, s.path) for s in drawing.segments] == [("flat", 1.0, "M0 8.8H40")]


def test_a_day_not_worked_is_empty_and_the_rope_beside_it_is_whipped() -> None:
    drawing = strands([SINGLE, IDLE, SINGLE], 300, 20)
    whips = re.findall(r"M([\d.]+) ", path(drawing, "whip"))
    assert whips == ["1.3", "98.7", "201.3", "298.7"]


def test_a_rope_that_runs_into_a_break_is_not_whipped_there() -> None:
    assert path(strands([SINGLE, BROKEN], 200, 20), "whip").count("M") == 1


def test_each_change_of_day_is_marked() -> None:
    assert path(strands([FLAT] * 4, 40, 20), "ticks") == (
        "M0 20v-2M10 20v-2M20 20v-2M30 20v-2M40 20v-2"
    )


def test_no_days_draw_nothing() -> None:
    assert strands([], 40, 20) == Drawing(width=40, height=20, runs=(), segments=())


def test_a_state_that_cannot_be_drawn_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"not a state that can be drawn: contested"):
        strands([BACKUP, "contested"], 40, 20)


@given(days=st.lists(st.sampled_from(sorted(PAINTERS)), max_size=45))
def test_runs_are_the_days_told_once_each_in_order(days: list[str]) -> None:
    drawing = strands(days, 420, 28)
    told = [run.state for run in drawing.runs for _ in range(run.first, run.last + 1)]
    assert told == days
    assert [run.right for run in drawing.runs][:-1] == [run.left for run in drawing.runs][1:]


@given(days=st.lists(st.sampled_from(sorted(PAINTERS)), min_size=1, max_size=45))
def test_two_strands_are_drawn_only_where_there_is_backup(days: list[str]) -> None:
    drawn = set(kinds(strands(days, 420, 28)))
    assert ("strand-b" in drawn) == (BACKUP in days)
    assert ("fray" in drawn) == (BROKEN in days)
    assert ("dots" in drawn) == (DOTS in days)
