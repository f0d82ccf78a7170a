"""The untidy workbook: every kind of mess in known numbers, and the plan finds just those."""

from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from register.intake.choices import Choices
from register.intake.columns import Guess
from register.intake.known import known_from
from register.intake.plan import Plan, plan_rows
from register.intake.reading import Sheets, read
from register.intake.rows import Row
from register.intake.specimen import DATE_ORDER, MONTHS_BETWEEN, Mess, build_specimen
from register.intake.specimen_files import specimen, specimen_csv, specimen_xlsx
from register.intake.specimen_stock import SITES
from register.intake.survey import guess_sheets
from register.rules.classes import CLASSES
from register.rules.lifespan import add_months

DAY = date(2026, 11, 25)


def due_of(row: Row) -> date | None:
    return add_months(row.last_inspected_on, MONTHS_BETWEEN) if row.last_inspected_on else None


def planned(content: bytes, filename: str = "register.xlsx") -> tuple[Sheets, Plan]:
    sheets = read(content, filename)
    choices = Choices(on=DAY, date_order=DATE_ORDER)
    return sheets, plan_rows(sheets, guess_sheets(sheets), choices, due_of=due_of)


@pytest.mark.parametrize(("seed", "rows"), [(7, 600), (1, 600), (2, 120), (3, 1500)])
def test_the_plan_finds_all_the_mess_and_nothing_else(seed: int, rows: int) -> None:
    made = build_specimen(DAY, seed, rows)
    _, plan = planned(specimen_xlsx(made))
    mess: Mess = made.mess
    codes = Counter(problem.code for row in plan.rows for problem in row.problems)
    assert codes == {
        "serial-eaten": mess.eaten,
        "serial-zeros-lost": mess.zeros_lost,
        "date-impossible": mess.impossible,
        "date-no-year": mess.no_year,
        "serial-missing": mess.no_serial,
        "twice-differs": mess.two_sheets,
        "tag-twice": mess.tag_twice,
    }
    assert plan.counts == {
        "new": rows - mess.bad - mess.twice,
        "same": 0,
        "differs": 0,
        "twice": mess.twice,
        "bad": mess.bad,
    }
    assert len(plan.asides) == mess.asides
    assert len(plan.differences) == mess.due_differs


def test_the_firms_workbook_gives_about_550_items_on_five_sites_of_all_ages() -> None:
    _, plan = planned(specimen(DAY, 7))
    good = list(plan.of("new"))
    assert 530 <= len(good) <= 560
    assert plan.sites == tuple(sorted(name for name, *_ in SITES))
    assert {row.class_slug for row in good} <= set(CLASSES)
    assert sum(row.age_not_established for row in good) == 60
    assert {row.made.precision for row in good} == {"day", "week", "month", "year", "unknown"}
    assert {"withdrawn", "quarantined", "in-service"} <= {row.condition for row in good}


def test_every_heading_of_the_five_sheets_is_understood() -> None:
    guesses: list[Guess] = list(guess_sheets(read(specimen(DAY, 7), "r.xlsx")).values())
    assert [one.confidence for one in guesses] == [1.0] * 5
    assert len({one.header_row for one in guesses}) == 5


def test_the_order_of_its_dates_has_to_be_asked() -> None:
    sheets = read(specimen(DAY, 7), "r.xlsx")
    plan = plan_rows(sheets, guess_sheets(sheets), Choices(on=DAY))
    assert (plan.order, plan.must_ask_order) == ("ambiguous", True)
    assert sum(1 for row in plan.of("bad")) > 100


def test_brought_in_a_second_time_it_changes_nothing() -> None:
    sheets, plan = planned(specimen(DAY, 7))
    known = known_from((row.key, row.particulars) for row in plan.of("new"))
    choices = Choices(on=DAY, date_order=DATE_ORDER)
    again = plan_rows(sheets, guess_sheets(sheets), choices, known)
    counts = plan.counts
    assert again.counts == {
        "new": 0,
        "same": counts["new"],
        "differs": 0,
        "twice": counts["twice"],
        "bad": counts["bad"],
    }


def test_the_same_seed_makes_the_same_workbook_and_another_day_moves_it() -> None:
    assert build_specimen(DAY, 7) == build_specimen(DAY, 7)
    assert build_specimen(DAY, 7) != build_specimen(DAY, 8)
    assert build_specimen(DAY, 7) != build_specimen(date(2026, 11, 26), 7)


def test_as_a_csv_it_loses_no_more_than_a_csv_loses() -> None:
    made = build_specimen(DAY, 7)
    sheets, plan = planned(specimen_csv(made), "register.csv")
    codes = Counter(problem.code for row in plan.rows for problem in row.problems)
    assert (sheets.delimiter, sheets.encoding) == (";", "utf-8-sig")
    assert plan.sites == tuple(sorted(name for name, *_ in SITES))
    assert (codes["serial-eaten"], codes["serial-zeros-lost"]) == (
        made.mess.eaten,
        made.mess.zeros_lost,
    )
    assert plan.counts["bad"] == made.mess.bad


def test_the_command_writes_it(tmp_path: Path) -> None:
    target = tmp_path / "register.xlsx"
    call_command("make_workbook", str(target), on=DAY, seed=7)
    assert planned(target.read_bytes())[1].counts["bad"] == build_specimen(DAY, 7).mess.bad
    with pytest.raises(CommandError, match=r"\.xlsx or \.csv"):
        call_command("make_workbook", str(tmp_path / "register.doc"), on=DAY)
