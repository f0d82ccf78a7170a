"""The condition of an item: every pair of conditions, allowed or not."""

from __future__ import annotations

from itertools import product

import pytest

from register.rules import classes, conditions
from register.rules.conditions import Condition, may_change, refusal

# Row: from; the marks: to, in the order of Condition. Copied by hand from the rules of the trade,
# not computed from the table under test.
#                   new rec ins qua awa wit des los left
EXPECTED = {
    "":            ". x . x . . . . .",
    "received":    ". . x x . x . x x",
    "in-service":  ". . . x x x . x x",
    "quarantined": ". . x . x x . x x",
    "away":        ". . . x . x . x .",
    "withdrawn":   ". . . x . . x . x",
    "destroyed":   ". . . . . . . . .",
    "not-located": ". . . x . . . . .",
    "left":        ". x . . . . . . .",
}  # fmt: skip
PAIRS = list(product(Condition, Condition))


@pytest.mark.parametrize(("frm", "to"), PAIRS)
def test_each_of_the_81_changes_is_allowed_or_impossible_as_listed(
    frm: Condition, to: Condition
) -> None:
    listed = EXPECTED[frm].split()[list(Condition).index(to)] == "x"
    assert may_change(frm, to) is listed
    assert (refusal(frm, to) is None) is listed


def test_nothing_follows_destruction() -> None:
    assert [refusal("destroyed", to) for to in ("in-service", "quarantined", "left")] == [
        ("destroyed-for-ever", (("from", "destroyed"), ("to", to)))
        for to in ("in-service", "quarantined", "left")
    ]


def test_a_withdrawn_item_never_returns_to_service() -> None:
    assert refusal("withdrawn", "in-service") == (
        "withdrawn-stays-withdrawn",
        (("from", "withdrawn"), ("to", "in-service")),
    )


def test_an_item_that_left_withdrawn_cannot_come_back_as_new() -> None:
    assert conditions.refusal_to_come_back("withdrawn") == (
        "left-withdrawn",
        (("left_as", "withdrawn"),),
    )
    assert conditions.refusal_to_come_back("in-service") is None


def test_a_lost_withdrawn_item_stays_withdrawn() -> None:
    assert not may_change("withdrawn", "not-located")


def test_every_road_back_to_service_starts_at_acceptance_or_release() -> None:
    roads = {
        frm: change.act for (frm, to), change in conditions.CHANGES.items() if to == "in-service"
    }
    assert roads == {"received": "accept", "quarantined": "release"}


def test_every_change_says_what_evidence_it_needs() -> None:
    assert [pair for pair, change in conditions.CHANGES.items() if not change.evidence] == []


def test_an_unknown_condition_is_an_error_and_not_a_quiet_no() -> None:
    with pytest.raises(ValueError, match="overdue"):
        may_change("overdue", "in-service")


def test_classes_are_found_by_their_own_slug() -> None:
    assert {slug: one.slug for slug, one in classes.CLASSES.items()} == {
        slug: slug for slug in classes.CLASSES
    }


def test_textiles_that_arrested_a_fall_are_rejected_by_default() -> None:
    kept = [
        one.slug
        for one in classes.CLASSES.values()
        if one.material == "textile" and not one.reject_after_arrest
    ]
    assert kept == []


def test_what_lowers_or_raises_people_is_marked_so() -> None:
    assert {one.slug for one in classes.CLASSES.values() if one.lifts_persons} == {
        "rescue-harness", "rescue-loop", "tripod", "rope-adjuster", "descender", "lifting-device",
        "pulley", "stretcher", "rescue-kit",
    }  # fmt: skip
