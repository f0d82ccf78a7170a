"""Every kit and person judged for one task: who and what would do, and what speaks against the rest."""

from __future__ import annotations

from dataclasses import dataclass

from readiness.board.tasks import missing_words
from readiness.models import FAMILIES
from readiness.models import Task as TaskRow
from readiness.rules.situation import Situation
from readiness.rules.suitability import KitJudgement, PersonJudgement, why_not
from readiness.wording import reason_sentence


@dataclass(frozen=True, slots=True)
class Judged:
    """One kit, or one person with one family of kits; no reasons: it would do."""

    name: str
    detail: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WhyBoard:
    task: tuple[str, ...]
    missing: tuple[str, ...]
    kits: tuple[Judged, ...]
    people: tuple[Judged, ...]


def why_board(situation: Situation, row: TaskRow) -> WhyBoard | None:
    """None where the task is not worked on that day."""
    task = next((one for one in situation.tasks if one.id == row.code), None)
    if task is None or not task.active_on(situation.on):
        return None
    found = why_not(task, situation, situation.on)
    return WhyBoard(
        task=tuple(reason_sentence(reason) for reason in found.task),
        missing=missing_words(found.missing),
        kits=tuple(_kit(judged) for judged in found.kits),
        people=tuple(_person(judged) for judged in found.people),
    )


def _kit(judged: KitJudgement) -> Judged:
    kit = judged.kit
    detail = ", ".join(word for word in (FAMILIES.get(kit.family, "not rated"), kit.place) if word)
    return Judged(kit.name or kit.id, detail, tuple(map(reason_sentence, judged.reasons)))


def _person(judged: PersonJudgement) -> Judged:
    reasons = (reason_sentence(judged.reason),) if judged.reason else ()
    return Judged(judged.person.name, FAMILIES.get(judged.family, "kit not rated"), reasons)
