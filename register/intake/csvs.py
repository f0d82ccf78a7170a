"""Which encoding and which delimiter a .csv was written in, decided the same way every time."""

from __future__ import annotations

import codecs
import csv
from collections import Counter
from collections.abc import Iterator
from io import StringIO
from itertools import islice

from register.intake.unreadable import Unreadable

DELIMITERS = (";", ",", "\t", "|")
_LINES_LOOKED_AT = 60
_SEEN_AS_BINARY = 0.02  # share of control characters; our own choice


def decoded(content: bytes, encoding: str = "") -> tuple[str, str]:
    """The text and the encoding it was read in.

    In this order: what somebody said, a byte order mark, strict UTF-8, UTF-16 without its mark,
    then Western (cp1252), and Central European (cp1250) where a byte has no meaning in cp1252.
    """
    for candidate in [encoding] if encoding else _candidates(content):
        try:
            text = content.decode(candidate)
        except (UnicodeDecodeError, LookupError):
            continue
        return _sound(text.removeprefix("\ufeff")), candidate
    raise Unreadable("not-a-workbook" if b"\0" in content else "encoding")


def _candidates(content: bytes) -> list[str]:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return ["utf-16"]
    head = content[:4096]
    if head[1::2].count(0) > len(head) // 4:
        return ["utf-16-le"]
    if head[0::2].count(0) > len(head) // 4:
        return ["utf-16-be"]
    return ["utf-8-sig", "cp1252", "cp1250"]


def _sound(text: str) -> str:
    head = text[:20_000]
    odd = sum(1 for mark in head if mark < " " and mark not in "\r\n\t\f\x1a")
    if "\0" in text or odd > len(head) * _SEEN_AS_BINARY:
        raise Unreadable("not-a-workbook")
    if not text.strip():
        raise Unreadable("empty")
    return text


def delimiter_of(text: str) -> str:
    """The mark that cuts most lines into the same number of fields, more than one."""
    first = text.split("\n", 1)[0].strip().strip('"').lower()
    if first.startswith("sep=") and len(first) == len("sep=;"):
        return first[-1]
    return max(DELIMITERS, key=lambda mark: (_evenness(text, mark), -DELIMITERS.index(mark)))


def _evenness(text: str, delimiter: str) -> int:
    try:
        rows = list(islice(csv_rows(text, delimiter), _LINES_LOOKED_AT))
    except csv.Error:
        return 0
    widths = Counter(len(row) for row in rows if len(row) > 1)
    if not widths:
        return 0
    width, lines = max(widths.items(), key=lambda pair: (pair[1], pair[0]))
    return lines * 10 + min(width, 9)


def csv_rows(text: str, delimiter: str) -> Iterator[list[str]]:
    """Every line, blank ones as empty lists, so that line numbers stay those of the file."""
    return csv.reader(StringIO(text, newline=""), delimiter=delimiter)
