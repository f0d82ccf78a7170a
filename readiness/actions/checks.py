"""Keeping an answer of cover for a permit to work, and saying that a loss of cover is known."""

from __future__ import annotations

import secrets
from datetime import datetime

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from readiness.facts.promised import stated_between, written_promises
from readiness.models import CoverChange, CoverCheck, Task
from readiness.rules.relied import promises
from readiness.rules.statement import Piece
from readiness.wording import reason_sentence
from register.models import Stamp, record
from register.models.ledger import Facts
from register.refusal import Refusal
from register.rules.tags import code_from


@transaction.atomic
def keep_check(
    task: Task, *, begins_at: datetime, ends_at: datetime, permit_reference: str, stamp: Stamp
) -> CoverCheck:
    """Keep that the task is covered for these hours, and by what, with a reference for the permit.

    The site's version moves, so that the keeper looks at the check once it is there: a change that
    came in between is found.
    """
    task = Task.objects.select_for_update(of=("self",)).select_related("site").get(pk=task.pk)
    if ends_at <= max(begins_at, stamp.at):
        raise Refusal("time-over", _("These hours are over. Choose a shift that is still to come."))
    statement = stated_between(task.site, begins_at, ends_at, stamp.at)
    promised = promises(statement.pieces(task.code, begins_at, ends_at))
    if not promised:
        worst = statement.worst(task.code, begins_at, ends_at)
        raise Refusal("not-covered", _why_not(task, worst))
    check = CoverCheck.objects.create(
        reference=code_from(secrets.randbelow),
        site=task.site,
        task=task,
        begins_at=begins_at,
        ends_at=ends_at,
        promised=written_promises(promised, statement.names),
        facts=statement.facts,
        permit_reference=permit_reference.strip(),
        made_by=stamp.by,
        made_at=stamp.at,
    )
    record("keep-check", {check: _said(check)}, stamp=stamp, sites=[task.site])
    return check


def _why_not(task: Task, worst: Piece | None) -> str:
    reasons = worst.answer.reasons if worst and worst.answer else ()
    if not reasons:
        return _(
            "%(task)s is not known to be covered through all of these hours: it is not worked on"
            " in some of them, or something about it is not known."
        ) % {"task": task}
    return _("%(task)s is not covered in all of these hours. %(reasons)s") % {
        "task": task,
        "reasons": " ".join(map(reason_sentence, reasons)),
    }


def _said(check: CoverCheck) -> dict[str, object]:
    served = [
        f"{one['begins_at']} {one['kit']} {','.join(one['people'])} {one['anchor']}"
        for one in check.promised
    ]
    return {
        "reference": check.reference,
        "task": check.task_id,
        "begins_at": check.begins_at.isoformat(),
        "ends_at": check.ends_at.isoformat(),
        "facts": check.facts,
        "served": served,
        "permit": check.permit_reference,
    }


@transaction.atomic
def know_change(change: CoverChange, *, stamp: Stamp) -> CoverChange:
    """Somebody answerable for the site says that they know, and tells those who are at work.

    With it they know of the checks that the same statement made untrue.
    """
    change = CoverChange.objects.select_for_update(of=("self",)).get(pk=change.pk)
    if change.told_at is not None:
        raise Refusal("known-already", _("Somebody has said already that they know of this."))
    together = CoverChange.objects.filter(task=change.task_id, found_at=change.found_at)
    known = list(together.filter(told_at=None).select_for_update().order_by("pk"))
    together.filter(told_at=None).update(told_at=stamp.at, told_by=stamp.by)
    facts: dict[Model, Facts] = {
        one: {"from": one.begins_at.isoformat(), "after": one.after} for one in known
    }
    record("know-change", facts, stamp=stamp)
    change.refresh_from_db()
    return change
