"""Which items a notice means: serials in natural order, rough made dates, and nothing let slip."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from inspections.notice_wording import doubt_words
from inspections.rules.notice_match import Match, Piece, ProductName, Rule, match
from inspections.rules.serial_order import RangeProblem, SerialRange, read_range, read_ranges
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan, read_span

A_RANGE = SerialRange("A0990", "A1010")
DIGITS = SerialRange("990", "1010")


@pytest.mark.parametrize(
    ("asked", "serial", "inside"),
    [
        (A_RANGE, "A1O00", None),
        (A_RANGE, "AI000", None),
        (DIGITS, "1OOO", None),
        (SerialRange("SB100", "SB200"), "5B150", None),
        (SerialRange("SB100", "SB200"), "S8150", None),
        (SerialRange("5100", "5200"), "S150", None),
        (SerialRange("B7", "B7"), "87", None),
        (SerialRange("A0990", "B0010"), "C0005", False),
        (A_RANGE, "A5OOO", False),  # however it is read
        (SerialRange("SB100", "SB200"), "SB250", False),
        (SerialRange("SB100", "SB200"), "SB150", True),
    ],
)
def test_a_letter_that_may_be_a_misread_digit_is_never_a_plain_no(
    asked: SerialRange, serial: str, *, inside: bool | None
) -> None:
    assert asked.contains(serial) is inside


def test_a_batch_that_may_be_misread_is_possibly_meant() -> None:
    rule = Rule(products=(ProductName("Orla"),), batches=frozenset({"B0S1"}))
    assert match(rule, Piece(batch="8051")) == Match("possible", (("batch-unlike", "8051"),))
    assert match(rule, Piece(batch="8052")) == Match("none")


@pytest.mark.parametrize(
    ("asked", "serial", "inside"),
    [
        (A_RANGE, "A0990", True),
        (A_RANGE, "A1010", True),
        (A_RANGE, "a-1000", True),
        (A_RANGE, "A990", True),  # the zero left out
        (A_RANGE, "A0989", False),
        (A_RANGE, "A1011", False),
        (A_RANGE, "B1000", False),
        (A_RANGE, "1000", None),  # the letter left out?
        (A_RANGE, "4401", False),
        (A_RANGE, "A1000B", None),
        (A_RANGE, "", None),
        (A_RANGE, "--", None),
        (DIGITS, "0990", True),
        (DIGITS, "1000", True),
        (DIGITS, "01011", False),
        (SerialRange("A0990", "B0010"), "A5000", True),
        (SerialRange("A0990", "B0010"), "B0011", False),
        (SerialRange("A0990", "B0010"), "AB0005", None),  # letters counted, or as in a dictionary?
        (SerialRange("Z900", "AA100"), "Z950", None),
        (SerialRange("HT-04-0990", "HT-04-1010"), "HT-04-990", True),
        (SerialRange("HT-04-0990", "HT-04-1010"), "HT041000", True),
        (SerialRange("HT-04-0990", "HT-04-1010"), "HT04990", None),
        (SerialRange("HT-04-0990", "HT-04-1010"), "HT-05-1000", False),
        (SerialRange("A2000", ""), "A2000", True),
        (SerialRange("A2000", ""), "A1999", False),
        (SerialRange("", "A0100"), "A0100", True),
        (SerialRange("", "A0100"), "A0101", False),
        (SerialRange("B7", "B7"), "B-07", True),
        (SerialRange("B7", "B7"), "B8", False),
    ],
)
def test_a_serial_lies_in_a_range_or_not_or_that_stays_open(
    asked: SerialRange, serial: str, *, inside: bool | None
) -> None:
    assert asked.contains(serial) is inside


@given(
    st.sampled_from(["", "A", "HT", "X"]),
    st.tuples(*[st.integers(0, 3000)] * 3),
    st.integers(0, 6),
)
def test_of_one_prefix_the_number_alone_decides_whatever_zeros_stand_before_it(
    prefix: str, numbers: tuple[int, int, int], zeros: int
) -> None:
    first, last, at = numbers
    assume(first <= last)
    asked = SerialRange(f"{prefix}{first:04}", f"{prefix}{last:04}")
    assert asked.contains(f"{prefix}{'0' * zeros}{at}") is (first <= at <= last)


@given(st.from_regex(r"[A-C]{1,2}[0-9]{3}", fullmatch=True), st.integers(1, 5))
def test_where_all_are_of_one_width_the_order_of_the_letters_decides(at: str, span: int) -> None:
    low, high = f"{'A' * (len(at) - 3)}500", f"{'B' * (len(at) - 3)}{span}00"
    assert SerialRange(low, high).contains(at) is (low <= at <= high)


@pytest.mark.parametrize(
    ("line", "ends"),
    [
        ("A0990 to A1010", ("A0990", "A1010")),
        ("A0990..A1010", ("A0990", "A1010")),
        ("A-0990 – A-1010", ("A-0990", "A-1010")),
        ("from A2000", ("A2000", "")),
        ("to A0100", ("", "A0100")),
        ("up to A0100", ("", "A0100")),
        ("from A0990 to A1010", ("A0990", "A1010")),
        ("A0990 through A1010", ("A0990", "A1010")),
        ("A0990 do A1010", ("A0990", "A1010")),
        ("od A0990 do A1010", ("A0990", "A1010")),
        ("od A2000", ("A2000", "")),
        ("do A0100", ("", "A0100")),
        ("HT-04-0990", ("HT-04-0990", "HT-04-0990")),
        ("AB-TO-12", ("AB-TO-12", "AB-TO-12")),
    ],
)
def test_a_range_is_read_as_people_write_it(line: str, ends: tuple[str, str]) -> None:
    found = read_range(line)
    assert (found.begin, found.end) == ends
    assert read_range(str(found)) == found


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("A1010 to A0990", "reversed"),
        ("A100 to 200", "unlike"),
        ("A100 to B20C", "unlike"),
        ("---", "empty"),
        ("A100, A200", "several"),
        ("A100 and A200", "several"),
        ("A100 oraz A200", "several"),
        ("A100 until A200", "several"),
        ("A100 to A200 to A300", "several"),
        ("9" * 200, "too-long"),
    ],
)
def test_a_range_that_makes_no_sense_is_refused_with_its_line(line: str, code: str) -> None:
    with pytest.raises(RangeProblem) as refused:
        read_ranges(f"A1\n{line}\n")
    assert refused.value.code == code


MADE = Rule(made_from_on=date(2023, 1, 1), made_through_on=date(2023, 8, 31))


@pytest.mark.parametrize(
    ("made", "certainty", "words"),
    [
        ("2023-08-31", "certain", ""),
        ("2023-09-01", "none", ""),
        ("2023-08", "certain", ""),
        ("2023-W35", "possible", "made date known only to the week"),
        ("2023", "possible", "made date known only to the year"),
        ("2022", "none", ""),
        ("", "possible", "made date not known"),
    ],
)
def test_the_whole_span_of_a_made_date_is_looked_at(made: str, certainty: str, words: str) -> None:
    told = match(MADE, Piece(made=read_span(made)))
    assert (told.certainty, doubt_words(told.doubts)) == (certainty, words)


def test_everything_that_is_missing_is_said() -> None:
    rule = Rule(
        serials=(A_RANGE,),
        batches=frozenset({"B7"}),
        sold_from_on=date(2023, 1, 1),
        made_from_on=date(2023, 1, 1),
    )
    assert doubt_words(match(rule, Piece()).doubts) == (
        "no serial on record; batch not recorded; made date not known; day of purchase not recorded"
    )
    assert doubt_words(match(rule, Piece(serial="1000")).doubts).startswith(
        "serial 1000 is written to another pattern than those of the notice"
    )


def test_a_product_is_known_however_it_is_spelt_and_a_maker_alone_means_all_models() -> None:
    rule = Rule(products=(ProductName("Orla Ltd.", "Heron 2"), ProductName("Brack")))
    assert rule.names("ORLA LTD", "heron-2")
    assert rule.names("Brack", "anything")
    assert not rule.names("Orla Ltd", "Heron 3")


spans = st.builds(
    lambda first, days: DateSpan(first, first + timedelta(days=days), "month"),
    st.dates(date(2022, 1, 1), date(2024, 12, 31)),
    st.integers(0, 60),
) | st.just(UNKNOWN_SPAN)
days = st.none() | st.dates(date(2022, 1, 1), date(2024, 12, 31))
serials = st.sampled_from(["", "A0990", "A1000", "A1011", "B7"])
batches = st.sampled_from(["", "7", "8"])
pieces = st.builds(Piece, serial=serials, batch=batches, made=spans, purchased_on=days)
rules = st.builds(
    Rule,
    serials=st.sampled_from([(), (A_RANGE,), (A_RANGE, SerialRange("B7", "B7"))]),
    batches=st.sampled_from([frozenset(), frozenset({"7"})]),
    made_from_on=days,
    made_through_on=days,
    sold_from_on=days,
    sold_through_on=days,
)


@st.composite
def known_better(draw: st.DrawFn) -> tuple[Piece, Piece]:
    """A piece, and the same of which more is known: what was known stays true."""
    one = draw(pieces)
    made = one.made
    if made.first is None:
        day = draw(st.dates(date(2022, 1, 1), date(2024, 12, 31)))
    else:
        day = made.first + timedelta(days=draw(st.integers(0, (made.last - made.first).days)))  # type: ignore[operator]
    better = Piece(
        serial=one.serial or draw(serials),
        batch=one.batch or draw(batches),
        made=draw(st.sampled_from([made, DateSpan(day, day, "day")])),
        purchased_on=one.purchased_on or draw(days),
    )
    return one, better


@given(rules, known_better())
@example(MADE, (Piece(), Piece(made=read_span("2023-02-01"))))
def test_knowing_more_moves_only_what_was_possible(rule: Rule, both: tuple[Piece, Piece]) -> None:
    """So 'not meant' is never said where some completion of what is unknown would be meant."""
    less, more = both
    before, after = match(rule, less).certainty, match(rule, more).certainty
    assert before in ("possible", after)


@given(rules, pieces)
def test_a_possible_match_always_says_what_is_missing(rule: Rule, piece: Piece) -> None:
    told = match(rule, piece)
    assert bool(told.doubts) is (told.certainty == "possible")


fully_known = st.builds(
    Piece,
    serial=serials.filter(bool),
    batch=batches.filter(bool),
    made=days.filter(bool).map(lambda day: DateSpan(day, day, "day")),
    purchased_on=days.filter(bool),
)


@given(rules, fully_known)
def test_of_a_piece_fully_known_nothing_is_left_open(rule: Rule, piece: Piece) -> None:
    assert match(rule, piece) in (Match("certain"), Match("none"))
