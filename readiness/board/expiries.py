"""Everything of a site that has a last good day, whether or not anything depends on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from readiness.rules.months import months_after
from readiness.rules.timeline import Timeline

KIT, ANCHOR, TRAINING, ROTA, PLAN, DRILL, OTHER = (
    "kit",
    "anchor",
    "training",
    "rota",
    "plan",
    "drill",
    "other",
)


@dataclass(frozen=True, slots=True)
class Expiry:
    """`thing` is the id of a kit or anchor, a person's name, or the task of a plan or drill."""

    kind: str
    thing: str
    words: str
    on: date


def expiries(timeline: Timeline, first: date, last: date) -> list[Expiry]:
    """Those whose last good day lies within, each once, in the order of the days."""
    every = [*_kits(timeline), *_anchors(timeline), *_training(timeline), *_plans(timeline)]
    within = dict.fromkeys(one for one in every if first <= one.on < last)
    return sorted(within, key=lambda one: (one.on, one.words))


def _kits(timeline: Timeline) -> Iterator[Expiry]:
    for one in timeline.kits:
        kit = one.kit
        for clock in kit.clocks:
            if clock.due is not None:
                words = {"kit": kit.name or kit.id, "part": clock.part, "clock": clock.clock}
                same = clock.part == words["kit"]
                said = (
                    _("Kit %(kit)s: %(clock)s") if same else _("Kit %(kit)s, %(part)s: %(clock)s")
                )
                yield Expiry(KIT, kit.id, said % words, clock.due)


def _anchors(timeline: Timeline) -> Iterator[Expiry]:
    for one in timeline.anchors:
        anchor = one.anchor
        if anchor.due is not None:
            words = _("Anchor %(anchor)s") % {"anchor": anchor.name or anchor.id}
            yield Expiry(ANCHOR, anchor.id, words, anchor.due)


def _training(timeline: Timeline) -> Iterator[Expiry]:
    """A renewal counts: only the last day of each kind is told."""
    for one in timeline.people:
        through: dict[str, date] = {}
        for held in one.person.competences:
            what = held.family if held.kind == "rescuer" else held.kind
            through[what] = max(held.valid_to, through.get(what, held.valid_to))
        for what, end in through.items():
            words = {"person": one.person.name, "what": what}
            yield Expiry(TRAINING, one.person.name, _("%(person)s: %(what)s") % words, end)


def _plans(timeline: Timeline) -> Iterator[Expiry]:
    for one in timeline.tasks:
        task, plan = one.task, one.task.plan
        if plan is not None and plan.reviewed is not None:
            end = months_after(plan.reviewed, timeline.policy.plan_review_months)
            yield Expiry(
                PLAN, task.id, _("Review of the plan of %(task)s") % {"task": task.id}, end
            )
        if plan is not None and plan.drill is not None:
            end = months_after(plan.drill.on, timeline.policy.drill_months)
            yield Expiry(
                DRILL, task.id, _("Drill of the plan of %(task)s") % {"task": task.id}, end
            )
