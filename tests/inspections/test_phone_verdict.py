"""What a phone without signal says: the same cases hold this rule and the phone's own script."""

from __future__ import annotations

import json
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.phone_wording import phone_phrases
from inspections.rules.phone_verdict import (
    OWN_CODES,
    Known,
    Pack,
    PackItem,
    PackSpell,
    Written,
    phone_verdict,
)

CASES = json.loads((Path(__file__).parents[1] / "vectors" / "phone_verdicts.json").read_text())


def moment(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def asked(case: dict[str, Any]) -> tuple[Pack | None, PackItem | None, Known]:
    pack = case["pack"] and Pack(
        moment(case["pack"]["made_at"]),  # type: ignore[arg-type]
        moment(case["pack"]["good_until_at"]),  # type: ignore[arg-type]
        case["pack"]["zone"],
    )
    item = case["item"] and PackItem(
        case["item"]["code"],
        tuple(
            PackSpell(date.fromisoformat(d), ok, date.fromisoformat(to) if to else None, code)
            for d, ok, to, code in case["item"]["spells"]
        ),
        tuple(case["item"]["parts"]),
    )
    written = tuple(
        Written(one["item"], one["kind"], one["verdict"], moment(one["applied_at"]))
        for one in case["known"]["written"]
    )
    return pack, item, Known(written, moment(case["known"]["latest_at"]))


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_the_phone_says_what_the_case_expects(case: dict[str, Any]) -> None:
    pack, item, known = asked(case)
    at = datetime.fromisoformat(case["at"])
    found = phone_verdict(pack, item, known, code=case["code"], at=at)
    through = found.through.isoformat() if found.through else None
    assert {"usable": found.usable, "through": through, "code": found.code} == case["expect"]


def test_every_word_of_the_phones_own_has_a_case_and_a_sentence() -> None:
    assert set(OWN_CODES) <= {case["expect"]["code"] for case in CASES}
    assert set(phone_phrases()) == set(OWN_CODES)


@given(
    case=st.sampled_from(CASES),
    more=st.lists(
        st.builds(
            Written,
            st.sampled_from(["7K2M", "PART", "OTHER"]),
            st.sampled_from(["quarantine", "look", "arrest", "event", "round-sign"]),
            st.sampled_from(["", "pass", "pass-with-conditions", "fail", "refer", "not-presented"]),
        ),
        max_size=4,
    ),
)
def test_nothing_written_on_the_phone_makes_an_item_usable(
    case: dict[str, Any], more: list[Written]
) -> None:
    pack, item, known = asked(case)
    at = datetime.fromisoformat(case["at"])
    before = phone_verdict(pack, item, known, code="7K2M", at=at)
    more_known = Known((*known.written, *more), known.latest_at)
    after = phone_verdict(pack, item, more_known, code="7K2M", at=at)
    assert before.usable or not after.usable
