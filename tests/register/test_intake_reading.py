"""Files as they come: kinds, encodings, delimiters, and what is refused."""

import random
import zipfile
from datetime import date, datetime
from io import BytesIO

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

from register.intake.reading import Cells, read
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told

TABLE = (("Serial", "Maker"), ("0012", "Ørrin & Tüll"), ("3E12", "Halvard"))


def rows_of(content: bytes, filename: str = "kit.csv") -> list[Cells]:
    return list(next(iter(read(content, filename))).rows())


def code_of(content: bytes, filename: str = "kit.xlsx") -> str:
    with pytest.raises(Unreadable) as refused:
        [list(sheet.rows()) for sheet in read(content, filename)]
    return refused.value.code


def xlsx(**options: str) -> bytes:
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        page = book.add_worksheet("Kit")
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        page.merge_range("B1:D1", "HARNESS REGISTER v14 FINAL")
        page.write_row("B3", ["Serial", "Made", "Seen"])
        page.write("B4", 3e12)
        page.write_datetime("C4", datetime(2026, 3, 4), day)  # noqa: DTZ001
        page.write("D4", True)
        for cell, text in options.items():
            page.write_string(cell, text)
        book.add_worksheet("Empty")
    return target.getvalue()


def test_a_workbook_keeps_its_lines_columns_and_kinds_of_cell() -> None:
    sheets = read(xlsx(), "kit.xlsx")
    assert sheets.names == ("Kit", "Empty")
    assert [list(sheet.rows()) for sheet in sheets] == [
        [
            (None, "HARNESS REGISTER v14 FINAL", None, None),
            (None, None, None, None),
            (None, "Serial", "Made", "Seen"),
            (None, 3e12, date(2026, 3, 4), "TRUE"),
        ],
        [],
    ]


def test_a_file_can_be_gone_through_twice() -> None:
    sheets = read(xlsx(), "kit.xlsx")
    assert [list(s.rows()) for s in sheets] == [list(s.rows()) for s in sheets]


def test_zeros_a_cell_only_shows_are_read_as_they_are_shown() -> None:
    target = BytesIO()
    with xlsxwriter.Workbook(target) as book:
        six, plain = book.add_format({"num_format": "000000"}), book.add_worksheet("Kit & rope")
        book.add_worksheet("Other").write_number("B1", 412)
        plain.write_row("B2", [412, "Orrin & Tull"])
        plain.write_number("B3", 412, six)
        plain.write_string("C3", "0", six)
        plain.write_number("D3", 1234567, six)
        plain.write_number("AB3", 4.5, six)
    one, two = (list(sheet.rows()) for sheet in read(target.getvalue(), "kit.xlsx"))
    assert one[1][:3] == (None, 412, "Orrin & Tull")
    assert (one[2][1:4], one[2][27]) == (("000412", "0", "1234567"), 4.5)
    assert two == [(None, 412)]


def ods() -> bytes:
    book = OpenDocumentSpreadsheet()
    table = Table(name="Kit")
    for texts in TABLE:
        row = TableRow()
        for text in texts:
            cell = TableCell(valuetype="string")
            cell.addElement(P(text=text))
            row.addElement(cell)
        table.addElement(row)
    book.spreadsheet.addElement(table)
    target = BytesIO()
    book.write(target)
    return target.getvalue()


def test_an_ods_reads_like_any_other() -> None:
    assert rows_of(ods(), "kit.ods") == list(TABLE)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|"])
def test_a_csv_reads_in_any_usual_encoding_and_delimiter(encoding: str, delimiter: str) -> None:
    text = "".join(f"{delimiter.join(row)}\r\n" for row in TABLE)
    assert rows_of(text.encode(encoding)) == list(TABLE)


def test_central_european_letters_are_read_when_told() -> None:
    content = "Numer;Producent\r\n12;Łódź".encode("cp1250")
    sheet = next(iter(read(content, "k.csv", "cp1250")))
    assert list(sheet.rows())[1] == ("12", "Łódź")


def test_a_csv_that_names_its_delimiter_is_believed() -> None:
    assert rows_of(b"sep=|\na,b|c,d\n") == [("sep=", None), ("a,b", "c,d")]


