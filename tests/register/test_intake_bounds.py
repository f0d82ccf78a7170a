"""Files made to harm, or only mad: each ends in rows or in a sentence, within bounded memory."""

from __future__ import annotations

import struct
import zipfile
import zlib
from base64 import b85decode
from io import BytesIO

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from register.intake.dates import date_of
from register.intake.extent import MAX_COLUMNS
from register.intake.reading import Cells, read
from register.intake.unreadable import Unreadable
from register.intake.values import text_of
from register.intake.wording import unreadable_told

SHEET = "xl/worksheets/sheet1.xml"

# A workbook of the old kind, written once with xlwt 1.3: heads, then '0012' with a day and '3E12'.
OLD = zlib.decompress(
    b85decode(
        b"c-rk)O=uHA6#izCG-*uJw5EktD4}4~+CYCUUfO7(Mv#{J1BwWmnjA{gRF)#dgGOtPg5XK<Qm6+nRWJUa"
        b"2fcX^TI@j)ghY=XL{RY1c75+<SKC^l0WGxbx6GTFH}mbh-S_5acW$<>IQ6i(gjMK;3rl7-s+Q>#rE0qp"
        b"0=1ha7wz0f$#k%(Q0*f}R(bHO=Czl7$o?)t<AM7nN#G-;(>Ra8@oYM>f#?$(l8SBUA*pbOG(j|pRrMmz"
        b"iQF#ozVv)9a=&P<i|nDkMRf|Z@xiuzRurGqt<n|*-}kX_-ixLa4S2;-eEEhd_x0d_F_O$|vW6CS0Mj6c"
        b"Ceqoo!S!0)g&)WfVq;^mRH}$DIeQx4%?R+#p4BfRj(%hH3Z(zBQt$nX-bYSct-q<=Kpy5<nIr{lL(I)B"
        b"E*u`2SU`fKKoZUDV`&Z!4=|7%O&e}jq_dQDbaZwFfOm#5l8r<o#}_gg(suWEb`kMVGIJqmr2M@2%VH5)"
        b"u~^i|BnpsBp;pRuGL=GP?ZUmUZw7{k;%7vYmkpx4jqGHrVd4rih#W-OW?QxiW3R}oa@QSFZWbA)IHx>1"
        b")L<13PD-C^(i)|4x&`y`UCYY5sa*Jc<Vj26Q+yAVXA-50;hDGbDYVkImLfi1lW14%>h>+h)3}{0YsvW_"
        b"vgwcI$EQP<?WVO?)?$$-9HCBRxyElt{i<o}T`^m&!B)a{S^br;`Mq7zT+?Jz<D3?@UW2WL?XlQp&#=c_"
        b"nioDTcI9(l<_mqjx*m_XJ1w2R;fDhU4jede;J|@{Ee9pX(DI?1kCq<mSnsv|>nu`Qa(<I+SscYUT@&<C"
        b"*^eyc267d}Pa{0azL#1j$Npc)I6<Qu7{##IF<No_(r1}k{ygg@hW_0Ys&xFNO6>g4<NpNkjNwW"
    )
)


def rows_of(content: bytes, filename: str = "kit.xlsx") -> list[Cells]:
    return [row for sheet in read(content, filename) for row in sheet.rows()]


def code_of(content: bytes, filename: str = "kit.xlsx") -> str:
    with pytest.raises(Unreadable) as refused:
        rows_of(content, filename)
    assert unreadable_told(refused.value)
    return refused.value.code


def xlsx(cells: str, part: str = SHEET) -> bytes:
    """A workbook with these rows in its one sheet, which may stand under another name."""
    target, source = BytesIO(), BytesIO()
    with xlsxwriter.Workbook(source) as book:
        book.add_worksheet("Kit")
    with (
        zipfile.ZipFile(source) as plain,
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made,
    ):
        for name in plain.namelist():
            text = plain.read(name).decode()
            if name == SHEET:
                text = text.replace("<sheetData/>", f"<sheetData>{cells}</sheetData>")
            text = text.replace(SHEET.removeprefix("xl/"), part.removeprefix("xl/"))
            made.writestr(part if name == SHEET else name, text)
    return target.getvalue()


def test_the_least_workbook_reads() -> None:
    assert rows_of(xlsx('<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>2</v></c></row>')) == [
        (1, 2)
    ]


