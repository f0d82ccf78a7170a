"""The checklists in force, from their files, and the versions kept of those that were used."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from functools import lru_cache
from pathlib import Path

from django.conf import settings

from inspections.models import ChecklistVersion
from inspections.rules.checklist_files import ChecklistError, read_checklist
from inspections.rules.checklists import Checklist, content_of, hash_of
from register.rules.classes import CLASSES

CHECKLIST_FILES = Path(settings.BASE_DIR) / "fixtures" / "checklists"


def checklist_for(class_slug: str) -> Checklist:
    """The checklist of the class as its file has it now."""
    file = CHECKLIST_FILES / f"{class_slug}.json"
    return _read(file, file.stat().st_mtime_ns)


@lru_cache(maxsize=64)
def _read(file: Path, _changed: int) -> Checklist:
    return read_checklist(file.read_text(encoding="utf-8"), file.name)


def version_kept(found: Checklist, at: datetime) -> ChecklistVersion:
    """The kept version with this very content, kept now where it is the first time."""
    particulars = {
        "equipment_class": found.class_slug,
        "number": found.number,
        "content": content_of(found),
        "kept_at": at,
    }
    return ChecklistVersion.objects.get_or_create(sha256=hash_of(found), defaults=particulars)[0]


def problems() -> Iterator[str]:
    """Every class without a sound file, files of no class, and numbers used before for other words."""
    for class_slug in CLASSES:
        file = CHECKLIST_FILES / f"{class_slug}.json"
        if not file.exists():
            yield f"{file.name}: missing; every class has a checklist"
            continue
        try:
            found = read_checklist(file.read_text(encoding="utf-8"), file.name)
        except ChecklistError as wrong:
            yield str(wrong)
        else:
            yield from _misplaced(found, file)
    for file in sorted(CHECKLIST_FILES.glob("*.json")):
        if file.stem not in CLASSES:
            yield f"{file.name}: there is no such class of equipment"


def _misplaced(found: Checklist, file: Path) -> Iterator[str]:
    if found.class_slug != file.stem:
        yield f"{file.name}, line 1: the file is of class {found.class_slug!r}"
    used = ChecklistVersion.objects.filter(equipment_class=file.stem, number=found.number)
    if used.exclude(sha256=hash_of(found)).exists():
        yield (
            f"{file.name}, line 1: version {found.number} was used before with other words; "
            "give the changed list the next number"
        )
