"""What bringing in a workbook would do, line by line, before it is done."""

from collections.abc import Sequence
from datetime import date, timedelta

import pytest

from register.intake.choices import Choices
from register.intake.columns import guess
from register.intake.keys import item_key, name_key, near_key, product_key
from register.intake.known import Known, known_from
from register.intake.plan import Plan, plan_rows
from register.intake.reading import Cell, Sheet, Sheets
from register.intake.rows import Row
from register.intake.survey import guess_sheets
from register.intake.wording import CODES, place_told, problem_told, row_told
from register.rules.lifespan import add_months, span_of

DAY = date(2026, 11, 25)
HEADINGS = ("Tag", "Class", "Maker", "Model", "Serial", "Made", "Last inspected", "Due", "Status")
GOOD = ("TW-1", "harness", "Orrin & Tull", "Ridgeline 2", "000398", "Mar-24", date(2026, 5, 4))


def line(**changes: Cell) -> tuple[Cell, ...]:
    """GOOD, with some columns by name otherwise."""
    names = ("tag", "kind", "maker", "model", "serial", "made", "last", "due", "status")
    cells: dict[str, Cell] = dict(zip(names, (*GOOD, None, "OK"), strict=True))
    return tuple((cells | changes)[name] for name in names)


def other(number: int, **changes: Cell) -> tuple[Cell, ...]:
    own: dict[str, Cell] = {"tag": f"TW-{number}", "serial": f"{number:06d}"}
    return line(**own | changes)


def sheets_of(**named: Sequence[tuple[Cell, ...]]) -> Sheets:
    """Sheets with HEADINGS on line 1, so that the first line given is line 2."""
    held = {name: (HEADINGS, *rows) for name, rows in named.items()}

    def open_sheet(name: str) -> Sheet:
        return Sheet(name, len(held[name]), lambda: iter(held[name]))

    return Sheets("xlsx", tuple(held), open_sheet)


def plan_of(
    *rows: tuple[Cell, ...],
    choices: Choices | None = None,
    known: Known | None = None,
    **more: Sequence[tuple[Cell, ...]],
) -> Plan:
    sheets = sheets_of(Quay=rows, **more)
    return plan_rows(sheets, guess_sheets(sheets), choices or Choices(on=DAY), known or Known())


def told(plan: Plan) -> list[tuple[str, list[str]]]:
    return [(row.outcome, [problem.code for problem in row.problems]) for row in plan.rows]


def known_of(plan: Plan) -> Known:
    return known_from((row.key, row.particulars) for row in plan.of("new"))


def test_a_good_line_becomes_a_row_with_its_place() -> None:
    (row,) = plan_of(line()).rows
    assert (row.sheet, row.line, row.outcome, row.site) == ("Quay", 2, "new", "Quay")
    assert (row.tag, row.class_slug, row.serial) == ("TW-1", "harness", "000398")
    assert (row.made, row.last_inspected_on) == (
        span_of("month", 2024, month=3),
        date(2026, 5, 4),
    )
    assert (row.condition, row.problems, row.notes) == ("in-service", (), ())


def test_the_same_file_twice_changes_nothing() -> None:
    rows = [line(), other(2), other(3, serial="3E+12"), other(4, made=None)]
    first = plan_of(*rows)
    second = plan_of(*rows, known=known_of(first))
    assert first.counts == {"new": 3, "same": 0, "differs": 0, "twice": 0, "bad": 1}
    assert second.counts == {"new": 0, "same": 3, "differs": 0, "twice": 0, "bad": 1}
    assert list(second.chunks()) == []


def test_a_known_item_with_other_particulars_is_listed_and_not_changed() -> None:
    known = known_of(plan_of(line(), other(2)))
    later = plan_of(line(last=date(2026, 6, 1), kind="krab"), other(2, made="2023"), known=known)
    assert [row.differs for row in later.rows] == [("last_inspected_on",), ("made",)]
    assert later.counts["differs"] == 2


def test_a_workbook_older_than_the_register_differs_in_nothing() -> None:
    known = known_of(plan_of(line(last=date(2026, 10, 1))))
    assert plan_of(line(last=date(2026, 5, 4)), known=known).counts["same"] == 1
    assert plan_of(line(made=None, last=None), known=known).counts["same"] == 1


def test_a_serial_typed_otherwise_is_still_the_known_item() -> None:
    known = known_of(plan_of(line(serial="AB-0412/7")))
    plan = plan_of(line(serial="ab 04127", maker="ORRIN & TULL", model="ridgeline-2"), known=known)
    assert plan.counts["same"] == 1


def test_one_item_twice_with_the_same_particulars_goes_in_once() -> None:
    plan = plan_of(line(), other(2), line())
    assert told(plan) == [("new", []), ("new", []), ("twice", [])]
    assert "line 2" in problem_told(plan.rows[2].notes[0])