def test_commas_within_remarks_do_not_win_over_semicolons() -> None:
    content = b"Serial;Remarks\n1;worn, dirty, wet\n2;new, dry, clean\n3;a, b, c\n"
    assert rows_of(content)[1] == ("1", "worn, dirty, wet")


def test_blank_lines_of_a_csv_keep_the_count_of_lines() -> None:
    assert rows_of(b"a;b\n\n1;2\n") == [("a", "b"), (), ("1", "2")]


def archive(**parts: bytes) -> bytes:
    target = BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in parts.items():
            made.writestr(name.replace("__", "/"), content)
    return target.getvalue()


def test_what_is_no_workbook_is_refused_with_its_reason() -> None:
    encrypted = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le")
    found = {
        "nothing": code_of(b""),
        "blanks": code_of(b" \n\n"),
        "a picture": code_of(b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 20),
        "a broken archive": code_of(b"PK\x03\x04 and no more"),
        "another archive": code_of(archive(letter=b"hello")),
        "a cut workbook": code_of(xlsx()[:-400]),
        "with a password": code_of(encrypted),
        "an old broken workbook": code_of(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)),
    }
    assert found == {
        "nothing": "empty",
        "blanks": "empty",
        "a picture": "not-a-workbook",
        "a broken archive": "damaged",
        "another archive": "not-a-workbook",
        "a cut workbook": "damaged",
        "with a password": "password",
        "an old broken workbook": "damaged",
    }


def test_an_archive_that_unpacks_to_gigabytes_is_not_unpacked() -> None:
    target = BytesIO()
    with (
        zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as made,
        made.open("xl/workbook.xml", "w") as part,
    ):
        for _ in range(501):
            part.write(bytes(1024 * 1024))
    assert code_of(target.getvalue()) == "too-big"


def test_one_cell_far_out_does_not_take_all_the_memory() -> None:
    assert code_of(xlsx(XFD3="x")) == "too-far"
    assert code_of(xlsx(A1048576="x")) == "too-far"
    assert len(rows_of(xlsx(IV3="x"), "kit.xlsx")[2]) == 256


def test_far_cells_of_an_ods_are_refused_and_its_usual_empty_end_is_not() -> None:
    end = '<table:table-row table:number-rows-repeated="1048000"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    late = '<table:table-row><table:table-cell office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row>'
    wide = '<table:table-row><table:table-cell table:number-columns-repeated="16000"/><table:table-cell office:value-type="string"><text:p>x</text:p></table:table-cell></table:table-row>'
    with zipfile.ZipFile(BytesIO(ods())) as made:
        parts = {name.replace("/", "__"): made.read(name) for name in made.namelist()}

    def with_rows(rows: str) -> bytes:
        text = parts["content.xml"].decode()
        content = text.replace("</table:table>", rows + "</table:table>")
        return archive(**{**parts, "content.xml": content.encode()})

    assert rows_of(with_rows(end), "kit.ods") == list(TABLE)
    assert code_of(with_rows(end + late)) == "too-long"
    assert code_of(with_rows(wide)) == "too-wide"


def test_a_quotation_mark_left_open_names_the_line() -> None:
    content = b'Serial;Maker\n1;"' + b"x" * 140_000
    with pytest.raises(Unreadable) as refused:
        rows_of(content)
    assert (refused.value.code, dict(refused.value.facts)) == ("csv-broken", {"line": 2})


@settings(max_examples=60)
@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        rows = rows_of(content)
    except Unreadable:
        return
    assert all(isinstance(row, tuple) for row in rows)


@pytest.mark.parametrize("seed", range(40))
def test_a_workbook_damaged_anywhere_is_read_or_refused(seed: int) -> None:
    chance = random.Random(seed)  # noqa: S311
    content = bytearray(xlsx())
    for _ in range(3):
        content[chance.randrange(len(content))] = chance.randrange(256)
    try:
        said = next(iter(read(bytes(content), "kit.xlsx"))).name
    except Unreadable as reason:
        said = unreadable_told(reason)
    assert said
