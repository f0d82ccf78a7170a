"""Every kit and person judged for one task: who and what would do, and what speaks against the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from readiness.board.answers import missing_words
from readiness.models import family_name
from readiness.rules.situation import Person, Situation
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
    """`people` are trained and on site; `absent` are trained, with what on; `untrained` on site."""

    task: tuple[str, ...]
    missing: tuple[str, ...]
    kits: tuple[Judged, ...]
    people: tuple[Judged, ...]
    absent: tuple[str, ...]
    untrained: tuple[str, ...]


def why_board(situation: Situation, code: str) -> WhyBoard | None:
    """None where the task is not worked on at that moment. Who and what would do stands first."""
    task = next((one for one in situation.tasks if one.id == code), None)
    if task is None:
        return None
    found = why_not(task, situation, situation.on)
    absent, untrained = _no_rescuers(found.people)
    return WhyBoard(
        task=tuple(reason_sentence(reason) for reason in found.task),
        missing=missing_words(found.missing),
        kits=_best_first(_kit(judged) for judged in found.kits),
        people=_best_first(
            _person(judged) for judged in found.people if not _is_no_rescuer(judged)
        ),
        absent=_trained(absent, situation.on),
        untrained=tuple(person.name for person in untrained),
    )


def _best_first(rows: Iterable[Judged]) -> tuple[Judged, ...]:
    return tuple(sorted(rows, key=lambda one: len(one.reasons)))


def _kit(judged: KitJudgement) -> Judged:
    kit = judged.kit
    detail = ", ".join(
        word for word in (family_name(kit.family, _("not rated")), kit.place) if word
    )
    return Judged(kit.name or kit.id, detail, tuple(map(reason_sentence, judged.reasons)))


def _person(judged: PersonJudgement) -> Judged:
    reasons = (reason_sentence(judged.reason),) if judged.reason else ()
    return Judged(judged.person.name, family_name(judged.family, _("kit not rated")), reasons)


def _is_no_rescuer(judged: PersonJudgement) -> bool:
    """Whatever the kit: not on site, or never trained."""
    return judged.reason is not None and judged.reason.code == "no-rescuer"


def _no_rescuers(people: Iterable[PersonJudgement]) -> tuple[list[Person], list[Person]]:
    """Each person once: those not on site, and those on site who were never trained."""
    by_id: dict[bool, dict[str, Person]] = {False: {}, True: {}}
    for judged in people:
        if judged.reason is not None and _is_no_rescuer(judged):
            by_id[bool(judged.reason.facts["on_site"])][judged.person.id] = judged.person
    return list(by_id[False].values()), list(by_id[True].values())


def _trained(people: Iterable[Person], day: date) -> tuple[str, ...]:
    """Those in date, such as 'Bram Oakes: Controlled descent': who could be put on the rota."""
    found = []
    for person in people:
        held = {
            family_name(one.family, one.family)
            for one in person.competences
            if one.kind == "rescuer" and one.valid_from <= day <= one.valid_to
        }
        if held:
            found.append(f"{person.name}: {', '.join(sorted(held))}")
    return tuple(found)
