"""One cell, one value: serials that were eaten and dates that could be two days."""

from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from register.intake.dates import DateTally, date_of, date_order
from register.intake.reading import Cell
from register.intake.values import length_of, mass_of, serial_of, stated, text_of
from register.rules.lifespan import UNKNOWN_SPAN, DateSpan, span_of

MARCH = span_of("month", 2026, month=3)
FOURTH = span_of("day", 2026, month=3, day=4)


@pytest.mark.parametrize(
    ("cell", "problem"),
    [
        (3000000000000.0, "serial-eaten"),
        (4.12e11, "serial-eaten"),
        ("4.12E+11", "serial-eaten"),
        ("3E+12", "serial-eaten"),
        (1234567890123456.0, "serial-too-long"),
        (412.5, "serial-with-decimals"),
        ("412.0", "serial-with-decimals"),
        (date(2026, 3, 4), "serial-is-a-date"),
        (None, "serial-missing"),
        ("?", "serial-missing"),
        ("  ", "serial-missing"),
    ],
)
def test_a_serial_that_was_eaten_is_not_believed(cell: Cell, problem: str) -> None:
    read = serial_of(cell)
    assert (read.value, read.problem) == ("", problem)


@pytest.mark.parametrize(
    ("cell", "serial", "note"),
    [
        ("000412", "000412", ""),
        ('="000412"', "000412", ""),
        ("'000412", "000412", ""),
        (" AB-12 / 7 ", "AB-12 / 7", ""),
        (80123456.0, "80123456", "serial-was-number"),
        (412, "412", "serial-was-number"),
        ("3E12", "3E12", "serial-like-exponent"),
        ("12345678901234567890", "12345678901234567890", ""),
    ],
)
def test_a_serial_kept_as_text_is_taken_as_marked(cell: Cell, serial: str, note: str) -> None:
    read = serial_of(cell)
    assert (read.value, read.problem, read.note) == (serial, "", note)


@pytest.mark.parametrize(
    ("cell", "span"),
    [
        (date(2026, 3, 4), FOURTH),
        (datetime(2026, 3, 4, 12, 30), FOURTH),  # noqa: DTZ001
        ("2026-03-04", FOURTH),
        ("2026-03-04 00:00:00", FOURTH),
        ("2026-03-04T00:00:00", FOURTH),
        ("2026/3/4", FOURTH),
        ("4 Mar 2026", FOURTH),
        ("4th March 2026", FOURTH),
        ("Wed 4 March 26", FOURTH),
        ("March 4, 2026", FOURTH),
        ("4-Mar-26", FOURTH),
        ("4. März 2026", FOURTH),
        ("4 mars 2026", FOURTH),
        ("4 marca 2026 r.", FOURTH),
        ("4 mar 2026", FOURTH),
        ("środa, 4 marca 2026", FOURTH),
        ("4 III 2026", FOURTH),
        ("4.III.2026", FOURTH),
        ("marzec 2026", MARCH),
        ("III 2026", MARCH),
        ("tydz. 14 2023", span_of("week", 2023, week=14)),
        ("brak", UNKNOWN_SPAN),
        ("nieczytelna", UNKNOWN_SPAN),
        (46085, FOURTH),  # a day number: 1 March 2026 is 46082
        (20260304.0, FOURTH),
        ("Mar-26", MARCH),
        ("March 2026", MARCH),
        ("03/2026", MARCH),
        ("3.2026", MARCH),
        ("2026-03", MARCH),
        ("03/26", MARCH),
        (202603, MARCH),
        ("2023", span_of("year", 2023)),
        (2023.0, span_of("year", 2023)),
        ("wk 14 2023", span_of("week", 2023, week=14)),
        ("2023-W14", span_of("week", 2023, week=14)),
        ("KW 14/2023", span_of("week", 2023, week=14)),
        ("week 14 23", span_of("week", 2023, week=14)),
        ("25/03/2026", span_of("day", 2026, month=3, day=25)),
        ("03/25/2026", span_of("day", 2026, month=3, day=25)),
        ("03/03/26", span_of("day", 2026, month=3, day=3)),
        (None, UNKNOWN_SPAN),
        ("n/a", UNKNOWN_SPAN),
        ("not marked", UNKNOWN_SPAN),
    ],
)
def test_a_date_that_can_be_only_one_is_read_without_asking(cell: Cell, span: DateSpan) -> None:
    assert (date_of(cell).value, date_of(cell).problem) == (span, "")


@pytest.mark.parametrize(
    ("cell", "problem"),
    [
        ("03/04/2026", "date-ambiguous"),
        ("3.4.26", "date-ambiguous"),
        ("03/04", "date-no-year"),
        ("26-Mar", "date-no-year"),
        ("31/02/2026", "date-impossible"),
        ("2026-13-01", "date-impossible"),
        ("13/2026", "date-impossible"),
        ("99/99/2026", "date-impossible"),
        ("wk 54 2023", "date-impossible"),
        ("4 Mar 1826", "date-impossible"),
        ("spring 2023", "date-unreadable"),
        ("ask Huw", "date-unreadable"),
        ("2026-03-04 or 2026-03-05", "date-unreadable"),
        (0.5, "date-unreadable"),
        (-3.0, "date-unreadable"),
    ],
)
def test_a_date_that_cannot_be_read_says_why(cell: Cell, problem: str) -> None:
    assert (date_of(cell).value, date_of(cell).problem) == (UNKNOWN_SPAN, problem)


