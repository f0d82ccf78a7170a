"""Acts on tasks that need the same kit or people: first call, stopping work, taking turns."""

from __future__ import annotations

from collections.abc import Iterator

from readiness.rules.changes import FirstCall, StopWorkLinked, TaskStopped
from readiness.rules.remedies.acts import Act, Step
from readiness.rules.remedies.need import Need
from readiness.rules.windows import Window

MOST_RIVALS = 2


def contest_acts(need: Need) -> Iterator[Act]:
    rivals = _rivals(need)
    if not rivals:
        return
    site, task, means = need.site, need.task.id, need.means
    yield Act(
        "first-call",
        task,
        (Step(site, means.ready("first-call"), FirstCall(task)),),
        means.terms.cost("first-call"),
        uses=frozenset({f"first call at {site}"}),
        facts={"task": task},
    )
    yield Act(
        "link-stop-work",
        task,
        (Step(site, means.ready("link-stop-work"), StopWorkLinked((task, *rivals))),),
        means.terms.cost("link-stop-work"),
        facts={"task": task, "rivals": rivals},
    )
    yield from (_turns(need, rival) for rival in rivals[:MOST_RIVALS])


def _rivals(need: Need) -> tuple[str, ...]:
    found: dict[str, None] = {}
    for probe in need.probes:
        for reason in probe.answer.reasons:
            if reason.code == "contested":
                others = reason.facts.get("tasks", ())
                found.update(dict.fromkeys(others))  # type: ignore[call-overload]
    return tuple(found)


def _turns(need: Need, rival: str) -> Act:
    """Each works one half of the hours; who hangs in one half needs nobody in the other."""
    ready = need.means.ready("separate")
    halves = [_halves(hours) for hours in need.hours if hours[0] >= ready]
    ours, theirs = tuple(late for _, late in halves), tuple(early for early, _ in halves)
    return Act(
        "separate",
        rival,
        (
            Step(need.site, ready, TaskStopped(need.task.id, ours)),
            Step(need.site, ready, TaskStopped(rival, theirs)),
        ),
        need.means.terms.cost("separate"),
        uses=frozenset({f"days of {need.key}", f"days of {(need.site, rival)}"}),
        facts={"task": need.task.id, "rival": rival},
    )


def _halves(hours: Window) -> tuple[Window, Window]:
    begins, ends = hours
    middle = begins + (ends - begins) / 2
    return (begins, middle), (middle, ends)
