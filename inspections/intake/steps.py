"""The steps of one intake as its user takes them: answer, have it looked through, bring it in."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.intake.answers import answers_of
from inspections.intake.apply import opened, planned
from inspections.intake.findings import findings_of
from inspections.intake.judged import due_reader
from inspections.intake.looking import look, remember
from inspections.models import Intake
from inspections.regime import regime_in_force
from register.intake.columns import Guess
from register.intake.survey import places
from register.refusal import Refusal

State = Intake.State
_FREE = (State.READ, State.PLANNED, State.STOPPED)


def answer(intake: Intake, *, mapping: dict[str, Guess], choices: dict[str, Any]) -> Intake:
    """Keep the answers and remember what the headings mean; the file has to be looked at again."""
    moved = _read_from(mapping) != _read_from(answers_of(intake).mapping)
    seen = look(opened(intake), mapping) if moved else intake.seen
    return _answered(intake, mapping, {"choices": choices, "seen": seen})


def _read_from(mapping: Mapping[str, Guess]) -> dict[str, tuple[int | None, dict[str, int]]]:
    """Line of the headings and column of each field, by sheet: what decides on what is seen."""
    return {name: (one.header_row, places(one)) for name, one in mapping.items()}


@transaction.atomic
def _answered(intake: Intake, mapping: dict[str, Guess], kept: dict[str, Any]) -> Intake:
    intake = Intake.objects.select_for_update().get(pk=intake.pk)
    refuse_unless_free(intake)
    intake.mapping = {name: one.to_json() for name, one in mapping.items()}
    intake.choices, intake.seen = kept["choices"], kept["seen"]
    intake.state, intake.findings, intake.counts, intake.message = State.READ, {}, {}, ""
    intake.save()
    remember(mapping)
    return intake


def lines_in(intake: Intake) -> int:
    return sum(sheet["lines"] for sheet in intake.seen.get("sheets", ()))


@transaction.atomic
def start(
    intake: Intake, state: Intake.State, *, at: datetime, acting: int | None = None
) -> Intake:
    """Take the intake for planning or applying, once: a second press is refused.

    ``acting``: how many lines would change something, where that is not those that are new.
    """
    intake = Intake.objects.select_for_update().get(pk=intake.pk)
    refuse_unless_free(intake)
    if state == State.APPLYING and not (intake.counts.get("new") if acting is None else acting):
        raise Refusal(
            "nothing-new", _("No line of this file goes in: there is nothing to bring in.")
        )
    intake.state, intake.lines_done, intake.lines_total = state, 0, lines_in(intake)
    intake.message, intake.moved_at = "", at
    intake.save(update_fields=["state", "lines_done", "lines_total", "message", "moved_at"])
    return intake


def set_free(intake: Intake) -> None:
    """For a worker that was switched off in the middle: what went in stays, the rest can go on."""
    told = "The work was broken off. What went in before stays in the register; start it again."
    Intake.objects.filter(pk=intake.pk, state__in=[State.PLANNING, State.APPLYING]).update(
        state=State.STOPPED, message=told
    )


def stop(intake: Intake, sentence: str) -> None:
    Intake.objects.filter(pk=intake.pk).update(state=State.STOPPED, message=sentence[:400])


def plan_intake(intake: Intake) -> Intake:
    """Look through the file and keep what the preview tells."""
    answers = answers_of(intake)
    due_of = due_reader(answers.mapping, answers.inspector, regime_in_force().schemes)
    plan = planned(intake, opened(intake), due_of)
    intake.findings = findings_of(plan, answers, due_of=due_of, on=intake.brought_on)
    intake.counts = dict(plan.counts)
    intake.state, intake.message = State.PLANNED, ""
    intake.save(update_fields=["findings", "counts", "state", "message"])
    return intake


def refuse_unless_free(intake: Intake) -> None:
    """Nothing is asked or begun while the file is being worked on, or once it is in."""
    if intake.state in {State.DONE, State.UNDONE}:
        raise Refusal("brought-in-already", _("This file is in already. Bring the next one."))
    if intake.state not in _FREE:
        raise Refusal("busy", _("This file is being worked on. Wait until it is through."))
