"""Jobs: a set of acts given out to named people, and how each of them ends.

No job changes an answer of rescue cover. Only the record of what was done does.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import Model
from django.utils.translation import gettext as _

from inspections.models import Inspection
from readiness.models import Competence, Drill, Job, Plan, RotaEntry, Task, TaskSums
from readiness.rules.remedies.acts import Act
from readiness.wording.acts import evidence_words
from register.clock import day_at
from register.models import Item, Kit, Person, Site, Stamp, record
from register.refusal import Refusal


@dataclass(frozen=True, slots=True)
class Given:
    """One act, the sentence that tells it, what it costs tasks elsewhere, and by when where that
    is not when it is ready."""

    act: Act
    what: str
    costs: str = ""
    due_at: datetime | None = None


@transaction.atomic
def give_out(task: Task, *, given: Iterable[Given], stamp: Stamp) -> list[Job]:
    """Make a dated job of each act. Refused where another job has taken the same thing meanwhile."""
    task = Task.objects.select_for_update().select_related("site").get(pk=task.pk)
    listed = list(given)
    if not listed:
        raise Refusal("nothing-to-do", _("There is nothing to be done in this set."))
    _refuse_promised(listed)
    jobs = [_job(task, one, stamp) for one in listed]
    facts: dict[Model, Mapping[str, object]] = {job: _facts(job) for job in jobs}
    notes = {f"what_{job.pk}": job.what for job in jobs}
    record(
        "give-out-job",
        facts,
        stamp=stamp,
        notes=notes,
        sites=[task.site, *(job.lender_id for job in jobs)],
    )
    return jobs


def _refuse_promised(given: Iterable[Given]) -> None:
    held = Job.objects.select_for_update().filter(state=Job.State.OPEN)
    taken = {name for uses in held.values_list("uses", flat=True) for name in uses}
    twice = sorted({name for one in given for name in one.act.uses if name in taken})
    if twice:
        raise Refusal(
            "promised-already",
            _("Promised by another job already: %(twice)s. Look again.")
            % {"twice": ", ".join(twice)},
        )


def _job(task: Task, one: Given, stamp: Stamp) -> Job:
    act = one.act
    who = Person.objects.filter(pk=act.doer).first() if act.doer.isdigit() else None
    books = [act.books] if act.books else []
    return Job.objects.create(
        site=task.site,
        task=task,
        kind=act.kind,
        what=one.what[:300],
        costs=one.costs[:300],
        lender=Site.objects.filter(code=act.facts.get("from", "")).first(),
        who=who,
        item=_item(act),
        about=_about(act),
        due_at=one.due_at or act.ready_at,
        uses=[*sorted(act.uses), *books],
        given_at=stamp.at,
        given_by=stamp.by,
    )


def _item(act: Act) -> Item | None:
    if "kit" in act.facts:
        kit = Kit.objects.select_related("item").filter(name=act.facts["kit"]).first()
        return kit.item if kit else None
    return Item.objects.filter(code=act.what).first() if act.kind == "examine-anchor" else None


def _about(act: Act) -> Person | None:
    """Whom it is about: who is trained or put on the shift."""
    known = str(act.facts.get("person_id", ""))
    return Person.objects.filter(pk=known).first() if known.isdigit() else None


def _facts(job: Job) -> dict[str, object]:
    return {
        "kind": job.kind,
        "task": job.task.code,
        "due_at": job.due_at.isoformat(),
        "state": job.state,
    }


@transaction.atomic
def finish_job(job: Job, *, said: str, stamp: Stamp) -> Job:
    """Done, once the register holds what proves it."""
    job = _open(job)
    if lacking := lacking_evidence(job):
        raise Refusal(lacking, evidence_words(lacking))
    return _ended(job, Job.State.DONE, said, stamp)


@transaction.atomic
def drop_job(job: Job, *, said: str, stamp: Stamp) -> Job:
    """It is not done; what it took up is free again."""
    job = _open(job)
    if not said.strip():
        raise Refusal("no-reason", _("Say why the job is dropped."))
    return _ended(job, Job.State.DROPPED, said, stamp)


def _open(job: Job) -> Job:
    job = Job.objects.select_for_update().get(pk=job.pk)
    if job.state != Job.State.OPEN:
        raise Refusal(
            "ended-already",
            _("This job is %(state)s already.") % {"state": job.get_state_display().lower()},
        )
    return job


def _ended(job: Job, state: str, said: str, stamp: Stamp) -> Job:
    job.state, job.reason, job.ended_at = state, said.strip(), stamp.at
    job.save(update_fields=["state", "reason", "ended_at"])
    record("end-job", {job: _facts(job)}, stamp=stamp, notes={"said": said}, sites=[job.site_id])
    return job


def lacking_evidence(job: Job) -> str:
    """The code of what the register does not hold yet; '' where it does, or cannot know."""
    if job.kind not in _PROVEN:
        return ""
    lacking, proven = _PROVEN[job.kind]
    return "" if proven(job) else lacking


def _inspected(job: Job) -> bool:
    return Inspection.objects.filter(item=job.item, recorded_at__gte=job.given_at).exists()


def _drilled(job: Job) -> bool:
    since = day_at(job.site, job.given_at)
    return Drill.objects.filter(plan__task=job.task, drilled_on__gte=since).exists()


def _planned(job: Job) -> bool:
    since = day_at(job.site, job.given_at)
    return Plan.objects.filter(task=job.task, reviewed_on__gte=since).exists()


def _summed(job: Job) -> bool:
    return TaskSums.objects.filter(task=job.task, made_at__gt=job.given_at).exists()


def _trained(job: Job) -> bool:
    since = day_at(job.site, job.given_at)
    return Competence.objects.filter(person=job.about, from_on__gte=since).exists()


def _on_rota(job: Job) -> bool:
    since = day_at(job.site, job.given_at)
    entries = RotaEntry.objects.filter(person=job.about, site=job.site, day_on__gte=since)
    return entries.exists()


def _arrived(job: Job) -> bool:
    item = job.item
    return item is not None and item.site_id == job.site_id and item.bound_for_id is None


def _has_first_call(job: Job) -> bool:
    return job.task.first_call is not None


_INSPECTION = ("no-inspection", _inspected)
_PROVEN: Mapping[str, tuple[str, Callable[[Job], bool]]] = {
    "examine-kit": _INSPECTION,
    "replace-part": _INSPECTION,
    "reseal": _INSPECTION,
    "read-label": _INSPECTION,
    "release": _INSPECTION,
    "examine-anchor": _INSPECTION,
    "drill": ("no-drill", _drilled),
    "review-plan": ("no-plan", _planned),
    "write-plan": ("no-plan", _planned),
    "link-stop-work": ("no-plan", _planned),
    "refresher": ("no-ticket", _trained),
    "person-on-shift": ("not-on-rota", _on_rota),
    "move-kit": ("not-arrived", _arrived),
    "redo-sums": ("no-sums", _summed),
    "first-call": ("no-first-call", _has_first_call),
}
"""What proves each kind of job; of the others the register holds nothing to look for."""
