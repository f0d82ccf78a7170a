"""Changes of a site count from their moment on, and change what they name and nothing else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import pytest

from readiness.rules.changes import (
    AnchorExamined,
    AnchorInstalled,
    Dated,
    DrillDone,
    FirstCall,
    KitExamined,
    KitFilled,
    KitMoved,
    KitReleased,
    KitResealed,
    KitTaken,
    KitWithKey,
    PersonTaken,
    PlanReviewed,
    StopWorkLinked,
    SystemChanged,
    TaskMoved,
    TaskStopped,
    TicketHeld,
    changed_spans,
)
from readiness.rules.situation import Clock, Drill, Kit, Plan, Restraint
from readiness.rules.spans import spans
from readiness.rules.timeline import AnchorTime, KitTime, Timeline
from tests.readiness.timelines import (
    DAY,
    FAMILY,
    anchor,
    at,
    kit,
    rescuer,
    site,
    task,
    there,
    whole,
    worked,
)

LONG_AGO = date(2020, 1, 1)
HOURS = (at("06:00"), at("14:00"))


def ground(one: Kit | None = None, **of_task: object) -> Timeline:
    kits = [there(one or kit())]
    return site([worked(task(**of_task), HOURS)], kits, [rescuer("Ada", whole())])


def along(timeline: Timeline, *made: Dated) -> list[tuple[str, str, str]]:
    """(from, until, first reason or state) of the hours worked."""
    found = []
    for span in changed_spans(timeline, made, *whole()):
        clock = [moment.astimezone(timeline.zone) for moment in (span.begins, span.ends)]
        if (answer := span.answers.get("T1")) is not None:
            said = answer.reasons[0].code if answer.reasons else answer.state
            found.append((f"{clock[0]:%H:%M}", f"{clock[1]:%H:%M}", said))
    return found


BROKEN = [
    (kit(seal_intact=False), KitResealed("RK-05")),
    (kit(condition="quarantined"), KitReleased("RK-05")),
    (kit(missing=("rope",)), KitFilled("RK-05")),
    (kit(zone="far"), KitMoved("RK-05", "deck")),
    (kit(locked=True), KitWithKey("RK-05")),
    (
        kit(clocks=(Clock("rope", "periodic", LONG_AGO),)),
        KitExamined("RK-05", (Clock("rope", "periodic", date.max),)),
    ),
]


@pytest.mark.parametrize(("broken", "mend"), BROKEN)
def test_what_is_mended_counts_from_the_hour_in_which_it_is_done(broken: Kit, mend: object) -> None:
    found = along(ground(broken), Dated(at("09:00"), mend))  # type: ignore[arg-type]

    assert [piece[:2] for piece in found] == [("06:00", "09:00"), ("09:00", "14:00")]
    assert found[0][2].startswith("kit-")
    assert found[1][2] == "covered-no-backup"


PLANS = [
    (Plan("Lower", DAY, 15, None), DrillDone("T1", DAY, 6), "drill-due"),
    (Plan("Lower", LONG_AGO, 15, Drill(DAY, 6)), PlanReviewed("T1", DAY), "plan-review-overdue"),
]


@pytest.mark.parametrize(("plan", "mend", "reason"), PLANS)
def test_a_plan_counts_from_the_hour_of_its_review_or_drill(
    plan: Plan, mend: object, reason: str
) -> None:
    found = along(ground(plan=plan), Dated(at("09:00"), mend))  # type: ignore[arg-type]

    assert found == [("06:00", "09:00", reason), ("09:00", "14:00", "covered-no-backup")]


def test_an_anchor_counts_once_it_has_passed_or_is_installed() -> None:
    out = replace(ground(), anchors=(AnchorTime(anchor(due=LONG_AGO)),))
    for mend in (AnchorExamined("AN-1", date.max), AnchorInstalled(anchor("AN-9"), ("T1",))):
        found = along(out, Dated(at("09:00"), mend))
        assert [piece[2] for piece in found] == ["no-rescue-anchor", "covered-no-backup"]


def test_a_lapsed_rescuer_counts_once_refreshed() -> None:
    lapsed = site(
        [worked(task(), HOURS)], [there(kit())], [rescuer("Ada", whole(), through=LONG_AGO)]
    )
    renewed = TicketHeld("Ada", "rescuer", FAMILY, DAY, date.max)

    assert [piece[2] for piece in along(lapsed, Dated(at("09:00"), renewed))] == [
        "rescuer-lapsed",
        "covered-no-backup",
    ]


def test_nobody_hangs_where_the_task_is_stopped_moved_or_made_safe() -> None:
    bare = ground(kit(condition="quarantined"))
    stop = TaskStopped("T1", ((at("08:00"), at("10:00")),))
    proven = SystemChanged("T1", "restraint", Restraint(1, 0, 4))

    assert [piece[:2] for piece in along(bare, Dated(at("00:00"), stop))] == [
        ("06:00", "08:00"),
        ("10:00", "14:00"),
    ]
    assert along(bare, Dated(at("00:00"), TaskMoved("T1", timedelta(days=1)))) == []
    assert along(bare, Dated(at("00:00"), proven))[0][2] == "no-rescue-cover-needed"


def test_what_is_taken_away_serves_nobody_from_then_on() -> None:
    for lost in (KitTaken("RK-05"), PersonTaken("Ada")):
        found = along(ground(), Dated(at("09:00"), lost))
        assert found[0][2] == "covered-no-backup"
        assert found[1][2] in {"no-kit", "no-rescuer"}


def two_tasks(*, stop_work: bool = False) -> Timeline:
    tasks = [worked(task(name), HOURS, exposed=(f"Hand {name}",)) for name in ("T1", "T2")]
    people = [rescuer(name, whole()) for name in ("Ada", "Bela")]
    return site(tasks, [there(kit())], people)


@pytest.mark.parametrize("mend", [FirstCall("T1"), StopWorkLinked(("T1", "T2"))])
def test_first_call_or_stopping_work_settles_a_contest(mend: object) -> None:
    found = along(two_tasks(), Dated(at("09:00"), mend))  # type: ignore[arg-type]

    assert [piece[2] for piece in found] == ["contested", "covered-no-backup"]


def test_first_call_given_to_one_moves_the_others_behind_it() -> None:
    held = two_tasks()
    first, second = held.tasks
    ranked = replace(held, tasks=(first, replace(second, task=replace(second.task, first_call=1))))

    changed = FirstCall("T1").of(ranked)

    assert [one.task.first_call for one in changed.tasks] == [1, 2]


def test_without_changes_the_answers_are_those_of_the_site_as_it_is() -> None:
    asked: Sequence[object] = spans(ground(), *whole())

    assert tuple(changed_spans(ground(), (), *whole())) == tuple(asked)


def test_a_change_touches_no_other_kit() -> None:
    timeline = replace(ground(), kits=(there(kit("RK-1")), there(kit("RK-2"))))

    moved: tuple[KitTime, ...] = KitMoved("RK-1", "far").of(timeline).kits

    assert [one.kit.zone for one in moved] == ["far", "deck"]
