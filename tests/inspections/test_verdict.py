"""Usable or not: the reason named first, the last good day, and what each verdict does."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import Clock
from inspections.rules.verdict import (
    VERDICTS,
    HeldBy,
    ItemState,
    KitPart,
    Verdict,
    contradiction,
    effect_at_first_tap,
    effect_of,
    moves_clock,
    usable,
)
from register.rules.conditions import CUSTODY_KINDS, Condition

DAY = date(2026, 8, 14)
PERIODIC = Clock("detailed", DAY)
GOOD = ItemState(condition="in-service", custody="person", clocks=(PERIODIC,))


def test_an_item_is_in_date_on_its_due_day_and_not_on_the_next() -> None:
    assert usable(GOOD, DAY) == Verdict(
        True, DAY, "usable", (("until", "2026-08-14"), ("by", "detailed"))
    )
    assert usable(GOOD, date(2026, 8, 15)) == Verdict(
        False, None, "clock-passed", (("clock", "detailed"), ("last_day", "2026-08-14"))
    )


@pytest.mark.parametrize(
    ("condition", "code"),
    [
        ("destroyed", "destroyed"),
        ("withdrawn", "withdrawn"),
        ("not-located", "not-located"),
        ("away", "away"),
        ("left", "left"),
        ("received", "not-accepted"),
        ("", "not-registered"),
    ],
)
def test_only_an_item_in_service_is_usable(condition: str, code: str) -> None:
    assert usable(replace(GOOD, condition=condition), DAY) == Verdict(False, None, code)


def test_a_quarantined_item_says_why_it_is_quarantined() -> None:
    held = replace(GOOD, condition="quarantined", quarantine_reason="arrested-a-fall")
    assert usable(held, DAY) == Verdict(
        False, None, "quarantined", (("reason", "arrested-a-fall"),)
    )


def test_every_condition_but_in_service_bars_use() -> None:
    found = {one.value for one in Condition if usable(replace(GOOD, condition=one), DAY).usable}
    assert found == {"in-service"}


def test_where_an_item_is_can_bar_its_use() -> None:
    usable_in = {kind for kind in CUSTODY_KINDS if usable(replace(GOOD, custody=kind), DAY).usable}
    assert usable_in == {"stores", "person", "site", "kit", "installed", "inspector"}
    assert usable(replace(GOOD, custody=""), DAY).code == "custody"


# From the most to the least useful thing to be told; each case has every later trouble too.
TROUBLES: list[tuple[str, dict[str, object]]] = [
    ("withdrawn", {"condition": "withdrawn"}),
    ("custody", {"custody": "in-transit"}),
    ("issued-elsewhere", {"issued_elsewhere": True}),
    ("held-by-notice", {"held_by": HeldBy("N-1", "stop-use", "certain")}),
    ("identity-in-doubt", {"identity_in_doubt": True}),
    ("kit-problem", {"kit_problem": "seal-broken"}),
    ("kit-part", {"kit_parts": (KitPart("rope", replace(GOOD, condition="quarantined")),)}),
    ("clock-passed", {"clocks": (Clock("notice", None), Clock("detailed", date(2026, 1, 1)))}),
]


@pytest.mark.parametrize("at", range(len(TROUBLES)), ids=[code for code, _ in TROUBLES])
def test_one_reason_is_named_and_it_is_the_most_useful(at: int) -> None:
    everything = GOOD
    for _code, change in TROUBLES[at:]:
        everything = replace(everything, **change)  # type: ignore[arg-type]
    assert usable(everything, DAY).code == TROUBLES[at][0]


def test_a_clock_that_is_not_known_bars_use_and_is_named() -> None:
    unknown = Clock("life-from-made", None, missing="made-date")
    assert usable(replace(GOOD, clocks=(PERIODIC, unknown)), DAY) == Verdict(
        False, None, "clock-unknown", (("clock", "life-from-made"), ("missing", "made-date"))
    )


def test_an_item_without_any_clock_is_not_usable() -> None:
    assert usable(replace(GOOD, clocks=()), DAY).code == "clock-unknown"


def test_the_end_of_life_is_named_before_an_inspection_that_could_not_help() -> None:
    both = (Clock("detailed", date(2026, 1, 1)), Clock("life-from-made", date(2026, 2, 1)))
    assert usable(replace(GOOD, clocks=both), DAY).facts[0] == ("clock", "life-from-made")


def test_a_kit_is_good_as_long_as_its_shortest_part() -> None:
    part = replace(GOOD, custody="kit", clocks=(Clock("detailed", date(2026, 8, 1)),))
    kit = replace(GOOD, kit_parts=(KitPart("hauling rope", part), KitPart("pulley", GOOD)))
    assert usable(kit, date(2026, 8, 1)) == Verdict(
        True, date(2026, 8, 1), "usable", (("until", "2026-08-01"), ("by", "hauling rope"))
    )
    assert usable(kit, date(2026, 8, 2)) == Verdict(
        False,
        None,
        "kit-part",
        (
            ("part", "hauling rope"),
            ("why", "clock-passed"),
            ("clock", "detailed"),
            ("last_day", "2026-08-01"),
        ),
    )


def test_a_pass_with_conditions_leaves_only_the_use_it_names() -> None:
    assert usable(replace(GOOD, restricted_to="restraint"), DAY) == Verdict(
        True,
        DAY,
        "usable-restricted",
        (("until", "2026-08-14"), ("by", "detailed"), ("restricted_to", "restraint")),
    )


@given(
    st.lists(st.none() | st.dates(date(2026, 1, 1), date(2026, 12, 31)), min_size=1, max_size=5),
    st.dates(date(2026, 1, 1), date(2026, 12, 31)),
)
def test_what_is_usable_on_a_day_was_usable_on_every_day_through_its_last(
    lasts: list[date | None], day: date
) -> None:
    found = tuple(Clock("detailed", last, missing="" if last else "inspection") for last in lasts)
    state = replace(GOOD, clocks=found)
    asked = usable(state, day)
    assert asked.usable == (None not in lasts and all(last >= day for last in lasts if last))
    if asked.through:
        assert usable(state, asked.through).usable
        assert not usable(state, asked.through + timedelta(days=1)).usable


# The whole table: authorised and independent, authorised only, independent only, neither.
@pytest.mark.parametrize(
    ("verdict", "expected"),
    [
        ("pass", [True, False, False, False]),
        ("pass-with-conditions", [True, False, False, False]),
        ("refer", [False] * 4),
        ("fail", [False] * 4),
        ("not-presented", [False] * 4),
        ("not-identified", [False] * 4),
        ("not-accessible", [False] * 4),
    ],
)
def test_only_a_pass_by_the_right_person_moves_a_clock(verdict: str, expected: list[bool]) -> None:
    asked = [
        moves_clock(performed_by_authorised=authorised, independent=independent, verdict=verdict)
        for authorised in (True, False)
        for independent in (True, False)
    ]
    assert asked == expected


@pytest.mark.parametrize(
    ("verdict", "authorised", "anyone", "first_tap"),
    [
        ("pass", "none", "none", "none"),
        ("pass-with-conditions", "none", "none", "none"),
        ("refer", "quarantine", "quarantine", "quarantine"),
        ("fail", "withdraw", "quarantine", "quarantine"),
        ("not-presented", "none", "none", "none"),
        ("not-identified", "quarantine", "quarantine", "quarantine"),
        ("not-accessible", "none", "none", "none"),
    ],
)
def test_bad_news_takes_effect_from_anyone(
    verdict: str, authorised: str, anyone: str, first_tap: str
) -> None:
    assert effect_of(verdict, authorised=True) == authorised
    assert effect_of(verdict, authorised=False) == anyone
    assert effect_at_first_tap(verdict) == first_tap


def test_the_tables_above_hold_every_verdict() -> None:
    assert len(VERDICTS) == 7


def test_a_danger_now_cannot_pass_and_a_danger_to_come_needs_its_day() -> None:
    assert contradiction("pass", (("C", None), ("A", None))) == "pass-with-danger"
    assert contradiction("pass-with-conditions", (("A", None),)) == "pass-with-danger"
    assert contradiction("fail", (("A", None),)) is None
    assert contradiction("pass", (("B", None),)) == "defect-without-day"
    assert contradiction("pass", (("B", DAY), ("C", None))) is None