def test_once_the_order_is_known_the_ambiguous_date_is_read_in_it() -> None:
    day_first, month_first = date_of("03/04/2026", "day-first"), date_of("03/04/26", "month-first")
    assert day_first.value == span_of("day", 2026, month=4, day=3)
    assert month_first.value == span_of("day", 2026, month=3, day=4)


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["25/03/2026", "03/04/2026"], "day-first"),
        (["03/25/2026", "03/04/2026"], "month-first"),
        (["03/04/2026", "5.6.26"], "ambiguous"),
        (["25/03/2026", "03/25/2026"], "mixed"),
        (["2026-03-04", "Mar-26", date(2026, 3, 25), None, 46085, "04/04/2026"], "plain"),
    ],
)
def test_the_order_of_a_file_is_proved_or_asked(cells: list[Cell], order: str) -> None:
    assert date_order(cells) == order


def test_true_dates_all_before_the_13th_beside_typed_ones_after_it_look_swapped() -> None:
    tally, honest = DateTally(), DateTally()
    for n in range(30):
        tally.see(date(2026, 1 + n % 12, 1 + n % 12))
        honest.see(date(2026, 1 + n % 12, 1 + n % 28))
    for one in (tally, honest):
        one.see("25/03/2026")
    assert (tally.may_be_swapped, honest.may_be_swapped) == (True, False)


days = st.dates(date(1970, 1, 1), date(2069, 12, 31))
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]


@settings(max_examples=150)
@given(days)
def test_any_day_reads_back_from_each_way_of_writing_it(day: date) -> None:
    span, month = DateSpan(day, day, "day"), MONTHS[day.month - 1]
    number = (day - date(1899, 12, 30)).days
    plain: list[Cell] = [day, number, f"{day}", f"{day:%Y%m%d}", f"{day.day} {month} {day.year}"]
    plain += [f"{month} {day.day}, {day.year}", f"{day.day:02d}-{month}-{day.year % 100:02d}"]
    assert {date_of(cell).value for cell in plain} == {span}
    assert date_of(f"{day:%d/%m/%Y}", "day-first").value == span
    assert date_of(f"{day:%m/%d/%y}", "month-first").value == span


@settings(max_examples=150)
@given(days, st.sampled_from(["/", ".", "-", " "]), st.booleans())
def test_a_numeric_day_is_read_right_or_asked_for(day: date, mark: str, month_first: bool) -> None:  # noqa: FBT001
    parts = (day.month, day.day) if month_first else (day.day, day.month)
    read = date_of(f"{parts[0]:02d}{mark}{parts[1]:02d}{mark}{day.year}")
    needs_asking = day.day <= 12 and day.day != day.month
    assert (read.problem, read.value.first) == (
        ("date-ambiguous", None) if needs_asking else ("", day)
    )


@given(days)
def test_a_month_a_week_and_a_year_read_back_with_their_precision(day: date) -> None:
    month, week = span_of("month", day.year, month=day.month), day.isocalendar()
    assert date_of(f"{MONTHS[day.month - 1]}-{day.year % 100:02d}").value == month
    assert date_of(f"{day:%m/%Y}").value == month
    assert date_of(str(day.year)).value == span_of("year", day.year)
    monday = day - timedelta(days=day.weekday())
    assert date_of(f"{week.year}-W{week.week:02d}").value.first == monday


@settings(max_examples=200)
@given(
    st.one_of(
        st.text(max_size=20),
        st.floats(allow_nan=False, allow_infinity=False),
        st.integers(-(10**9), 10**9),
        st.text(alphabet="0123456789/.- ", max_size=12),
    ),
    st.sampled_from(["", "day-first", "month-first"]),
)
def test_no_cell_makes_the_reader_fail(cell: Cell, order: str) -> None:
    read = date_of(cell, order)
    assert read.value == UNKNOWN_SPAN or not read.problem
    assert bool(serial_of(cell).value) != bool(serial_of(cell).problem)


def test_measures_are_read_in_the_units_people_use() -> None:
    lengths = [length_of(cell).value for cell in (2, "1,5 m", "150cm", "10 ft", "", "long")]
    assert lengths == [*map(Decimal, ("2.00", "1.50", "1.50", "3.04")), None, None]
    masses = [mass_of(cell).value for cell in (100.0, "140 kg", "310 lbs", "0.1t")]
    assert masses == [*map(Decimal, ("100.0", "140.0", "140.6", "100.0"))]
    assert (length_of("long").note, mass_of("heavy").note) == (
        "length-unreadable",
        "mass-unreadable",
    )


def test_a_cell_is_shown_as_people_see_it() -> None:
    cells: list[Cell] = [412.0, 1.5, " two\n lines ", date(2026, 3, 4), None]
    assert [text_of(cell) for cell in cells] == ["412", "1.5", "two lines", "2026-03-04", ""]
    assert [stated(cell) for cell in ("n/a", "-", "Unknown", "XL")] == ["", "", "", "XL"]


POLISH_MONTHS = (  # as the Unicode CLDR names them: abbreviated, alone, and in a date
    "sty styczeń stycznia", "lut luty lutego", "mar marzec marca", "kwi kwiecień kwietnia",
    "maj maj maja", "cze czerwiec czerwca", "lip lipiec lipca", "sie sierpień sierpnia",
    "wrz wrzesień września", "paź październik października", "lis listopad listopada",
    "gru grudzień grudnia",
)  # fmt: skip


def test_polish_months_are_read_in_each_form() -> None:
    found = [
        [date_of(f"25 {word} 2026").value for word in words.split()] for words in POLISH_MONTHS
    ]
    assert found == [[span_of("day", 2026, month=n, day=25)] * 3 for n in range(1, 13)]
