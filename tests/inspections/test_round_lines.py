"""The rules of a signed round: what a line becomes, how lines are counted, when it may be signed."""

from __future__ import annotations

import json
import random
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.round_wording import not_signed_sentence, tally_sentence
from inspections.rules.round_lines import (
    EXPECTED,
    LINE_STATES,
    NOT_PRESENTED,
    OUT,
    SEEN,
    UNKNOWN,
    Line,
    Ready,
    a_pass_mends,
    at_signing,
    contradicts,
    is_overdue_for_signing,
    state_after,
    takes,
    tally,
    why_not_signed,
    with_look,
)
from inspections.rules.verdict import VERDICTS
from tests.factories import NOON

VECTORS = Path(__file__).parents[1] / "vectors" / "round_lines.json"
TOLD = json.loads(VECTORS.read_text(encoding="utf-8"))
CASES, SIGNING = TOLD["cases"], TOLD["signing"]
LINES = st.lists(
    st.builds(
        Line,
        key=st.sampled_from("abcde"),
        state=st.sampled_from(sorted(LINE_STATES)),
        listed=st.booleans(),
    ),
    max_size=12,
)


def lines(state: str, count: int, *, listed: bool = True, name: str = "") -> list[Line]:
    return [Line(key=f"{name or state}{n}", state=state, listed=listed) for n in range(count)]


def test_the_running_count_is_told_as_it_is_called_out() -> None:
    found = [
        *lines(SEEN, 45),
        *lines(OUT, 2),
        *lines(EXPECTED, 11),
        *lines(NOT_PRESENTED, 2),
        *lines(UNKNOWN, 1, listed=False),
    ]
    told = "47 of 60, 2 out, 11 not seen, 2 not presented, 1 not on the register"
    assert tally_sentence(tally(found)) == told


def test_what_was_not_on_the_list_is_counted_beside_it() -> None:
    found = tally(
        [*lines(EXPECTED, 3), *lines(OUT, 1, listed=False), *lines(SEEN, 1, listed=False)]
    )
    assert (found.done, found.besides, found.in_hand, found.out, found.listed) == (0, 2, 2, 1, 3)


def test_an_item_looked_at_twice_counts_once_and_what_is_out_stays_out() -> None:
    out, good = Line(key="a", state=OUT, listed=True), Line(key="a", state=SEEN)
    for both in ([out, good], [good, out]):
        assert (tally(both).done, tally(both).out) == (1, 1)


@given(LINES, st.randoms())
def test_the_order_of_the_lines_changes_no_count(found: list[Line], chance: random.Random) -> None:
    mixed = list(found)
    chance.shuffle(mixed)
    assert tally(mixed) == tally(found)


@given(LINES)
def test_every_listed_item_is_done_or_not_seen_or_not_presented_or_strange(
    found: list[Line],
) -> None:
    told = tally(found)
    assert told.done + told.not_seen <= told.listed
    assert told.out <= told.in_hand


@given(LINES)
def test_signing_makes_nothing_seen_that_was_not(found: list[Line]) -> None:
    signed = [Line(key=one.key, state=at_signing(one.state), listed=one.listed) for one in found]
    assert (tally(signed).done, tally(signed).out) == (tally(found).done, tally(found).out)
    assert tally(signed).not_seen == 0


@pytest.mark.parametrize("verdict", VERDICTS)
def test_each_verdict_leads_to_a_state(verdict: str) -> None:
    assert state_after(verdict) in (SEEN, OUT, NOT_PRESENTED)


@pytest.mark.parametrize("state", LINE_STATES)
def test_only_what_was_not_in_the_hand_yet_takes_a_look(state: str) -> None:
    assert takes(state, "pass") is (state in (EXPECTED, NOT_PRESENTED))


def test_what_was_in_the_hand_cannot_be_not_presented() -> None:
    assert contradicts([SEEN], "not-presented")
    assert not contradicts([EXPECTED], "not-presented")
    assert not contradicts([SEEN], "fail")


@pytest.mark.parametrize("case", SIGNING, ids=lambda case: case["what"])
def test_a_round_is_signed_only_by_its_inspector_on_what_was_seen(case: dict[str, Any]) -> None:
    facts = {name: value for name, value in case.items() if name not in ("what", "code")}
    assert why_not_signed(Ready(**facts)) == case["code"]
    if case["code"]:
        assert not_signed_sentence(case["code"], "Huw", ["A"]).endswith(".")


@pytest.mark.parametrize(
    ("code", "clock", "mends"),
    [
        ("clock-passed", "detailed", True),
        ("clock-unknown", "detailed", True),
        ("clock-passed", "life-from-made", False),
        ("clock-unknown", "life-from-made", False),
        ("quarantined", "", False),
        ("held-by-notice", "", False),
    ],
)
def test_a_pass_mends_only_what_an_inspection_was_due_for(
    code: str, clock: str, *, mends: bool
) -> None:
    assert a_pass_mends(code, clock) is mends


def test_a_round_may_stay_unsigned_for_a_day_and_no_longer() -> None:
    day = timedelta(hours=24)
    assert not is_overdue_for_signing(NOON, NOON + day)
    assert is_overdue_for_signing(NOON, NOON + day + timedelta(seconds=1))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_the_cases_to_which_a_phone_is_held(case: dict[str, Any]) -> None:
    found = tuple(Line(key=key, state=EXPECTED, listed=True) for key in case["listed"])
    refused = 0
    for key, verdict in case["acts"]:
        after = with_look(found, key, verdict)
        refused += after is None
        found = after or found
    assert refused == case.get("refused", 0)
    assert tally_sentence(tally(found)) == case["tally"]
    signed = [Line(key=one.key, state=at_signing(one.state), listed=one.listed) for one in found]
    assert tally_sentence(tally(signed)) == case["signed"]
