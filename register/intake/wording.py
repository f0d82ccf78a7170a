"""What stands against a line or a file, as sentences a stores controller can act on."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, gettext_noop

from register.intake.columns import Guess
from register.intake.fields import FIELDS
from register.intake.rows import Problem, Row
from register.intake.unreadable import Unreadable
from register.wording import shown_day

# fmt: off
_PROBLEMS: dict[str, str] = {
    "serial-missing": gettext_noop("There is no serial. Read it off the maker's label and type it in; an item without one cannot be told from another."),
    "serial-eaten": gettext_noop("The serial has been turned into the number {value}, as happens to serials such as 3E12 or very long ones. Type it as it stands on the label, with the cell set to text."),
    "serial-too-long": gettext_noop("The serial {value} is a number of more than 15 digits, so its last digits are no longer those of the label. Type it again, with the cell set to text."),
    "serial-with-decimals": gettext_noop("The serial {value} looks like a number that was calculated. Type it as it stands on the label, with the cell set to text."),
    "serial-is-a-date": gettext_noop("The serial has been turned into the date {value}. Type it as it stands on the label, with the cell set to text."),
    "serial-zeros-lost": gettext_noop("The serial is the number {value}, but others of this product begin with 0, such as {peer}. Look at the label; type the serial with its zeros, with the cell set to text."),
    "product-missing": gettext_noop("There is no product. Type the maker's type or model as on the label."),
    "maker-missing": gettext_noop("There is no maker. Type the maker, or name one for the whole file."),
    "class-unknown": gettext_noop("“{value}” does not say what kind of equipment this is. Write, for example, harness, connector or retractable, or choose the class for it in the import."),
    "site-unknown": gettext_noop("“{value}” is no site of the register. Choose the site it stands for in the import, or correct the name."),
    "date-ambiguous": gettext_noop("{value} can be two days. Say in the import whether this file writes the day or the month first."),
    "date-no-year": gettext_noop("{value} has no year, or no day. Type it as 4 Mar 2026, or as Mar 2026 if only the month is known."),
    "date-unreadable": gettext_noop("“{value}” is no date we can read. Type it as 4 Mar 2026, Mar 2026, 2026 or week 14 2026; leave it blank if nobody knows."),
    "date-impossible": gettext_noop("There is no such day as {value}. Look it up and type it as 4 Mar 2026."),
    "date-ahead": gettext_noop("{value} lies ahead of the day of the import. Look it up and correct it."),
    "dates-out-of-order": gettext_noop("{value} lies before the item was made ({made}). One of the two is wrong; look both up."),
    "twice-differs": gettext_noop("The same item is also on sheet “{other_sheet}”, line {other_line}, and the two lines do not agree. Find the item, correct one line and delete the other."),
    "tag-twice": gettext_noop("The same own mark is on another item, on sheet “{other_sheet}”, line {other_line} (serial {other_serial}). Find out which item wears it."),
    "tag-taken": gettext_noop("The own mark {value} belongs to another item, serial {bearer}. A mark is never given twice; give this item a new one."),
    "near-match": gettext_noop("The serial is one misreading away from {other_serial} on sheet “{other_sheet}”, line {other_line}. Look at both labels; correct it, or confirm the serial in the import."),
    "near-match-known": gettext_noop("The serial {value} is one misreading away from {bearer}, which is in the register. Look at the label; correct it, or confirm the serial in the import."),
    # Notes: the line goes in.
    "twice": gettext_noop("The same item with the same particulars stands on sheet “{other_sheet}”, line {other_line}; it is brought in once."),
    "serial-was-number": gettext_noop("The serial {value} is kept as a number in the workbook; compare it with the label."),
    "serial-like-exponent": gettext_noop("The serial {value} is right as text, but another program may turn it into a number."),
    "class-from-product": gettext_noop("The kind of equipment was taken from the product's name “{value}”."),
    "condition-unknown": gettext_noop("“{value}” does not say whether the item may be used. It starts quarantined."),
    "age-not-established": gettext_noop("Nobody knows when it was made. It starts quarantined until its age is established."),
    "use-unknown": gettext_noop("“{value}” is no kind of use we know; left out."),
    "mass-unreadable": gettext_noop("“{value}” is no mass we can read; left out."),
    "length-unreadable": gettext_noop("“{value}” is no length we can read; left out."),
    "typed-due-unreadable": gettext_noop("The typed due date “{value}” cannot be read. The due date is reckoned from the last inspection anyway."),
    "due-differs": gettext_noop("The typed due date {typed} is not what the last inspection gives ({ours}). Ours stands."),
}

_UNREADABLE: dict[str, str] = {
    "empty": gettext_noop("There is nothing in the file. Choose the workbook again."),
    "not-a-workbook": gettext_noop("The file is not a workbook. Save it as .xlsx, .ods or .csv and choose that file."),
    "damaged": gettext_noop("The file is damaged or of a kind that cannot be read. Open it in your spreadsheet program, save it as .xlsx and choose that file."),
    "password": gettext_noop("The file is protected with a password. Save a copy without the password and choose that copy."),
    "too-big": gettext_noop("Unpacked, the file would take {mb} MB; {most} MB is the most. Split it, or delete pictures from it."),
    "too-wide": gettext_noop("A sheet is wider than {most} columns. Delete what stands far to the right and save it again."),
    "too-long": gettext_noop("A sheet has more than {most} lines. Split it into several files."),
    "too-many-cells": gettext_noop("The cells of a sheet reach to line {rows} and column {columns}: together that is more than {most} million. Delete what stands far out, or split the sheet, and save the file again."),
    "too-far": gettext_noop("Something stands below line {rows} or right of column {columns}. Delete it and save the file again."),
    "csv-broken": gettext_noop("The .csv cannot be read around line {line}: a quotation mark may be open. Save it again as .xlsx."),
    "calendar-too-big": gettext_noop("The calendar is larger than {most} MB. Export a shorter time."),
    "calendar-damaged": gettext_noop("The calendar cannot be read. Export it again as .ics (iCalendar) and choose that file."),
    "calendar-too-many": gettext_noop("The calendar holds more than {most} events or recurring events. Export a shorter time, or only the rota."),
    "calendar-too-often": gettext_noop("The event “{summary}” recurs by the hour or oftener, which no rota does. Take it out of the calendar."),
    "calendar-too-old": gettext_noop("The recurring event “{summary}” has no beginning, or began before 1990. Correct it in the calendar."),
    "encoding": gettext_noop("The letters of the .csv cannot be read. Save it again as “CSV UTF-8”, or as .xlsx."),
    "sheet-damaged": gettext_noop("The sheet “{sheet}” is damaged. Save the workbook again as .xlsx and choose that file."),
}

OUTCOME_NAMES: dict[str, str] = {
    "new": gettext_noop("Goes in"),
    "same": gettext_noop("Already in the register"),
    "differs": gettext_noop("In the register with other particulars; nothing is changed"),
    "twice": gettext_noop("The same line again"),
    "bad": gettext_noop("Stays out"),
}
# fmt: on

CODES = frozenset(_PROBLEMS)
_WITH_DAYS = frozenset({"date-ahead", "dates-out-of-order", "due-differs"})  # all facts are days


def problem_told(problem: Problem) -> str:
    """The sentence, without its place."""
    facts = dict(problem.facts)
    if problem.code in _WITH_DAYS:
        facts |= {key: _day(str(fact)) for key, fact in facts.items()}
    return gettext(_PROBLEMS[problem.code]).format(**facts)


def _day(iso: str) -> str:
    return shown_day(date.fromisoformat(iso)) if iso else gettext("none: no inspection is recorded")


def column_told(slug: str, found: Guess) -> str:
    """'column E “Ser. #”'; the field's own name where the file has no such column."""
    column = next((n for n, held in found.mapping.items() if held == slug), None)
    if column is None:
        return gettext("no column for “{name}”").format(name=gettext(FIELDS[slug].name))
    heading = found.headings[column] if column < len(found.headings) else ""
    return gettext("column {letter} “{heading}”").format(letter=letter_of(column), heading=heading)


def row_told(row: Row, found: Guess) -> str:
    """All that keeps a line out, each with its column."""
    said = []
    for problem in row.problems:
        place = f"{column_told(problem.column, found)}: " if problem.column else ""
        said.append(place[:1].upper() + place[1:] + problem_told(problem))
    return " ".join(said)


def place_told(row: Row) -> str:
    """'Sheet “Corrick Quay”, line 14'."""
    return gettext("Sheet “{sheet}”, line {line}").format(sheet=row.sheet, line=row.line)


def unreadable_told(reason: Unreadable) -> str:
    """Why the file as a whole cannot be read, and what to do."""
    return gettext(_UNREADABLE[reason.code]).format(**reason.facts)


def letter_of(column: int) -> str:
    """0 is A, 26 is AA, as spreadsheet programs count."""
    letters = ""
    number = column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