def test_one_item_on_two_sheets_stays_out_on_both() -> None:
    plan = plan_of(line(), Viaduct=[other(5), line()])
    assert told(plan) == [("bad", ["twice-differs"]), ("new", []), ("bad", ["twice-differs"])]
    assert plan.rows[0].problems[0].facts["other_sheet"] == "Viaduct"
    assert plan.rows[2].problems[0].facts["other_line"] == 2


def test_one_mark_on_two_items_lets_neither_in() -> None:
    assert told(plan_of(line(), other(2, tag="tw 1"))) == [("bad", ["tag-twice"])] * 2


def test_a_mark_the_register_gave_to_another_item_is_not_given_again() -> None:
    known = known_of(plan_of(line()))
    assert told(plan_of(other(2, tag="TW-1"), known=known)) == [("bad", ["tag-taken"])]


@pytest.mark.parametrize("typed", ["O00398", "0000398", "00398"])
def test_a_serial_one_misreading_away_is_never_made_a_second_item(typed: str) -> None:
    in_file = plan_of(line(), line(tag="TW-2", serial=typed))
    in_register = plan_of(line(tag="TW-2", serial=typed), known=known_of(plan_of(line())))
    assert told(in_file) == [("bad", ["near-match"])] * 2
    assert told(in_register) == [("bad", ["near-match-known"])]


def test_a_serial_somebody_read_off_the_label_is_not_doubted_again() -> None:
    known = known_of(plan_of(line()))
    sure = Choices(on=DAY, confirmed_serials=frozenset({"O00398", "412"}))
    assert told(plan_of(line(tag="a", serial="O00398"), choices=sure, known=known)) == [("new", [])]
    assert told(plan_of(line(tag="b", serial=412.0), choices=sure, known=known)) == [("new", [])]


def test_a_number_among_serials_that_begin_with_0_stays_out() -> None:
    plan = plan_of(line(), line(tag="a", serial=412.0), line(tag="b", serial=412398.0))
    assert told(plan) == [("new", []), ("bad", ["serial-zeros-lost"]), ("new", [])]
    assert plan.rows[1].problems[0].facts == {"value": "412", "peer": "000398"}


def test_the_register_knows_of_the_zeros_when_the_file_does_not() -> None:
    known = known_of(plan_of(line()))
    plan = plan_of(line(tag="a", serial=412.0), known=known)
    assert told(plan) == [("bad", ["serial-zeros-lost"])]


def test_a_number_of_another_product_is_taken_with_a_note() -> None:
    plan = plan_of(line(), line(tag="a", model="Crown", serial=412.0))
    assert [note.code for note in plan.rows[1].notes] == ["serial-was-number"]
    assert plan.counts["new"] == 2


def test_the_order_of_day_and_month_is_asked_once_and_never_guessed() -> None:
    rows = [line(last="03/04/2026"), other(2, last="04/05/26"), other(3)]
    asked = plan_of(*rows)
    answered = plan_of(*rows, choices=Choices(on=DAY, date_order="month-first"))
    assert (asked.order, asked.must_ask_order) == ("ambiguous", True)
    assert told(asked) == [("bad", ["date-ambiguous"])] * 2 + [("new", [])]
    assert answered.rows[0].last_inspected_on == date(2026, 3, 4)
    assert (answered.must_ask_order, answered.counts["new"]) == (False, 3)


def test_one_date_that_can_be_only_one_settles_the_file() -> None:
    plan = plan_of(line(last="03/04/2026"), Viaduct=[other(2, last="25/05/2026")])
    assert (plan.order, plan.order_used) == ("day-first", "day-first")
    assert plan.rows[0].last_inspected_on == date(2026, 4, 3)


def test_an_item_of_unknown_age_goes_in_to_be_quarantined() -> None:
    plan = plan_of(line(made=None), other(2, made="?"), other(3))
    assert [row.age_not_established for row in plan.rows] == [True, True, False]
    assert plan.counts["new"] == 3


