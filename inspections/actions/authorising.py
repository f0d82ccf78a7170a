"""Who may inspect what, from a day through a day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.models import Authorisation
from inspections.rules.kinds import KINDS
from register.models import Person, Stamp, record
from register.refusal import Refusal
from register.rules.classes import CLASSES


@dataclass(frozen=True, slots=True)
class Evidence:
    """What shows that somebody is competent, and of whom they are independent."""

    basis: str
    independence: str = ""


@transaction.atomic
def authorise(
    person: Person,
    *,
    classes: Sequence[str],
    kinds: Sequence[str],
    from_on: date,
    through_on: date,
    evidence: Evidence,
    stamp: Stamp,
) -> Authorisation:
    """Let a person inspect these classes by these kinds; empty means all of them."""
    _refuse_unknown(classes, kinds)
    if not evidence.basis.strip():
        raise Refusal(
            "basis-missing", _("Say what shows that %(person)s is competent.") % {"person": person}
        )
    given = Authorisation(
        person=person,
        classes=list(classes),
        kinds=list(kinds),
        from_on=from_on,
        through_on=through_on,
        given_by=stamp.by,
        **asdict(evidence),
    )
    given.full_clean()
    given.save()
    facts = {"classes": list(classes), "kinds": list(kinds), "through_on": through_on.isoformat()}
    record("authorise", {person: facts}, stamp=stamp)
    return given


def _refuse_unknown(classes: Sequence[str], kinds: Sequence[str]) -> None:
    if unknown := sorted({*classes} - CLASSES.keys() | {*kinds} - KINDS.keys()):
        raise Refusal(
            "class-or-kind-unknown",
            _("Not a class or a kind: %(unknown)s.") % {"unknown": ", ".join(unknown)},
        )
