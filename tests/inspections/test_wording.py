"""Every code becomes a sentence a person can act on, where inspections judge."""

from __future__ import annotations

from datetime import date

import pytest

from inspections import wording
from inspections.rules.clocks import CLOCK_NAMES, Clock
from inspections.rules.kinds import KINDS
from inspections.rules.verdict import DEFECT_CLASSES, VERDICTS, HeldBy, Verdict

DAY = date(2026, 8, 14)


def not_usable(code: str, *facts: tuple[str, str]) -> str:
    return wording.verdict_sentence(Verdict(False, None, code, facts))


def test_a_usable_item_says_until_when() -> None:
    verdict = Verdict(True, DAY, "usable", (("until", "2026-08-14"), ("by", "detailed")))
    assert wording.verdict_sentence(verdict) == "OK to use until 14 Aug 2026"


def test_a_restricted_item_says_for_what() -> None:
    verdict = Verdict(True, DAY, "usable-restricted", (("restricted_to", "restraint"),))
    assert wording.verdict_sentence(verdict) == "OK to use for restraint only, until 14 Aug 2026"


@pytest.mark.parametrize(
    ("code", "facts", "sentence"),
    [
        (
            "clock-passed",
            (("clock", "detailed"), ("last_day", "2026-11-03")),
            "DO NOT USE: periodic examination was due by 3 Nov 2026",
        ),
        (
            "clock-passed",
            (("clock", "life-from-made"), ("last_day", "2026-01-01")),
            "DO NOT USE: its life from manufacture ended on 1 Jan 2026",
        ),
        (
            "clock-unknown",
            (("clock", "thorough-examination"), ("missing", "inspection")),
            "DO NOT USE: no thorough examination that counts is on record",
        ),
        (
            "clock-unknown",
            (("clock", "life-from-first-use"), ("missing", "made-date")),
            "DO NOT USE: life from first use cannot be worked out: "
            "the date of manufacture is not known",
        ),
        (
            "clock-unknown",
            (("clock", "detailed"), ("missing", "interval")),
            "DO NOT USE: no interval for periodic examination is set for this equipment",
        ),
        (
            "quarantined",
            (("reason", "arrested-a-fall"),),
            "DO NOT USE: in quarantine: arrested a fall",
        ),
        ("custody", (("custody", "in-transit"),), "DO NOT USE: in transit"),
        ("custody", (("custody", ""),), "DO NOT USE: whereabouts not recorded"),
        (
            "held-by-notice",
            HeldBy("Orla N-7", "stop-use", "certain").facts,
            "DO NOT USE: held by safety notice Orla N-7, stop use",
        ),
        (
            "held-by-notice",
            HeldBy("Orla N-7", "inspect-first", "possible", ("made-rough", "year")).facts,
            "DO NOT USE: held by safety notice Orla N-7 until it passes the special inspection"
            " (it may be one of those meant: made date known only to the year; read the label)",
        ),
        ("kit-problem", (("problem", "seal-broken"),), "DO NOT USE: the seal is broken"),
        ("withdrawn", (), "DO NOT USE: withdrawn for good"),
    ],
)
def test_an_item_not_to_be_used_says_the_one_reason(
    code: str, facts: tuple[tuple[str, str], ...], sentence: str
) -> None:
    assert not_usable(code, *facts) == sentence


def test_a_kit_names_its_part_and_the_parts_own_reason() -> None:
    told = not_usable(
        "kit-part",
        ("part", "rescue set"),
        ("why", "kit-part"),
        ("part", "hauling rope"),
        ("why", "clock-passed"),
        ("clock", "detailed"),
        ("last_day", "2026-11-03"),
    )
    assert told == (
        "DO NOT USE: rescue set in this kit: hauling rope in this kit: "
        "periodic examination was due by 3 Nov 2026"
    )


@pytest.mark.parametrize(
    "code",
    [
        "destroyed", "withdrawn", "not-located", "away", "left", "not-accepted", "not-registered",
        "issued-elsewhere", "identity-in-doubt",
    ],
)  # fmt: skip
def test_every_plain_reason_has_words(code: str) -> None:
    assert not_usable(code).startswith("DO NOT USE: ")


@pytest.mark.parametrize("clock", CLOCK_NAMES)
def test_every_clock_can_pass_and_be_listed(clock: str) -> None:
    told = not_usable("clock-passed", ("clock", clock), ("last_day", "2026-11-03"))
    assert told.endswith("3 Nov 2026")
    assert wording.clock_sentence(Clock(clock, DAY)) == f"{CLOCK_NAMES[clock]}: until 14 Aug 2026"


@pytest.mark.parametrize(
    "problem", ["seal-broken", "seal-missing", "seal-unlike-record", "part-missing"]
)
def test_every_kit_problem_has_words(problem: str) -> None:
    assert not_usable("kit-problem", ("problem", problem)).startswith("DO NOT USE: ")


def test_a_clock_is_listed_with_its_length_and_start() -> None:
    running = Clock("detailed", DAY, date(2026, 2, 14), 6, "maker")
    assert wording.clock_sentence(running) == (
        "Periodic examination: until 14 Aug 2026 (6 months from 14 Feb 2026)"
    )
    assert wording.clock_sentence(Clock("interim", DAY, date(2026, 7, 14), 1)) == (
        "Interim inspection: until 14 Aug 2026 (1 month from 14 Jul 2026)"
    )
    assert wording.clock_sentence(Clock("detailed", None, missing="inspection")) == (
        "Periodic examination: not known: no periodic examination that counts is on record"
    )


def test_every_slug_has_a_name() -> None:
    assert [wording.kind_name(slug) for slug in KINDS] == [one.name for one in KINDS.values()]
    assert [wording.clock_name(slug) for slug in CLOCK_NAMES] == list(CLOCK_NAMES.values())
    assert [wording.verdict_name(slug) for slug in VERDICTS] == list(VERDICTS.values())
    assert [wording.defect_class_name(slug) for slug in "ABC"] == list(DEFECT_CLASSES.values())


@pytest.mark.parametrize("code", ["pass-with-danger", "defect-without-day"])
def test_a_verdict_that_cannot_be_signed_says_what_to_do(code: str) -> None:
    assert wording.contradiction_sentence(code).endswith(".")