def test_a_typed_due_date_is_compared_and_never_used() -> None:
    rows = [
        line(due=date(2027, 5, 4)),
        other(2, due="May 2027"),
        other(3, due=date(2027, 8, 1)),
        other(4, due=date(2027, 5, 4), last=None),
        other(5, due="ask Huw"),
    ]

    def due_of(row: Row) -> date | None:
        return add_months(row.last_inspected_on, 12) if row.last_inspected_on else None

    sheets = sheets_of(Quay=rows)
    plan = plan_rows(sheets, guess_sheets(sheets), Choices(on=DAY), due_of=due_of)
    assert [(one.line, one.computed) for one in plan.differences] == [
        (4, date(2027, 5, 4)),
        (5, None),
    ]
    assert plan.counts["new"] == 5
    assert [row.notes[-1].code for row in plan.rows if row.notes] == [
        "due-differs",
        "due-differs",
        "typed-due-unreadable",
    ]


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"serial": None}, ["serial-missing"]),
        ({"serial": 3e12}, ["serial-eaten"]),
        ({"model": None}, ["product-missing"]),
        ({"maker": "n/a"}, ["maker-missing"]),
        ({"kind": "thing", "model": "Thing 2"}, ["class-unknown"]),
        ({"made": "31/02/2024"}, ["date-impossible"]),
        ({"last": DAY + timedelta(days=1)}, ["date-ahead"]),
        ({"last": date(2024, 2, 1)}, ["dates-out-of-order"]),
        ({"made": "03/04", "serial": "3E+12"}, ["serial-eaten", "date-no-year"]),
    ],
)
def test_a_bad_line_stays_with_all_its_reasons(changes: dict[str, Cell], codes: list[str]) -> None:
    assert told(plan_of(line(**changes))) == [("bad", codes)]


def test_an_inspection_on_the_day_of_the_import_is_not_ahead() -> None:
    assert plan_of(line(last=DAY)).counts["new"] == 1


def test_a_condition_not_understood_starts_quarantined_and_a_withdrawn_one_stays_so() -> None:
    plan = plan_of(line(status="see Huw"), other(2, status="scrapped"), other(3, status=None))
    assert [row.condition for row in plan.rows] == ["quarantined", "withdrawn", ""]


def test_lines_without_an_item_are_counted_and_not_refused() -> None:
    blank: tuple[Cell, ...] = (None,) * len(HEADINGS)
    total = ("Total 2 items", *blank[1:])
    plan = plan_of(line(), blank, HEADINGS, total, other(2))
    assert [(aside.line, aside.text[:5]) for aside in plan.asides] == [(4, "Tag C"), (5, "Total")]
    assert [row.line for row in plan.rows] == [2, 6]


def test_sites_and_classes_can_be_settled_for_the_whole_file() -> None:
    choices = Choices(
        on=DAY, sites={name_key("Quay"): "CQ"}, classes={name_key("Thing 2"): "pulley"}
    )
    plan = plan_of(line(kind=None, model="Thing 2"), choices=choices, Van=[other(2)])
    assert (plan.rows[0].site, plan.rows[0].class_slug) == ("CQ", "pulley")
    assert told(plan)[1] == ("bad", ["site-unknown"])


def test_the_catalogue_settles_the_class_of_a_known_product() -> None:
    known = Known(classes={product_key("Orrin & Tull", "Ridgeline 2"): "rescue-harness"})
    assert plan_of(line(), known=known).rows[0].class_slug == "rescue-harness"


def test_a_sheet_without_headings_or_not_wanted_is_left_out_and_named() -> None:
    choices = Choices(on=DAY, left_out=frozenset({"Old"}))
    sheets = sheets_of(Quay=[line()], Old=[other(2)])
    mapping = guess_sheets(sheets) | {"Notes": guess([("ring Huw",)])}
    plan = plan_rows(sheets, mapping, choices)
    assert (plan.left_out, len(plan.rows)) == (("Old",), 1)


def test_progress_is_told_and_chunks_hold_only_what_goes_in() -> None:
    rows = [other(n) for n in range(1, 2502)]
    sheets = sheets_of(Quay=[*rows, line(serial=None, tag=None)])
    steps: list[int] = []
    plan = plan_rows(
        sheets,
        guess_sheets(sheets),
        Choices(on=DAY),
        progress=lambda done, _of: steps.append(done),
    )
    assert steps == [1000, 2000]
    assert [len(chunk) for chunk in plan.chunks()] == [1000, 1000, 501]


def test_every_reason_has_a_sentence_that_names_the_place() -> None:
    rows = [line(serial=3e12), other(2, made="03/04", kind="thing", model="Thing"), line(maker="")]
    plan = plan_of(*rows)
    found = guess([HEADINGS, *rows])
    assert place_told(plan.rows[0]) == "Sheet “Quay”, line 2"
    assert row_told(plan.rows[0], found).startswith("Column E “Serial”: The serial has been turned")
    assert {p.code for row in plan.rows for p in (*row.problems, *row.notes)} <= CODES
    assert all("{" not in row_told(row, found) for row in plan.rows)


def test_keys_hold_alike_what_is_alike() -> None:
    key = item_key("Orrin & Tull", "Ridgeline 2", "00-O1 l")
    assert key == item_key("ORRIN&TULL", "ridgeline-2", "00O1L")
    assert near_key(key).serial == "11"
