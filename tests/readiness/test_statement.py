"""A statement of cover over time: what may be asked of it, and the hash of its facts."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import timedelta

from readiness.rules.facts_hash import facts_hash
from readiness.rules.statement import HORIZON_DAYS, Statement, state
from readiness.rules.timeline import KitTime, Timeline
from tests.readiness.timelines import DAY, at, kit, rescuer, site, task, whole, worked

HOURS = (at("06:00"), at("20:00"))


def ground() -> Timeline:
    """One task of the day; its kit is behind a key from 08 to 16."""
    cabinet = KitTime(kit(), in_reach=((at("08:00"), at("16:00")),))
    return site([worked(task(), HOURS)], [cabinet], [rescuer("Ada", whole())])


def stated(timeline: Timeline | None = None) -> Statement:
    return state(timeline or ground(), DAY, at("05:00"))


def test_a_statement_reaches_from_midnight_over_the_horizon() -> None:
    statement = stated()

    assert statement.begins == at("00:00")
    assert statement.ends == at("00:00", DAY + timedelta(days=HORIZON_DAYS + 1))
    assert statement.at(statement.ends) is None
    assert statement.at(at("23:59", DAY - timedelta(days=1))) is None


def test_the_pieces_of_a_task_are_cut_to_the_window() -> None:
    pieces = stated().pieces("T1", at("07:00"), at("18:00"))

    edges = [(piece.begins, piece.ends) for piece in pieces]
    assert edges == [
        (at("07:00"), at("08:00")),
        (at("08:00"), at("16:00")),
        (at("16:00"), at("18:00")),
    ]


def test_a_windows_answer_is_its_worst_piece_the_earliest_of_those() -> None:
    piece = stated().worst("T1", *whole())

    assert piece is not None
    assert (piece.begins, piece.ends) == (at("06:00"), at("08:00"))
    assert stated().worst("T1", at("20:00"), at("23:00")) is None


def test_cover_lapses_with_the_first_later_piece_that_is_not_covered() -> None:
    lapse = stated().lapse("T1", at("09:00"))

    assert lapse is not None
    assert lapse.begins == at("16:00")


def test_equal_facts_have_one_hash_in_every_process() -> None:
    """Sets of words are ordered otherwise in each process."""
    told = (
        "from readiness.rules.facts_hash import facts_hash; "
        "from tests.readiness.test_statement import ground; print(facts_hash(ground()))"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", told],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": "."},
        ).stdout
        for seed in ("1", "2")
    }

    assert found == {f"{facts_hash(ground())}\n"}


def test_another_fact_is_another_hash() -> None:
    changed = replace(ground(), travel_minutes={("deck", "quay"): 3})

    assert facts_hash(changed) != facts_hash(ground())
