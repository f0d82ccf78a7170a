"""A round: what it counts, how long a pass took, and what to look for."""

from __future__ import annotations

import pytest

from inspections.rules import rounds
from inspections.rules.cues import cues_for
from inspections.rules.rounds import Counts, Entry, Look, Pace, Round
from inspections.wording import pace_sentence
from register.rules.classes import CLASSES

EMPTY = rounds.begun(site="corrick", kind="detailed", covers_periodic=False, day="2026-03-09")


def entry(code: str, verdict: str, seconds: int = 90, inspection: str = "") -> Entry:
    return Entry(
        code=code,
        time="09:14",
        verdict=verdict,
        inspection=inspection or f"{code} {verdict}",
        line="",
        usable=verdict == "pass",
        seconds=seconds,
    )


def after(*entries: Entry) -> Round:
    found = EMPTY
    for each in entries:
        found = rounds.signed(found, each)
    return found


def test_an_item_counts_once_by_its_last_verdict() -> None:
    found = after(
        entry("A", "pass"), entry("B", "not-presented"), entry("A", "fail"), entry("C", "pass")
    )
    assert found.counts == Counts(done=2, out=1, not_presented=1)


def test_the_same_inspection_counts_once() -> None:
    once = entry("A", "pass")
    assert after(once, once) == after(once)


def test_the_last_verdict_on_a_tag_is_found_again() -> None:
    found = after(entry("A", "pass"), entry("A", "refer"))
    assert found.earlier("A") == entry("A", "refer")
    assert found.earlier("B") is None


def test_a_look_keeps_its_id_until_a_verdict_has_used_it() -> None:
    first, second = Look("one", "09:00"), Look("two", "09:01")
    found = rounds.looked_at(rounds.looked_at(EMPTY, "A", first), "A", second)
    assert found.looks["A"] == first
    found = rounds.signed(found, entry("A", "pass", inspection="one"))
    assert rounds.looked_at(found, "A", second).looks["A"] == second


def test_what_was_stopped_waits_for_its_signature() -> None:
    found = rounds.stopped(EMPTY, "A", "fail")
    assert dict(found.unsigned) == {"A": "fail"}
    assert dict(rounds.signed(found, entry("A", "fail")).unsigned) == {}


def test_a_round_comes_back_from_its_session_as_it_was() -> None:
    found = rounds.stopped(
        rounds.looked_at(after(entry("A", "pass")), "B", Look("x", "y")), "B", "fail"
    )
    assert rounds.read(rounds.written(found)) == found


def test_the_pace_is_that_of_the_passes() -> None:
    assert EMPTY.pace is None
    found = after(
        entry("A", "pass", 12),
        entry("B", "pass", 160),
        entry("C", "pass", 200),
        entry("D", "fail", 3),
    )
    assert found.pace == Pace(median=160, quick=1)


@pytest.mark.parametrize(
    ("median", "quick", "sentence"),
    [
        (160, 4, "Middle time of a pass: 2 min 40 s; 4 took under 20 s."),
        (45, 0, "Middle time of a pass: 45 s."),
    ],
)
def test_the_pace_is_told_in_words(median: int, quick: int, sentence: str) -> None:
    assert pace_sentence(median, quick) == sentence


@pytest.mark.parametrize("slug", CLASSES)
def test_every_class_says_what_to_look_for(slug: str) -> None:
    parts = [part for part, usual in cues_for(slug) if usual]
    assert parts[-1] == "Label"
    assert len(parts) > 1
    assert len(set(parts)) == len(parts)
