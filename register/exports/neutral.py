"""Text that no spreadsheet runs: in CSV every cell is only text, so the text itself must be tame.

A spreadsheet takes a cell for a formula when it begins with ``= + - @`` or, in some, with their
full-width forms, a tab or a line end (OWASP, 'CSV Injection'). One that separates by semicolons
reads a file of commas as one long cell, and cuts it at each semicolon and line end: what follows
those begins a cell too. There an apostrophe is set before the sign, and one more where there is one
already, so that ``exact`` gives back what was written.
"""

from __future__ import annotations

import re

SIGNS = "=+-@＝＋－＠"
_BEGINS = re.compile(rf"(^|[;\t\r\n])([ \xa0]*)('*)(?=[{re.escape(SIGNS)}])")
_MARKED = re.compile(rf"(^|[;\t\r\n])([ \xa0]*)'('*)(?=[{re.escape(SIGNS)}])")
_SPACE_FIRST = re.compile(r"\A('*)(?=[\t\r\n])")
_SPACE_MARKED = re.compile(r"\A'('*)(?=[\t\r\n])")


def neutral(text: str) -> str:
    """The text with an apostrophe before whatever would begin a formula."""
    return _SPACE_FIRST.sub(r"\1'", _BEGINS.sub(r"\1\2\3'", text))


def exact(text: str) -> str:
    """What ``neutral`` was given."""
    return _MARKED.sub(r"\1\2\3", _SPACE_MARKED.sub(r"\1", text))
