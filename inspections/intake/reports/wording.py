"""What stands against a line of a report, and what it does, as sentences somebody can act on."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, gettext_noop

from inspections.intake.reports.columns import REPORT
from register.intake.columns import Guess
from register.intake.rows import Problem
from register.intake.wording import CODES, letter_of, problem_told
from register.rules.tags import shown
from register.wording import shown_day

# fmt: off
_PROBLEMS: dict[str, str] = {
    "no-identity": gettext_noop("There is neither a serial nor a mark. Ask the examiner which item is meant."),
    "not-ours": gettext_noop("The serial {value} is not in the register, or not at your sites. Look at the label; if the item is yours, take it on first."),
    "near-ours": gettext_noop("The serial {value} is not in the register; {peer} is, one misreading away. Look at the label, and correct the line."),
    "zeros-lost": gettext_noop("The serial is the number {value}; the register has {peer}. If the zeros were lost on the way, type the serial as it stands on the label, with the cell set to text."),
    "mark-not-ours": gettext_noop("There is no serial, and the mark {value} is not in the register, or not at your sites."),
    "mark-of-two": gettext_noop("There is no serial, and the mark {value} has been on more than one item. Read the serial off the label."),
    "mark-of-another": gettext_noop("The serial is that of {item}, but the mark {value} belongs to the item with serial {bearer}. Find the piece and see which of the two was examined."),
    "mark-with-other-serial": gettext_noop("The serial {serial} is not in the register, and the mark {value} belongs to the item with serial {bearer}. Find the piece and see what was examined."),
    "serial-of-two": gettext_noop("More than one item may be meant by the serial {value}: {others}. Give the mark, or the product as it stands in the register."),
    "serial-short": gettext_noop("The serial {value} is short and nothing else on the line bears it out. Give the mark, the maker or the product too."),
    "maker-differs": gettext_noop("{item} with this serial is by {maker}, not by {value}. Look at the label: it may be another piece with the same number."),
    "product-differs": gettext_noop("{item} with this serial is {maker} {product}, not “{value}”. Look at the label: it may be another piece with the same number."),
    "made-differs": gettext_noop("The line says made {value}; the register says {ours}. Look at the label: one of the two is another piece, or wrong."),
    "day-missing": gettext_noop("There is no day of the inspection. Ask the examiner; nothing counts from a day nobody knows."),
    "day-rough": gettext_noop("{value} is no whole day. Ask the examiner for the day."),
    "verdict-missing": gettext_noop("There is no verdict. Ask the examiner; an item on a list is not thereby inspected."),
    "verdict-unknown": gettext_noop("“{value}” may mean good or bad. Say in the questions what it stands for."),
    "kind-unknown": gettext_noop("Nothing says what kind of inspection it was. Say so in the questions."),
    "examiner-missing": gettext_noop("Nobody is named as the examiner, so a pass proves nothing. Name them in the file or in the questions."),
    "examiner-unknown": gettext_noop("“{value}” is nobody in the register. A pass counts once the examiner is entered, with their employer, and authorised for this kind of equipment; then look through the file again."),
    "examiner-employer": gettext_noop("The line says that {value} works for {stated}; the register says {ours}. Find out who examined it."),
    "not-counting": gettext_noop("The pass would not count: {why} Once that is settled, look through the file again."),
    "due-before": gettext_noop("The next one would be due {value}, before this one was made. One of the two days is wrong."),
    "twice-differs": gettext_noop("The same item is also on sheet “{sheet}”, line {line}, and the two lines do not agree. The worse one acts; find out which is right."),
    "bad-on-record": gettext_noop("An inspection of that day and kind is on record with another verdict: {verdict}. Find out which is right; a record is put right on its own page."),
}
_SAID: dict[str, str] = {
    "on-record": gettext_noop("On record already: {kind}, {day}, {verdict}."),
    "twice": gettext_noop("The same as on sheet “{sheet}”, line {line}; it counts once."),
    "goes-in": gettext_noop("{verdict}, {kind} of {day}."),
    "withdraws": gettext_noop("{verdict} on {day}: withdrawn for good."),
    "quarantines": gettext_noop("{verdict} on {day}: into quarantine."),
    "holds": gettext_noop("{verdict}: into quarantine at once, though the record waits. {why}"),
    "stays-out": gettext_noop("{verdict} on {day}: it is out of use already, and stays so."),
    "found": gettext_noop("At {site}{holder}."),
    "with-holder": gettext_noop(", with {name}"),
    "out-with-it": gettext_noop("The kit {kit} is out with it."),
    "mark-unknown": gettext_noop("The mark {value} is not in our register; the serial is."),
    "not-authorised": gettext_noop("{name} is not authorised for {class_name} ({kind}) on {day}."),
    "holds-the-item": gettext_noop("{name} used or held this item, and nobody passes their own."),
    "bad-unsure": gettext_noop("The line says {verdict}, and no item is surely meant, so nothing is stopped. Find the piece and quarantine it."),
}
# fmt: on
_WITH_DAYS = {"made-differs": ("value", "ours"), "due-before": ("value",)}
_WITH_CODES = ("item",)


def said_of(code: str, **facts: object) -> str:
    """One of the sentences on what happens."""
    return gettext(_SAID[code]).format(**facts)


def told_of(problem: Problem) -> str:
    """What stands against the line, without its place."""
    if problem.code not in _PROBLEMS:
        return problem_told(problem) if problem.code in CODES else str(problem.facts["sentence"])
    facts = dict(problem.facts)
    for name in _WITH_DAYS.get(problem.code, ()):
        facts[name] = shown_day(date.fromisoformat(str(facts[name])))
    for name in _WITH_CODES:
        if name in facts:
            facts[name] = shown(str(facts[name]))
    return gettext(_PROBLEMS[problem.code]).format(**facts)


def with_place(problem: Problem, found: Guess) -> str:
    """'Column E “Ser. #”: there is ...'."""
    if not problem.column or problem.column not in REPORT.fields:
        return told_of(problem)
    column = next((n for n, held in found.mapping.items() if held == problem.column), None)
    if column is None:
        return told_of(problem)
    heading = found.headings[column] if column < len(found.headings) else ""
    place = gettext("Column {letter} “{heading}”").format(letter=letter_of(column), heading=heading)
    return f"{place}: {told_of(problem)}"
