"""The certificate of a signed round: what came of every item, the worst first, and the counts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from django.utils.translation import gettext as _

from inspections.conditions import verdicts_of
from inspections.documents.naming import moment_at, place_words
from inspections.models import Round, RoundLine
from inspections.round_board import line_words, lines_of
from inspections.rules.item_facts import PASSES
from inspections.rules.round_lines import ELSEWHERE, OUT, SEEN, UNKNOWN
from inspections.rules.rounds_counted import Counted, counted
from inspections.rules.verdict import Verdict
from register import clock
from register.documents.content import (
    Block,
    Caution,
    Content,
    Heading,
    Identity,
    Row,
    Table,
    Words,
)
from register.wording import lower_first, shown_day

MOST = 1000
"""Lines of one round on one paper. A round that has more is not printed."""


def certificate(found: Round, at: datetime) -> Content:
    """What stood in the round, and each item's next due day as it stands at the moment."""
    lines = lines_of(found)
    counts = counts_of(lines)
    facts = {
        "kind": found.get_kind_display(),
        "site": found.site.name,
        "day": shown_day(clock.day_at(found.site, found.began_at)),
        "counts": counts_words(counts),
    }
    return Content(
        title=_("Certificate of a round of inspections"),
        about=_("%(kind)s at %(site)s, %(day)s: %(counts)s") % facts,
        blocks=tuple(_blocks(found, lines, counts, at)),
    )


def counts_of(lines: Sequence[RoundLine]) -> Counted:
    """Each item once, by the worst that came of it."""
    return counted(
        (
            f"item {line.item_id}" if line.item_id else f"text {line.text.upper()}",
            _came(line),
            line.listed,
        )
        for line in lines
    )


def _came(line: RoundLine) -> str:
    one = line.inspection
    if line.state == SEEN and one is not None:
        return "passed" if one.verdict in PASSES and one.counts else "not-counting"
    return line.state


def counts_words(counts: Counted) -> str:
    """'60 on the list = 56 passed + 2 out + 2 not presented; besides: 1 passed'."""
    told = {
        "listed": counts.listed,
        "parts": " + ".join(_parts(counts.of_listed)) or _("nothing"),
    }
    said = _("%(listed)d on the list = %(parts)s") % told
    besides = _parts(counts.besides)
    return f"{said}; {_('besides')}: {', '.join(besides)}" if besides else said


def _parts(counts: dict[str, int]) -> list[str]:
    said = {
        "passed": _("%(n)d passed"),
        "not-counting": _("%(n)d not counting"),
        "out": _("%(n)d out of use"),
        "not-presented": _("%(n)d not presented"),
        "expected": _("%(n)d not seen"),
        "unknown": _("%(n)d not on the register"),
        "elsewhere": _("%(n)d of another site"),
    }
    return [words % {"n": counts[key]} for key, words in said.items() if counts.get(key)]


def _blocks(found: Round, lines: Sequence[RoundLine], counts: Counted, at: datetime) -> list[Block]:
    items = list({line.item.pk: line.item for line in lines if line.item}.values())
    verdicts = verdicts_of(items, clock.day_at(found.site, at))
    in_hand = [line for line in lines if line.state in (SEEN, OUT)]
    strays = [line for line in lines if line.state in (UNKNOWN, ELSEWHERE)]
    missed = [line for line in lines if line not in in_hand and line not in strays]
    seen = sorted(in_hand, key=_worst_first)
    return [
        Identity(tuple(_head(found, counts))),
        Heading(_("Looked at")),
        *_table(seen, verdicts),
        Heading(_("Not presented")),
        *(_table(missed, verdicts) if missed else [Words(_("None."))]),
        *([Heading(_("Belongs to no list")), *_table(strays, verdicts)] if strays else []),
        Words(_("‘Next due’ is as it stands on the day of this paper, by every date of the item.")),
        Caution(
            _(
                "Not presented is not inspected: its dates are those it had before. A pass says "
                "nothing about tomorrow; the check before use does."
            )
        ),
    ]


def _head(found: Round, counts: Counted) -> list[tuple[str, str]]:
    signed = ""
    if found.signed_at:
        facts = {"moment": moment_at(found.site, found.signed_at), "who": found.signed_by or ""}
        signed = _("%(moment)s, signed in as %(who)s") % facts
    who = found.inspector
    told = [
        (_("Site"), place_words(found.site)),
        (_("Kind of inspection"), found.get_kind_display()),
        (_("Inspector"), f"{who.name}, {who.employer}" if who.employer else who.name),
        (_("Began"), moment_at(found.site, found.began_at)),
        (_("Signed"), signed or _("not signed")),
        (_("List"), found.chosen or _("everything in service")),
        (_("Counts"), counts_words(counts)),
    ]
    if found.covers_periodic:
        told.append((_("Procedure"), _("the maker’s periodic examination procedure was followed")))
    return [*told, (_("Note"), found.note)] if found.note else told


def _worst_first(line: RoundLine) -> tuple[bool, bool, str, str]:
    """What is out, then what does not count, then by class and serial."""
    item = line.item
    kind = item.product.equipment_class if item else ""
    return (line.state != OUT, _came(line) == "passed", kind, item.serial if item else "")


def _table(lines: Sequence[RoundLine], verdicts: dict[int, Verdict]) -> list[Block]:
    heads = (_("Mark"), _("Serial"), _("Type"), _("Verdict"), _("Next due"))
    rows = tuple(_row(line, verdicts) for line in lines)
    return [Table(heads, rows, (2.2, 3, 5, 4, 2.8))]


def _row(line: RoundLine, verdicts: dict[int, Verdict]) -> Row:
    item = line.item
    if item is None:
        return Row((line.text, "–", _("not known"), line_words(line), "–"))
    verdict = verdicts[item.pk]
    usable = verdict.usable and verdict.through
    due = shown_day(verdict.through) if usable and verdict.through else _("do not use")
    product = f"{item.product.kind_name}, {item.product}"
    flaws = line.inspection.defects.all() if line.inspection else ()
    under = [f"{flaw.place}: {flaw.what}" if flaw.place else flaw.what for flaw in flaws]
    grades = [lower_first(flaw.get_grade_display()) for flaw in flaws]
    return Row(
        (item.shown_code, item.serial, product, line_words(line), due),
        strong=line.state == OUT,
        under="\n".join(f"{told} ({grade})" for told, grade in zip(under, grades, strict=True)),
    )
