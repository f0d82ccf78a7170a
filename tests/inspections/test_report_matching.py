"""Which item a line of an examiner's report means: surely one, or none and why."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.intake.reports.matching import Held, Register, matched, register_of
from inspections.intake.reports.stated import Stated
from inspections.intake.reports.words import grade_of, kind_of, verdict_of
from register.intake.reading import Cell
from register.intake.values import serial_of
from register.rules.lifespan import span_of

RIDGE = Held(
    pk=1,
    code="AAAA",
    serial="000412",
    maker="Halvard Textiles",
    product="Ridgeline 2",
    class_slug="harness",
    made_first_on=date(2024, 3, 1),
    made_last_on=date(2024, 3, 31),
)
LANYARD = Held(
    pk=2,
    code="BBBB",
    serial="HT-88121",
    maker="Orrin & Tull",
    product="Slip 15",
    class_slug="energy-absorbing-lanyard",
)
TWIN = Held(
    pk=3, code="CCCC", serial="70071", maker="Orrin & Tull", product="Slip 15", class_slug="lanyard"
)
OTHER_TWIN = Held(
    pk=4,
    code="DDDD",
    serial="70071",
    maker="Halvard Textiles",
    product="Ridgeline 2",
    class_slug="harness",
)
SHORT = Held(
    pk=5, code="EEEE", serial="12", maker="Orrin & Tull", product="Gate 30", class_slug="connector"
)
ITEMS = (RIDGE, LANYARD, TWIN, OTHER_TWIN, SHORT)
MARKS = {"TW1": {1}, "TW2": {2}, "AAAA": {1}, "TW9": {2, 3}}


@pytest.fixture(scope="module")
def register() -> Register:
    return register_of(ITEMS, MARKS)


def line(serial: Cell = None, **said: object) -> Stated:
    is_number = isinstance(serial, int | float)
    return Stated(sheet="Kit", line=2, serial=serial_of(serial), was_number=is_number, **said)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("stated", "pk"),
    [
        (line("000412"), 1),
        (line("ht 88121"), 2),
        (line("HT-88121", tag="TW2"), 2),
        (line("HT-88121", tag="X-9"), 2),  # a mark we do not know contradicts nothing
        (line(tag="TW1"), 1),
        (line("000412", maker="Halvard", product="Harness Ridgeline 2"), 1),
        (line("000412", maker="HT"), 1),
        (line("HT-88121", class_text="lanyard"), 2),
        (line("70071", product="Slip 15"), 3),  # the whole product tells two of one serial apart
        (line("12", product="Gate 30"), 5),
        (line("000412", made=span_of("year", 2024)), 1),
    ],
)
def test_a_line_means_the_item_that_nothing_contradicts(
    stated: Stated, pk: int, register: Register
) -> None:
    found = matched(stated, register)
    assert (found.item and found.item.pk, found.is_sure) == (pk, True)


@pytest.mark.parametrize(
    ("stated", "code"),
    [
        (line("990001"), "not-ours"),
        (line("O00412"), "near-ours"),
        (line(412), "zeros-lost"),
        (line("412"), "near-ours"),
        (line(3e12), "serial-eaten"),
        (line("4.12E+11"), "serial-eaten"),
        (line(date(2026, 3, 4)), "serial-is-a-date"),
        (line("70071"), "serial-of-two"),
        (line("70071", product="lanyard"), "serial-of-two"),  # likely is not sure
        (line("000412", tag="TW2"), "mark-of-another"),
        (line("555555", tag="TW2"), "mark-with-other-serial"),
        (line(tag="TW9"), "mark-of-two"),
        (line(tag="nobody"), "mark-not-ours"),
        (line(), "no-identity"),
        (line("12"), "serial-short"),
        (line("000412", maker="Orrin & Tull"), "maker-differs"),
        (line("000412", product="Slip 15"), "product-differs"),
        (line("000412", product="karabiner, steel"), "product-differs"),
        (line("000412", class_text="rope"), "product-differs"),
        (line("000412", made=span_of("month", 2022, month=1)), "made-differs"),
    ],
)
def test_what_is_not_sure_is_told_and_never_guessed(
    stated: Stated, code: str, register: Register
) -> None:
    found = matched(stated, register)
    assert not found.is_sure
    assert code in [problem.code for problem in found.problems]


def test_a_damaged_serial_leaves_the_item_its_mark_names_for_bad_news_alone(
    register: Register,
) -> None:
    found = matched(line(3e12, tag="TW1"), register)
    assert (found.item, found.is_sure) == (RIDGE, False)


def test_a_number_that_is_also_the_end_of_a_serial_with_zeros_means_neither(
    register: Register,
) -> None:
    both = register_of(
        [RIDGE, Held(pk=9, code="FFFF", serial="412", maker="M", product="P", class_slug="rope")],
        {},
    )
    assert matched(line(412), both).problems[0].code == "serial-of-two"
    as_text = matched(line("412", maker="M"), both)
    assert as_text.item is not None
    assert as_text.item.pk == 9


@given(st.text("0123456789OILAB-/ ", min_size=1, max_size=12))
def test_whatever_is_surely_meant_has_the_very_serial_stated(serial: str) -> None:
    found = matched(line(serial), register_of(ITEMS, MARKS))
    if found.is_sure and found.item:
        strip = str.maketrans("", "", "-/ ")
        assert found.item.serial.translate(strip) == serial.upper().translate(strip)


@pytest.mark.parametrize(
    ("words", "verdict"),
    [
        *((words, "pass") for words in ("PASS", "Passed", "OK", "Satisfactory", "✓", "fit for use", "Safe to use", "No defects found", "pozytywny", "Dopuszczony do użytkowania", "bez uwag", "zdatny", "Tak")),
        *((words, "pass-with-conditions") for words in ("Pass with observations", "conditional", "warunkowo dopuszczony")),
        *((words, "fail") for words in ("FAIL", "failed, was ok", "Reject", "U/S", "Not fit", "not OK", "condemned", "Quarantined", "DO NOT USE", "negatywny", "niedopuszczony", "nie dopuszczono", "Nie nadaje się", "wycofać z użytkowania", "złom", "✗")),
        *((words, "refer") for words in ("Refer", "return to manufacturer", "repair required", "do naprawy", "skierowano do producenta")),
        *((words, "not-presented") for words in ("Not presented", "missing", "not seen", "nie okazano")),
        *((words, "") for words in ("", "A", "see note", "not", "nie", "minor defect", "Pass - defect noted", "x", "no", "12", "bdb?")),
    ],
)  # fmt: skip
def test_the_words_for_a_verdict(words: str, verdict: str) -> None:
    assert verdict_of(words) == verdict


def test_the_words_for_a_kind_and_a_grade() -> None:
    kinds = ("LOLER thorough examination", "Annual", "przegląd okresowy", "proof load test", "?")
    assert [kind_of(words) for words in kinds] == [
        *("thorough-examination", "detailed", "detailed", "installation", ""),
    ]
    assert [grade_of(words) for words in ("A", "could become a danger", "obs", "")] == [
        *("A", "B", "C", ""),
    ]
