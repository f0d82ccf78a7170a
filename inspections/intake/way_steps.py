"""The steps of a file of any kind: begun, answered, looked through, brought in, taken back."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from itertools import islice
from typing import Any

from django.core.exceptions import ValidationError
from django.db import DataError, IntegrityError, transaction
from django.utils import translation
from django.utils.translation import get_language
from django.utils.translation import gettext as _

from inspections.intake.apply import show_progress
from inspections.intake.remembering import remember_words, remembered_words
from inspections.intake.steps import State, refuse_unless_free
from inspections.intake.way_looks import look_at
from inspections.intake.ways import Line, Question, Undone, Way
from inspections.models import Intake
from register.actions.documents import keep_document
from register.intake.columns import Guess
from register.intake.leftover import LeftOut, lines_left
from register.intake.reading import Sheets
from register.intake.survey import guess_sheets
from register.models import Stamp, record
from register.refusal import Refusal

MOST_LISTED = 1000  # of each list; the workbook of what stayed out holds every such line
_TOLD_EVERY = 10  # lines
_NOT_SAVED = (Refusal, ValidationError, IntegrityError, DataError)


def begin_file(
    way: Way, content: bytes, name: str, *, on: date, sites: list[int] | None, stamp: Stamp
) -> Intake:
    """Keep the file as it came and note what it seems to be. ``sites``: where it may act, None for
    everywhere.

    Raises register.intake.unreadable.Unreadable and keeps nothing where it is no use.
    """
    sheets = way.read(content, name, on)
    mapping = guess_sheets(sheets, remembered_words(way.kind), way.book)
    intake = Intake(
        kind=way.kind,
        by=stamp.by,
        brought_on=on,
        mapping={sheet: one.to_json() for sheet, one in mapping.items()},
        choices={"site_ids": sites},
        seen=look_at(way, sheets, mapping),
        started_at=stamp.at,
        moved_at=stamp.at,
    )
    with transaction.atomic():
        intake.document = keep_document(content, name=name, kind=way.document, stamp=stamp)
        intake.save()
        facts = {"file": intake.document.sha256, "kind": intake.kind}
        record("begin-intake", {intake: facts}, stamp=stamp.again())
    return intake


def opened_file(way: Way, intake: Intake) -> Sheets:
    """The sheets of the kept file."""
    with intake.document.file.open("rb") as file:
        return way.read(file.read(), intake.document.name, intake.brought_on)


def answer_file(
    way: Way,
    intake: Intake,
    *,
    mapping: Mapping[str, Guess],
    choices: Mapping[str, Any],
    asked: Sequence[Question],
) -> Intake:
    """Keep the answers, and what they say of words and headings for the next file."""
    seen = look_at(way, opened_file(way, intake), mapping)
    with transaction.atomic():
        intake = Intake.objects.select_for_update().get(pk=intake.pk)
        refuse_unless_free(intake)
        intake.mapping = {name: one.to_json() for name, one in mapping.items()}
        intake.choices, intake.seen = dict(choices), seen
        intake.choices["language"] = get_language() or ""
        intake.state, intake.findings, intake.counts, intake.message = State.READ, {}, {}, ""
        intake.save()
        _remember(way, mapping, asked, choices["said"])
    return intake


def _remember(
    way: Way, mapping: Mapping[str, Guess], asked: Sequence[Question], answers: Mapping[str, str]
) -> None:
    for one in mapping.values():
        remember_words(way.kind, one.to_remember())
    for question in asked:
        kind, word = question.remembered_as
        if word and answers.get(question.name):
            remember_words(kind, {word: answers[question.name]})


def plan_file(way: Way, intake: Intake) -> Intake:
    """Look through the file and keep what the preview tells."""
    with translation.override(intake.choices.get("language") or None):
        lines = way.plan(intake, opened_file(way, intake))
    counts = Counter(line.list for line in lines)
    intake.counts = {one.slug: counts[one.slug] for one in way.lists}
    intake.findings = {"lists": _listed(way, lines)}
    intake.state, intake.message = State.PLANNED, ""
    intake.save(update_fields=["findings", "counts", "state", "message"])
    return intake


def _listed(way: Way, lines: Sequence[Line]) -> dict[str, list[list[Any]]]:
    """By list, the first lines: sheet, line, whom or what it means, what happens."""
    return {
        one.slug: [
            [line.sheet, line.line, line.about, line.said]
            for line in islice((line for line in lines if line.list == one.slug), MOST_LISTED)
        ]
        for one in way.lists
    }


def apply_file(way: Way, intake: Intake, *, stamp: Stamp) -> Intake:
    """Do every line that can be done, what is loud first, each for itself.

    The plan is made anew, so that what changed since the preview is seen. A line that fails stays
    out with its reason and hurts no other.
    """
    with translation.override(intake.choices.get("language") or None):
        sheets = opened_file(way, intake)
        lines = way.plan(intake, sheets)
        failed = _done(way, intake, lines, stamp)
        lines = [failed.get(id(line), line) for line in lines]
        _keep_left(way, intake, sheets, lines, stamp)
    counts = Counter(line.list for line in lines)
    intake.counts = {one.slug: counts[one.slug] for one in way.lists}
    intake.findings = {"lists": _listed(way, lines)}
    intake.state, intake.ended_at, intake.message = State.DONE, stamp.at, ""
    fields = ["counts", "findings", "state", "ended_at", "message", "leftover"]
    intake.save(update_fields=fields)
    return intake


def _done(way: Way, intake: Intake, lines: Sequence[Line], stamp: Stamp) -> dict[int, Line]:
    """Does them; the lines that failed, by identity. The keys of what the others made are kept."""
    out = next(one.slug for one in way.lists if one.stays_out and not one.is_loud)
    doing = [line for line in lines if way.named(line.list).acts]
    order = [one.slug for one in way.lists]
    doing.sort(key=lambda line: (not way.named(line.list).is_loud, order.index(line.list)))
    failed: dict[int, Line] = {}
    show_progress(intake, 0, len(doing))
    for number, line in enumerate(doing, start=1):
        try:
            with transaction.atomic():
                key = way.act(intake, line, stamp.again())
                if key and key not in intake.made:
                    intake.made.append(key)
        except _NOT_SAVED as error:
            failed[id(line)] = Line(
                sheet=line.sheet, line=line.line, about=line.about, list=out, said=_why(error)
            )
        if number % _TOLD_EVERY == 0 or number == len(doing):
            show_progress(intake, number, len(doing))
            Intake.objects.filter(pk=intake.pk).update(made=intake.made)
    return failed


def _why(error: Exception) -> str:
    if isinstance(error, Refusal):
        return error.sentence
    if isinstance(error, ValidationError):
        return " ".join(error.messages)
    return _(
        "It was not saved: something in the register changed meanwhile. Bring the line back; it"
        " will be looked at again."
    )


def _keep_left(
    way: Way, intake: Intake, sheets: Sheets, lines: Sequence[Line], stamp: Stamp
) -> None:
    """The lines that stayed out, as a workbook to put right; several reasons of a line together."""
    left: dict[tuple[str, int], list[str]] = {}
    for line in lines:
        if way.named(line.list).stays_out:
            left.setdefault((line.sheet, line.line), []).append(line.said)
    if not left:
        return
    out = [LeftOut(sheet, line, " ".join(why)) for (sheet, line), why in left.items()]
    content = lines_left(sheets, way.mapping(intake), out)
    name = f"stayed-out-{intake.pk}.xlsx"
    intake.leftover = keep_document(content, name=name, kind="workbook", stamp=stamp.again())


def undo_file(way: Way, intake: Intake, *, stamp: Stamp) -> Undone:
    """Take back what the file brought, as far as nothing rests on it and it is not bad news."""
    with transaction.atomic():
        intake = Intake.objects.select_for_update().get(pk=intake.pk)
        if intake.state != State.DONE:
            raise Refusal(
                "not-brought-in", _("Only a file that is in can be taken back, and only once.")
            )
        undone = way.undo(intake, stamp)
        intake.state, intake.message = State.UNDONE, ""
        intake.findings["undone"] = {"number": undone.taken_back, "stays": list(undone.stays)}
        intake.save(update_fields=["state", "message", "findings"])
        facts = {"file": intake.document.sha256, "taken_back": undone.taken_back}
        record("undo-intake", {intake: facts}, stamp=stamp)
    return undone
