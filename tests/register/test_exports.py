"""What is written is read back by libraries not of our making: csv, calamine (XLSX, ODS), odfpy."""

from __future__ import annotations

import csv
import io
import re
import shutil
import subprocess
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any
from zipfile import ZipFile
from zoneinfo import ZoneInfo

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from odf import opendocument, table, teletype
from python_calamine import CalamineWorkbook

from register.exports import columns, sizes, xlsx
from register.exports.columns import Column, Kind, Table
from register.exports.csvs import write_csv
from register.exports.neutral import SIGNS, exact, neutral
from register.exports.ods import write_ods
from register.exports.xlsx import write_xlsx
from register.refusal import Refusal

# What a spreadsheet would run, after OWASP's page on CSV injection, and what sheets spoil.
TEXTS = [
    "=1+1",
    "+441234",
    "-2+3",
    "@SUM(A1)",
    "\t=1+1",
    "\r=1+1",
    "＝1+1",
    "  =1+1",
    "a;=1+1",
    "a\n=1+1",
    "'=1+1",
    "0007",
    "1E5",
    "12345678901234567890",
    "2026-03-09",
    'said "no", then',
    "two  spaces and   three ",
    " led by a space",
    "line one\nline two",
    "zażółć gęślą jaźń",
    "_x0041_",
    "<b>&amp;</b>",
    "plain",
]
LONDON = datetime(2026, 7, 9, 14, 5, 6, tzinfo=ZoneInfo("Europe/London"))
COLUMNS = (
    columns.code("serial", "Serial", lambda row: row[0]),
    columns.number("length_m", "Length (m)", lambda row: row[1]),
    columns.day("due_on", "Due", lambda row: row[2]),
    columns.moment("told_at", "Told", lambda row: row[3]),
    columns.yes_no("usable", "Usable", lambda row: row[4]),
)
ABOUT = [("List", "=cmd|' /C calc'!A0"), ("Caution", "Being in date does not mean fit.")]


def rows() -> list[tuple[Any, ...]]:
    return [
        *((text, Decimal("1.50"), date(2026, 3, 9), LONDON, True) for text in TEXTS),
        (None, None, None, None, None),
        ("x", -5, date(1899, 12, 31), datetime(2026, 1, 1, tzinfo=UTC), False),
    ]


def written(write: Any, **particulars: Any) -> io.BytesIO:
    out = io.BytesIO()
    write(Table("Equipment: all/every [1]", COLUMNS, rows(), ABOUT), out, **particulars)
    out.seek(0)
    return out


def read(file: io.BytesIO) -> tuple[list[list[Any]], list[list[Any]]]:
    book = CalamineWorkbook.from_filelike(file)
    first, about = (book.get_sheet_by_index(place).to_python() for place in (0, 1))
    return first, about


def plain(text: str) -> str:
    """Sheets know one kind of line end, and ODS no tab."""
    return text.replace("\r", "\n").replace("\t", " ")


def cuts(text: str) -> list[str]:
    """The cells a spreadsheet could make of one text, by whatever it takes for a separator."""
    return re.split(r"[;\t\r\n]", text)


@given(st.text(alphabet=SIGNS + "';\t\r\n ab,\"\u00a0"))
@example("=1")
@example("'\t=1")
def test_no_part_of_a_neutral_text_begins_a_formula_and_the_text_comes_back(text: str) -> None:
    tame = neutral(text)
    assert not [part for part in cuts(tame) if part.lstrip(" \u00a0")[:1] in tuple(SIGNS)]
    assert tame[:1] not in ("\t", "\r", "\n")
    assert exact(tame) == text


def test_csv_gives_every_value_back_as_it_was() -> None:
    file = written(write_csv, for_programs=True)
    found = list(csv.DictReader(io.TextIOWrapper(file, encoding="utf-8", newline="")))
    assert [exact(row["serial"]) for row in found[: len(TEXTS)]] == TEXTS
    assert {name: found[0][name] for name in ("length_m", "due_on", "told_at", "usable")} == {
        "length_m": "1.50",
        "due_on": "2026-03-09",
        "told_at": "2026-07-09T14:05:06+01:00",
        "usable": "true",
    }
    assert set(found[len(TEXTS)].values()) == {""}


def test_csv_for_a_spreadsheet_begins_with_a_byte_order_mark_and_titles() -> None:
    assert written(write_csv).read().startswith(b'\xef\xbb\xbf"Serial","Length (m)"')
    assert written(write_csv, for_programs=True).read().startswith(b'"serial","length_m"')


