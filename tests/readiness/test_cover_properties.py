"""Rescue cover against plain enumeration, and what is true of every answer.

The sites are invented; the rule is our own.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import timedelta
from itertools import combinations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from readiness.rules.allocation import Serving, Solution, solve
from readiness.rules.cover import Answer, answers
from readiness.rules.demand import contests
from readiness.rules.site_day import site_day
from readiness.rules.situation import Situation, Task
from readiness.rules.suitability import own_reasons
from tests.readiness import cover_oracle as oracle
from tests.readiness.cover_sites import pinned_sites, sites
from tests.readiness.cover_sites import site as drawn_site

EXAMPLES = int(os.environ.get("TALLYHOOK_EXAMPLES", "150"))
sampled = settings(
    max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), database=None
)


def running(site: Situation) -> list[Task]:
    return oracle.active(site, site.on)


def alone(site: Situation, task: Task) -> Situation:
    """Only this task asks for cover. Who is exposed elsewhere stays exposed."""
    others = tuple(replace(other, plan=None) for other in site.tasks if other.id != task.id)
    return replace(site, tasks=(task, *others))


def covered_alone(site: Situation) -> set[str]:
    return {task.id for task in running(site) if answers(alone(site, task))[task.id].covered}


def solutions(site: Situation) -> list[Solution]:
    return [solve(contest) for contest in contests(site_day(site, site.on))]


def at_once(site: Situation) -> int:
    """The largest number coverable at once, first call ignored."""
    free = replace(site, tasks=tuple(replace(task, first_call=None) for task in site.tasks))
    return sum(len(solution.best) for solution in solutions(free))


@sampled
@given(sites(most_tasks=4) | pinned_sites(most_tasks=4))
def test_a_task_counts_as_covered_when_every_best_assignment_covers_it(site: Situation) -> None:
    found = {task for task, answer in answers(site).items() if answer.covered}
    assert found == oracle.covered(site, site.on)


@sampled
@given(sites() | pinned_sites())
def test_cover_hangs_on_what_enumeration_finds(site: Situation) -> None:
    found = {
        task: [(thing.kind, thing.id) for thing in answer.hangs_on]
        for task, answer in answers(site).items()
        if answer.covered
    }
    assert found == oracle.hangs_on(site, site.on)


@sampled
@given(sites())
def test_cover_lapses_on_the_day_enumeration_finds(site: Situation) -> None:
    found = {task: answer.lapses_on for task, answer in answers(site).items() if answer.lapses_on}
    assert found == oracle.lapses(site)


@sampled
@given(sites() | pinned_sites())
def test_a_task_has_reasons_of_its_own_unless_it_could_be_covered_alone(site: Situation) -> None:
    today = site_day(site, site.on)
    unhindered = {task.id for task in running(site) if not own_reasons(task, today)}
    assert unhindered == oracle.coverable(site, site.on)
    for task, answer in answers(site).items():
        contested = [reason.code for reason in answer.reasons] == ["contested"]
        assert contested == (task in unhindered and not answer.covered)


@sampled
@given(sites(most_tasks=4) | pinned_sites(most_tasks=4))
def test_a_contested_task_names_those_after_the_same_kits_or_people(site: Situation) -> None:
    tasks = {task.id: task for task in running(site)}
    for task, answer in answers(site).items():
        for reason in answer.reasons:
            if reason.code == "contested":
                named = list(reason.facts["tasks"])  # type: ignore[call-overload]
                assert named == oracle.rivals(tasks[task], site, site.on)


@sampled
@given(sites() | pinned_sites())
def test_the_named_answer_keeps_every_rule(site: Situation) -> None:
    for task in running(site):
        answer = answers(site)[task.id]
        assert (answer.serves is not None) == answer.covered
        if answer.covered:
            assert faults(answer, task, site) == []


def faults(answer: Answer, task: Task, site: Situation) -> list[str]:
    """What is wrong with a named answer, checked one rule at a time."""
    serves, plan = answer.serves, task.plan
    assert serves is not None
    assert plan is not None
    kit = next(one for one in site.kits if one.id == serves.kit)
    anchor = next(one for one in site.anchors if one.id == serves.anchor)
    team = [one for one in site.people if one.id in serves.people]
    exposed = [one for one in team if one.id in task.exposed]
    needed = plan.min_rescuers + 1 if exposed else plan.min_rescuers
    aiders = [one for one in site.people if one.id in serves.first_aiders]
    longest = max(oracle.way(site, one.zone, task.zone) for one in (kit, *team))
    drill = plan.drill.minutes if plan.drill else 0
    checks = {
        "kit": oracle.kit_fits(kit, task, site, site.on),
        "anchor": anchor.id in task.rescue_anchors and (anchor.due or site.on) >= site.on,
        "able": all(oracle.able(one, kit.family, task, site, site.on) for one in team),
        "number": len(team) == len(set(serves.people)) >= needed,
        "mutual": plan.mutual_rescue or not exposed,
        "minutes": serves.minutes == site.policy.alarm_minutes + longest + drill,
        "target": serves.minutes <= plan.target_minutes,
        "first aid": len(aiders) > 1 or any(one.id not in task.exposed for one in aiders),
    }
    if task.pinned is not None:
        pin = task.pinned
        checks["pinned"] = (serves.kit, set(serves.people), serves.anchor) == (
            pin.kit,
            set(pin.people),
            pin.anchor,
        )
    return [name for name, kept in checks.items() if not kept]


@sampled
@given(sites(most_tasks=4))
def test_kits_and_people_serve_two_tasks_only_where_both_may_share(site: Situation) -> None:
    tasks = {task.id: task for task in site.tasks}
    servings = [serving for solution in solutions(site) for serving in solution.best]
    for one, two in combinations(servings, 2):
        if tied_up(one) & tied_up(two):
            assert oracle.shareable(tasks[one.task], tasks[two.task], site)
            assert oracle.shareable(tasks[two.task], tasks[one.task], site)


def tied_up(serving: Serving) -> set[tuple[str, str]]:
    return {("kit", serving.kit), *(("person", one) for one in serving.people)}


@sampled
@given(sites(), st.data())
def test_losing_a_thing_never_helps_a_task_alone_nor_the_number_at_once(
    site: Situation, data: st.DataObject
) -> None:
    kind, lost = data.draw(st.sampled_from(oracle.things(site)))
    less = oracle.without(site, kind, lost)
    assert covered_alone(less) <= covered_alone(site)
    assert at_once(less) <= at_once(site) == oracle.most_at_once(site, site.on)


@sampled
@given(sites(), st.data())
def test_a_later_date_never_harms_a_task_alone_nor_the_number_at_once(
    site: Situation, data: st.DataObject
) -> None:
    kit = data.draw(st.sampled_from(site.kits))
    renewed = replace(kit, clocks=tuple(replace(one, due=None) for one in kit.clocks))
    worse = replace(site, kits=tuple(renewed if one is kit else one for one in site.kits))
    assert covered_alone(worse) <= covered_alone(site)
    assert at_once(worse) <= at_once(site)


@sampled
@given(sites() | pinned_sites())
def test_the_order_of_the_input_changes_nothing(site: Situation) -> None:
    turned = replace(
        site,
        kits=site.kits[::-1],
        people=site.people[::-1],
        anchors=site.anchors[::-1],
        tasks=site.tasks[::-1],
    )
    assert unordered(answers(turned)) == unordered(answers(site))


def unordered(found: dict[str, Answer]) -> dict[str, tuple[object, ...]]:
    return {
        task: (
            answer.state,
            set(answer.hangs_on),
            answer.lapses_on,
            [reason.code for reason in answer.reasons],
            [reason.code for reason in answer.lapse_reasons],
        )
        for task, answer in found.items()
    }


@sampled
@given(sites(most_tasks=4))
def test_a_search_cut_short_only_ever_says_no_sooner(site: Situation) -> None:
    full, short = answers(site), answers(site, budget=0)
    for task, answer in short.items():
        if answer.finished:
            assert answer.state == full[task].state
        if answer.covered:
            assert full[task].covered
            assert set(full[task].hangs_on) <= set(answer.hangs_on)


@sampled
@given(sites())
def test_time_alone_never_improves_a_task_alone(site: Situation) -> None:
    """But for a rostered arrival, or where one exposed elsewhere comes free; here neither is."""
    stays = tuple(
        replace(person, on_site=tuple((start.min, end) for start, end in person.on_site))
        for person in site.people
    )
    tasks = tuple(replace(task, ends_on=site.on.max) for task in site.tasks)
    today = replace(site, people=stays, tasks=tasks)
    later = replace(today, on=site.on + timedelta(days=2))
    then = {task.id for task in running(today)} & covered_alone(later)
    assert then <= covered_alone(today)


@sampled
@given(sites(most_tasks=2), sites(most_tasks=2))
def test_a_task_never_depends_on_another_site(one: Situation, two: Situation) -> None:
    """Two sites told as one, with nothing between them, answer as each does alone."""
    both = replace(
        one,
        kits=(*one.kits, *(replace(kit, id=f"{kit.id}x", zone=f"{kit.zone}x") for kit in two.kits)),
        people=(
            *one.people,
            *(replace(person, id=f"{person.id}x", zone=f"{person.zone}x") for person in two.people),
        ),
        anchors=(*one.anchors, *(replace(anchor, id=f"{anchor.id}x") for anchor in two.anchors)),
        tasks=(*one.tasks, *(moved(task) for task in two.tasks)),
        travel_minutes={
            **one.travel_minutes,
            **{(f"{a}x", f"{b}x"): way for (a, b), way in two.travel_minutes.items()},
        },
    )
    together, apart = answers(both), answers(one)
    assert {task: together[task].state for task in apart} == {
        task: answer.state for task, answer in apart.items()
    }


def moved(task: Task) -> Task:
    return replace(
        task,
        id=f"{task.id}x",
        zone=f"{task.zone}x",
        exposed=tuple(f"{one}x" for one in task.exposed),
        rescue_anchors=tuple(f"{one}x" for one in task.rescue_anchors),
    )


def test_a_search_cut_short_covers_nothing_it_has_not_proven_and_says_so() -> None:
    crowded = drawn_site(61, most_tasks=5)
    assert answers(crowded)["T-2"].covered
    cut = answers(crowded, budget=0)["T-2"]
    assert (cut.state, cut.finished) == ("not-covered", False)
    assert [reason.code for reason in cut.reasons] == ["search-not-finished"]