def test_two_cells_far_apart_are_not_laid_out_as_a_rectangle() -> None:
    far = (
        '<row r="1"><c r="A1"><v>1</v></c></row><row r="299999"><c r="CV299999"><v>2</v></c></row>'
    )
    assert code_of(xlsx(far)) == "too-many-cells"
    assert code_of(xlsx(far, part="xl/elsewhere.bin")) == "too-many-cells"


def test_a_line_of_a_million_cells_is_refused_with_or_without_their_places() -> None:
    assert code_of(xlsx("<row>" + "<c><v>1</v></c>" * 1_000 + "</row>")) == "too-wide"
    assert code_of(xlsx('<row r="1"><c r="BDWGN1"><v>1</v></c></row>')) == "too-far"
    assert code_of(("1," * 1_000_000).encode() + b"\n", "kit.csv") == "too-wide"


def test_a_csv_with_empty_columns_far_right_is_read() -> None:
    assert rows_of(b"a;b" + b";" * 5_000 + b"\n1;2\n", "kit.csv")[0][:2] == ("a", "b")
    assert len(rows_of(b"a;b" + b";" * 5_000 + b"\n", "kit.csv")[0]) == MAX_COLUMNS


def test_lines_that_end_as_of_old_are_counted_too() -> None:
    assert code_of(b"a;b\r" * 300_001, "kit.csv") == "too-long"


def test_text_that_only_begins_like_cells_takes_no_time() -> None:
    """Once the look for far cells went through the rest of the piece for each '<c '."""
    broken = xlsx("<c " * 300_000)
    assert code_of(broken) == "sheet-damaged"


def test_equal_rows_of_an_ods_count_as_often_as_they_stand_there() -> None:
    office = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
    table = "urn:oasis:names:tc:opendocument:xmlns:table:1.0"
    content = (
        f'<office:document-content xmlns:office="{office}" xmlns:table="{table}">'
        '<office:body><office:spreadsheet><table:table table:name="Kit">'
        '<table:table-row table:number-rows-repeated="299999">'
        '<table:table-cell table:number-columns-repeated="200" office:value-type="float"'
        ' office:value="1"/></table:table-row></table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    target = BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        made.writestr("content.xml", content)
    assert code_of(target.getvalue(), "kit.ods") == "too-many-cells"


def test_an_archive_that_lies_about_its_size_is_damaged() -> None:
    content = bytearray(xlsx("<row/>" + " " * 3_000_000))
    with zipfile.ZipFile(BytesIO(bytes(content))) as made:
        size = made.getinfo("xl/worksheets/sheet1.xml").file_size
    lying = bytes(content).replace(struct.pack("<L", size), struct.pack("<L", 100))
    assert lying != bytes(content)
    assert code_of(lying) == "damaged"


def test_an_old_workbook_reads_and_one_that_claims_the_last_cell_there_is_does_not() -> None:
    rows = rows_of(OLD, "kit.xls")
    assert [row[:2] for row in rows] == [
        ("Serial", "Maker"),
        ("0012", "Ørrin & Tüll"),
        ("3E12", "Halvard"),
    ]
    assert str(rows[1][2]) == "2026-03-04"
    cell = struct.pack("<HHHH", 0x0203, 14, 2, 2)  # NUMBER, 14 bytes, row 2, column 2
    assert OLD.count(cell) == 1
    far = OLD.replace(cell, struct.pack("<HHHH", 0x0203, 14, 65535, 65000))
    assert code_of(far, "kit.xls") == "damaged"


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("AB\x00 12", "AB 12"),
        ("\u202e21-BA\u202c", "21-BA"),
        ("\u200fسارة\u200f القحطاني", "سارة القحطاني"),
        ("Łukasz  Żak", "Łukasz Żak"),
        ("می\u200cخواهم", "می\u200cخواهم"),  # a joiner is part of how the name is written
        ("a\u0085b", "a b"),
        ("\ufeffSerial", "Serial"),
    ],
)
def test_marks_that_nobody_sees_are_left_out_and_letters_never(cell: str, text: str) -> None:
    assert text_of(cell) == text


@pytest.mark.parametrize(
    "text", ["0001-01-01", "01/01/0001", "31.12.9999", "9999-12-31", "1 Jan 1900"]
)
def test_days_of_no_world_are_told(text: str) -> None:
    assert date_of(text, "day-first").problem == "date-impossible"


@given(st.text(max_size=40))
def test_any_text_in_a_cell_of_days_is_a_day_or_a_problem(text: str) -> None:
    read_as = date_of(text, "day-first")
    assert read_as.problem or read_as.value.precision
