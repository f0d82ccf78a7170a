"""What keeps a line out besides the reasons of register.intake.wording, as sentences."""

from __future__ import annotations

from django.utils.translation import gettext, gettext_noop

from register.intake.columns import Guess
from register.intake.rows import Problem, Row
from register.intake.wording import CODES, column_told, problem_told

# fmt: off
_PROBLEMS: dict[str, str] = {
    "too-long": gettext_noop("The text has {length} letters; {most} is the most the register keeps. Shorten it."),
    "serial-no-letters": gettext_noop("The serial {value} holds no letter and no digit. Type it as it stands on the label."),
    "class-differs": gettext_noop("The same product is {one} on one line and {other} on another. Look at the label, and make all lines of the product agree."),
    "not-saved": gettext_noop("It was not saved: an item of this product with this serial, or with this mark, came into the register meanwhile. Bring the line back; it will be compared again."),
}
# fmt: on


def row_told(row: Row, found: Guess) -> str:
    """All that keeps a line out, each with its column."""
    said = []
    for problem in row.problems:
        place = f"{column_told(problem.column, found)}: " if problem.column else ""
        said.append(place[:1].upper() + place[1:] + _told(problem))
    return " ".join(said)


def _told(problem: Problem) -> str:
    if problem.code in CODES:
        return problem_told(problem)
    return gettext(_PROBLEMS[problem.code]).format(**problem.facts)
