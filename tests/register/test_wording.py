"""Names and refusals of the register, as people read them."""

from __future__ import annotations

from datetime import date

import pytest

from register import wording
from register.rules.classes import CLASSES, USE_CLASSES
from register.rules.conditions import (
    CHANGES,
    CUSTODY_KINDS,
    QUARANTINE_REASONS,
    Condition,
    refusal,
    refusal_to_come_back,
)

DAY = date(2026, 8, 14)


def test_every_slug_has_a_name() -> None:
    assert [wording.class_name(slug) for slug in CLASSES] == [one.name for one in CLASSES.values()]
    assert [wording.use_class_name(slug) for slug in USE_CLASSES] == list(USE_CLASSES.values())
    assert [wording.custody_name(slug) for slug in CUSTODY_KINDS] == list(CUSTODY_KINDS.values())
    assert [wording.quarantine_reason(slug) for slug in QUARANTINE_REASONS] == list(
        QUARANTINE_REASONS.values()
    )
    assert "" not in {wording.condition_name(one) for one in Condition}


@pytest.mark.parametrize("frm", Condition)
@pytest.mark.parametrize("to", Condition)
def test_every_refused_change_has_a_sentence(frm: Condition, to: Condition) -> None:
    found = refusal(frm, to)
    if found is None:
        assert wording.evidence_needed(CHANGES[frm, to].evidence)
        return
    sentence = wording.refusal_sentence(*found, item="H7K-2PD3", since_on=DAY)
    assert sentence.startswith("H7K-2PD3 ")
    assert sentence.endswith(".")
    assert "%(" not in sentence


def test_a_withdrawn_item_says_since_when_and_what_can_be_done() -> None:
    code, facts = refusal("withdrawn", "in-service") or ("", ())
    assert wording.refusal_sentence(code, facts, since_on=date(2026, 3, 9)) == (
        "This item was withdrawn on 9 Mar 2026; a withdrawn item never returns to service. "
        "Destroy it, or if it was withdrawn in error a competent person and a manager can together "
        "quarantine it."
    )


def test_an_item_that_left_withdrawn_is_sent_back() -> None:
    code, facts = refusal_to_come_back("withdrawn") or ("", ())
    assert wording.refusal_sentence(code, facts, item="H7K-2PD3") == (
        "H7K-2PD3 was withdrawn when it left; a withdrawn item never returns to service. "
        "Refuse the delivery and tell the owner."
    )


@pytest.mark.parametrize(
    ("day", "shown"), [(date(2026, 3, 9), "9 Mar 2026"), (date(2028, 2, 29), "29 Feb 2028")]
)
def test_a_day_is_shown_as_people_write_it(day: date, shown: str) -> None:
    assert wording.shown_day(day) == shown
