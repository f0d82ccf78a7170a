"""Acts on the plan, its drill and the rescue anchors, and the task put off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from readiness.rules.changes import (
    AnchorExamined,
    AnchorInstalled,
    Change,
    DrillDone,
    PlanReviewed,
    PlanWritten,
    TaskMoved,
)
from readiness.rules.remedies.acts import Act, Step
from readiness.rules.remedies.candidates.kits import GOOD_FOR
from readiness.rules.remedies.need import TARGET, Need, plan_to_be
from readiness.rules.situation import IN_SERVICE, Anchor, Drill
from readiness.rules.timeline import Work

UNPLANNED = frozenset({"no-plan", "plan-relies-on-emergency-services", "plan-for-another-method"})
DRILLED = frozenset({"drill-due", "drill-too-slow"})


def plan_acts(need: Need) -> Iterator[Act]:
    if UNPLANNED & need.codes:
        yield _written(need)
        return
    if "plan-review-overdue" in need.codes:
        on = need.means.ready("review-plan").astimezone(need.timeline.zone).date()
        yield _act(need, "review-plan", PlanReviewed(need.task.id, on))
    if DRILLED & need.codes:
        yield _drilled(need)


def _act(need: Need, kind: str, change: Change, **facts: object) -> Act:
    return Act(
        kind=kind,
        what=need.task.id,
        steps=(Step(need.site, need.means.ready(kind), change),),
        cost=need.means.terms.cost(kind),
        facts={"task": need.task.id, **facts},
    )


def _written(need: Need) -> Act:
    """With its first drill: neither helps alone. The cost is that of both."""
    drill = _drilled(need)
    ready = need.means.ready("write-plan") + (drill.ready_at - need.means.now)
    on = ready.astimezone(need.timeline.zone).date()
    minutes = float(str(drill.facts["minutes"]))
    plan = replace(plan_to_be(need.task, on), drill=Drill(on, minutes))
    return Act(
        kind="write-plan",
        what=need.task.id,
        steps=(Step(need.site, ready, PlanWritten(need.task.id, plan)),),
        cost=need.means.terms.cost("write-plan") + drill.cost,
        facts={"task": need.task.id, "minutes": minutes},
    )


def _drilled(need: Need) -> Act:
    """As quick as the last one, or (where none was, or it was too slow) half the target."""
    plan = need.task.plan
    on = need.means.ready("drill").astimezone(need.timeline.zone).date()
    target = TARGET if plan is None else plan.target_minutes
    slow = "drill-too-slow" in need.codes or plan is None or plan.drill is None
    minutes = target / 2 if slow or plan is None or plan.drill is None else plan.drill.minutes
    return _act(need, "drill", DrillDone(need.task.id, on, minutes), minutes=minutes)


def sums_acts(need: Need) -> Iterator[Act]:
    """Sums that something has overtaken, done again: only where what they would give is known."""
    redone = need.means.redone.get(need.key)
    if redone is not None and any(one.answer.missing for one in need.probes):
        yield _act(need, "redo-sums", redone)


def anchor_acts(need: Need) -> Iterator[Act]:
    """Examine those that are out; install one more where none is left or all hangs on one."""
    if "no-rescue-anchor" not in need.codes and "anchor" not in need.hangs_on:
        return
    wanted = set(need.task.rescue_anchors)
    for held in need.timeline.anchors:
        if held.anchor.id in wanted and (act := _examined(need, held.anchor)):
            yield act
    place = need.timeline.places.get(need.task.zone, need.task.zone)
    last = need.bench.last.astimezone(need.timeline.zone).date()
    new = Anchor(id=f"new anchor at {place}", zone=need.task.zone, due=last)
    yield _act(need, "install-anchor", AnchorInstalled(new, (need.task.id,)), place=place)


def _examined(need: Need, anchor: Anchor) -> Act | None:
    slot = need.means.examiners.get(f"anchor {anchor.id}")
    last = need.hours[-1][1].astimezone(need.timeline.zone).date()
    sound = anchor.condition == IN_SERVICE and anchor.due is not None and anchor.due >= last
    if slot is None or sound:
        return None
    until = (slot.ends.astimezone(need.timeline.zone) + GOOD_FOR).date()
    return Act(
        kind="examine-anchor",
        what=anchor.id,
        steps=(Step(need.site, slot.ends, AnchorExamined(anchor.id, until)),),
        cost=need.means.terms.cost("examine-anchor"),
        who=slot.who,
        doer=slot.person,
        uses=frozenset({f"anchor {anchor.id}"}),
        books=slot.booked_at(need.site),
        facts={"anchor": anchor.name or anchor.id},
    )


def postponed(need: Need) -> Iterator[Act]:
    """A task that has not begun may begin a week or two later, on the same weekdays."""
    begins = min((work.begins for one in _ours(need) for work in one), default=None)
    if begins is None or begins <= need.means.now or need.task.starts_on <= _today(need):
        return
    for weeks in (1, 2):
        if begins + timedelta(weeks=weeks) >= need.bench.last:
            return  # out of sight: nothing could be said of it
        yield Act(
            kind="postpone",
            what=need.task.id,
            steps=(
                Step(need.site, need.means.now, TaskMoved(need.task.id, timedelta(weeks=weeks))),
            ),
            cost=need.means.terms.cost("postpone") * weeks,
            uses=frozenset({f"days of {need.key}"}),
            facts={"task": need.task.id, "weeks": weeks},
        )


def _ours(need: Need) -> Iterator[tuple[Work, ...]]:
    yield from (one.works for one in need.timeline.tasks if one.task.id == need.task.id)


def _today(need: Need) -> date:
    return need.means.now.astimezone(need.timeline.zone).date()
