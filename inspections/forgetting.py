"""Where files that were brought in keep a name as a text: in what was found, asked and told of them."""

from __future__ import annotations

import re
from typing import Any

from inspections.models import Intake
from register.actions.erasing import enter_eraser
from register.intake.keys import name_key
from register.models import Document, Person

ABOUT_PEOPLE = (Intake.Kind.TRAINING, Intake.Kind.ROTA)
_TOLD = ("seen", "choices", "findings")


def rename_in_files(person: Person, called: str) -> None:
    """The texts under the number. A file about people is destroyed with its lines that stayed out;
    its hash stays. A report stays: it is the evidence of an inspection."""
    key = name_key(person.name)
    if not key:
        return
    for intake in Intake.objects.exclude(kind=Intake.Kind.EQUIPMENT).select_for_update():
        told = {name: getattr(intake, name) for name in _TOLD}
        renamed = {name: _without(each, person.name, called) for name, each in told.items()}
        if renamed == told:
            continue
        for name, each in renamed.items():
            setattr(intake, name, each)
        intake.save(update_fields=list(_TOLD))
        if intake.kind in ABOUT_PEOPLE:
            _destroy(intake)


def _destroy(intake: Intake) -> None:
    for document in Document.objects.filter(pk__in=[intake.document_id, intake.leftover_id]):
        document.file.storage.delete(document.file.name)


def _without(told: Any, name: str, called: str) -> Any:
    """The same with the name gone, also from the names of answers about it."""
    if isinstance(told, str):
        return re.sub(re.escape(name), called, told, flags=re.IGNORECASE)
    if isinstance(told, list):
        return [_without(each, name, called) for each in told]
    if isinstance(told, dict):
        key = name_key(name)
        kept = {each: value for each, value in told.items() if key not in each}
        return {each: _without(value, name, called) for each, value in kept.items()}
    return told


enter_eraser(rename_in_files)
