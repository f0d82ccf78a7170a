"""The workbook of what stayed out: to be put right and brought back."""

import zipfile
from collections import Counter
from datetime import date
from io import BytesIO

import xlsxwriter

from register.intake.choices import Choices
from register.intake.known import Known, known_from
from register.intake.leftover import ADDED, leftover
from register.intake.plan import Plan, plan_rows
from register.intake.reading import Cell, Cells, Sheets, read
from register.intake.rows import Row
from register.intake.specimen import DATE_ORDER, build_specimen
from register.intake.specimen_files import specimen_csv, specimen_xlsx
from register.intake.survey import guess_sheets
from register.intake.wording import row_told

DAY = date(2026, 11, 25)
HEADINGS = ("Serial", "Maker", "Model", "Class", "Made", "Remarks")


def planned(content: bytes, filename: str, known: Known) -> tuple[Sheets, Plan]:
    sheets = read(content, filename)
    choices = Choices(on=DAY, date_order=DATE_ORDER)
    return sheets, plan_rows(sheets, guess_sheets(sheets), choices, known)


def left_of(sheets: Sheets, plan: Plan) -> bytes:
    mapping = guess_sheets(sheets)
    return leftover(sheets, mapping, plan, lambda row: row_told(row, mapping[row.sheet]))


def known_of(plan: Plan) -> Known:
    return known_from((row.key, row.particulars) for row in plan.of("new"))


def workbook(*rows: Cells, name: str = "Quay") -> bytes:
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        page = book.add_worksheet(name)
        for line, row in enumerate((HEADINGS, *rows)):
            for column, cell in enumerate(row):
                if isinstance(cell, str):
                    page.write_string(line, column, cell)
                elif isinstance(cell, int | float):
                    page.write_number(line, column, cell)
    return target.getvalue()


def row(serial: Cell, made: str = "Mar-24", remarks: str = "") -> Cells:
    return (serial, "Orrin & Tull", "Ridgeline 2", "harness", made, remarks or None)


def codes(plan: Plan) -> Counter[str]:
    return Counter(problem.code for one in plan.rows for problem in one.problems)


def test_it_holds_each_bad_line_as_it_came_and_says_why() -> None:
    sheets, plan = planned(workbook(row("A1"), row("A2", "03/04")), "k.xlsx", Known())
    back = read(left_of(sheets, plan), "left.xlsx")
    headings, line = next(iter(back)).rows()
    assert back.names == ("Quay",)
    assert headings == (*HEADINGS, *ADDED)
    assert line[:7] == (*row("A2", "03/04"), 3)
    assert str(line[7]).startswith("Column E “Made”: 03/04 has no year")


def test_put_right_and_brought_back_it_goes_in_without_asking_for_columns() -> None:
    sheets, plan = planned(workbook(row("A1"), row("A2", "03/04")), "k.xlsx", Known())
    fixed = read(left_of(sheets, plan), "left.xlsx")
    cells = list(next(iter(fixed)).rows())[1]
    again = workbook_with(cells, fixed)
    _, second = planned(again, "left.xlsx", known_of(plan))
    assert second.counts == {"new": 1, "same": 0, "differs": 0, "twice": 0, "bad": 0}
    assert second.rows[0].serial == "A2"


def workbook_with(cells: Cells, came: Sheets) -> bytes:
    """The leftover with the made date typed in."""
    headings = next(iter(next(iter(came)).rows()))
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        page = book.add_worksheet("Quay")
        page.write_row(0, 0, headings)
        page.write_row(1, 0, [*cells[:4], "Apr 2024", *cells[5:]])
    return target.getvalue()


def test_brought_back_unchanged_all_of_it_stays_out_for_the_same_reasons() -> None:
    sheets, plan = planned(specimen_xlsx(build_specimen(DAY, 7)), "k.xlsx", Known())
    _, second = planned(left_of(sheets, plan), "left.xlsx", known_of(plan))
    assert codes(second) == codes(plan)
    assert second.counts["bad"] == plan.counts["bad"] == len(second.rows)
    assert {one.site for one in second.rows} == {one.site for one in plan.of("bad")}


def test_from_a_csv_too_an_eaten_serial_stays_eaten_until_somebody_types_it() -> None:
    sheets, plan = planned(specimen_csv(build_specimen(DAY, 7)), "k.csv", Known())
    _, second = planned(left_of(sheets, plan), "left.xlsx", known_of(plan))
    assert codes(second) == codes(plan)
    assert {one.site for one in second.rows} == {one.site for one in plan.of("bad")}


def test_a_second_round_keeps_only_its_own_line_and_reason() -> None:
    sheets, plan = planned(workbook(row("A2", "03/04")), "k.xlsx", Known())
    second = planned(left_of(sheets, plan), "left.xlsx", Known())
    third = read(left_of(*second), "left.xlsx")
    headings, line = next(iter(third)).rows()
    assert headings == (*HEADINGS, *ADDED)
    assert (len(line), line[6]) == (8, 2)


def test_no_cell_runs_as_a_formula() -> None:
    risky = ["=1+1", "+1", "-1", "@SUM(A1)", '=HYPERLINK("x","y")', "{=1}", "http://x", "\t=1"]
    lines = [row(f"A{n}", "03/04", text) for n, text in enumerate(risky)]
    sheets, plan = planned(workbook(*lines), "k.xlsx", Known())
    content = left_of(sheets, plan)
    rows = list(next(iter(read(content, "left.xlsx"))).rows())[1:]
    assert [cells[5] for cells in rows] == risky
    assert b"<f>" not in unpacked(content)


def unpacked(content: bytes) -> bytes:
    with zipfile.ZipFile(BytesIO(content)) as archive:
        return b"".join(archive.read(name) for name in archive.namelist())


def test_nothing_bad_gives_a_workbook_that_says_so() -> None:
    sheets, plan = planned(workbook(row("A1")), "k.xlsx", Known())
    assert list(next(iter(read(left_of(sheets, plan), "l.xlsx"))).rows()) == [
        ("Nothing stayed out",)
    ]


def test_each_reason_is_told() -> None:
    def reason(_row: Row) -> str:
        return "because"

    sheets, plan = planned(workbook(row(3e12)), "k.xlsx", Known())
    content = leftover(sheets, guess_sheets(sheets), plan, reason)
    assert list(next(iter(read(content, "l.xlsx"))).rows())[1][7] == "because"