def test_no_cell_of_a_csv_is_left_to_a_spreadsheet_as_a_formula() -> None:
    lines = list(csv.reader(io.StringIO(written(write_csv).read().decode("utf-8-sig"), newline="")))
    texts = [cell for line in lines for cell in line if not re.fullmatch(r"-?\d+(\.\d+)?", cell)]
    parts = [part for text in texts for part in cuts(text)]
    assert [part for part in parts if part.strip()[:1] in tuple(SIGNS)] == []


@pytest.mark.parametrize("write", [write_xlsx, write_ods])
def test_a_workbook_keeps_texts_as_texts_and_days_as_days(write: Any) -> None:
    first, about = read(written(write))
    assert first[0] == ["Serial", "Length (m)", "Due", "Told", "Usable"]
    told = [row[0] for row in first[1 : len(TEXTS) + 1]]
    assert [plain(text) for text in told] == [plain(text) for text in TEXTS]
    assert first[1][1:] == [1.5, date(2026, 3, 9), datetime(2026, 7, 9, 14, 5, 6), True]  # noqa: DTZ001
    assert about == [list(pair) for pair in ABOUT]


@pytest.mark.parametrize("write", [write_xlsx, write_ods])
def test_no_cell_of_a_workbook_is_a_formula(write: Any) -> None:
    with ZipFile(written(write)) as file:
        parts = [file.read(name).decode() for name in file.namelist() if name.endswith(".xml")]
    assert [
        part for part in parts if "<f>" in part or "<f " in part or "table:formula" in part
    ] == []


def test_the_head_of_a_workbook_stays_in_sight() -> None:
    with ZipFile(written(write_xlsx)) as file:
        assert '<pane ySplit="1"' in file.read("xl/worksheets/sheet1.xml").decode()
    with ZipFile(written(write_ods)) as file:
        said = file.read("settings.xml").decode()
        assert '"VerticalSplitPosition" config:type="int">1<' in said
        assert file.infolist()[0].filename == "mimetype"  # ODF 1.2, part 3, 3.3: first, not packed
        assert file.infolist()[0].compress_type == 0


def test_odfpy_reads_types_and_texts_of_an_ods() -> None:
    document = opendocument.load(written(write_ods))
    sheet = document.spreadsheet.getElementsByType(table.Table)[0]
    assert sheet.getAttribute("name") == "Equipment  all every  1"
    lines = sheet.getElementsByType(table.TableRow)
    cells = lines[1].getElementsByType(table.TableCell)
    kinds = [cell.getAttribute("valuetype") for cell in cells]
    assert kinds == ["string", "float", "date", "date", "boolean"]
    spaced = lines[1 + TEXTS.index("two  spaces and   three ")]
    first = spaced.getElementsByType(table.TableCell)[0]
    assert teletype.extractText(first) == "two  spaces and   three "


def test_what_no_sheet_holds_is_told_or_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    assert sizes.shortened("a\x00b") == "a�b"
    assert len(sizes.shortened("x" * 40_000)) == 32_767
    monkeypatch.setattr(xlsx, "MOST_ROWS", 3)
    with pytest.raises(Refusal, match="A sheet holds 3 rows"):
        written(write_xlsx)


def test_an_empty_list_is_a_file_with_its_head() -> None:
    for write in (write_csv, write_xlsx, write_ods):
        out = io.BytesIO()
        write(Table("Kits", COLUMNS, [], ABOUT), out)
        assert out.getvalue()


def test_a_path_that_breaks_off_is_not_known() -> None:
    column = Column("kit", "Kit", Kind.TEXT, columns.of("item.kit.name"))
    assert column.of(object()) is None


@pytest.mark.skipif(not shutil.which("soffice"), reason="LibreOffice is not installed")
@pytest.mark.parametrize("ending", ["xlsx", "ods"])
def test_a_spreadsheet_program_shows_the_texts_and_computes_nothing(
    ending: str, tmp_path: Path
) -> None:
    """LibreOffice opens the workbook and writes what its cells show."""
    write = write_xlsx if ending == "xlsx" else write_ods
    (tmp_path / f"list.{ending}").write_bytes(written(write).read())
    profile = f"-env:UserInstallation=file://{tmp_path}/profile"
    asked = [
        "soffice",
        profile,
        "--headless",
        "--convert-to",
        "csv:Text - txt - csv (StarCalc):44,34,76",
    ]
    run = [*asked, "--outdir", str(tmp_path), f"list.{ending}"]
    subprocess.run(run, cwd=tmp_path, check=True, capture_output=True, timeout=120)
    text = (tmp_path / "list.csv").read_text(encoding="utf-8")
    found = list(csv.reader(io.StringIO(text, newline="")))
    told = [plain(row[0]) for row in found[1 : len(TEXTS) + 1]]
    assert told == [plain(text) for text in TEXTS]
    assert found[1][2:4] == ["2026-03-09", "2026-07-09 14:05"]
