"""Cover along time against one moment looked at apart, and what is true of every site's time.

The sites are invented; the rule is our own. The moment is put together here anew, from the
timeline's windows one by one, and judged as a situation of one whole day.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from readiness.rules.cover import Answer, answers
from readiness.rules.situation import ALWAYS, NEVER, Person, Situation
from readiness.rules.spans import Span, spans
from readiness.rules.timeline import AnchorTime, KitTime, PersonTime, Stay, TaskTime, Timeline, Work
from readiness.rules.windows import ALWAYS as ALL_TIME
from readiness.rules.windows import Window, midnight, moment, united, without
from tests.readiness.cover_sites import ON, ZONES
from tests.readiness.cover_sites import site as drawn_site

DAYS = 4
EXAMPLES = max(20, int(os.environ.get("TALLYHOOK_EXAMPLES", "150")) // 4)
sampled = settings(
    max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck), database=None
)
CLOCKS = (ZoneInfo("Europe/London"), ZoneInfo("Pacific/Auckland"), ZoneInfo("America/St_Johns"))


def hours(dice: Random, zone: ZoneInfo) -> list[Window]:
    """A stretch of each of some days, at times past midnight."""
    begins = dice.choice((0, 6, 6, 7, 14, 22))
    length = timedelta(hours=dice.choice((4, 8, 8, 12, 24)))
    starts = [moment(ON + timedelta(days=n), datetime.min.time(), zone) for n in range(-1, DAYS)]
    return [
        (start + timedelta(hours=begins), start + timedelta(hours=begins) + length)
        for start in starts
        if dice.random() < 0.85
    ]


def timeline(seed: int) -> Timeline:
    """A small drawn site whose people, kits and tasks come and go."""
    dice, drawn = Random(seed), drawn_site(seed, most_tasks=3)  # noqa: S311 - invented
    zone = dice.choice(CLOCKS)
    middle = midnight(ON, zone) + timedelta(hours=dice.randrange(72), minutes=12)

    still = dice.random() < 0.3  # then dates alone divide the time
    begun = ON + timedelta(days=dice.choice((-9, 1, 2)))

    def some(usual: float) -> tuple[Window, ...]:
        return ALL_TIME if still or dice.random() < usual else united(hours(dice, zone))

    return Timeline(
        site="drawn",
        zone=zone,
        kits=tuple(
            KitTime(
                replace(kit, condition=dice.choice(("in service", "in service", "quarantined"))),
                here=some(0.8),
                in_reach=some(0.7),
                out_from=dice.choice((None, middle)),
            )
            for kit in drawn.kits
        ),
        people=tuple(
            PersonTime(
                replace(
                    one,
                    competences=tuple(replace(held, valid_from=begun) for held in one.competences),
                ),
                tuple(Stay(*window, dice.choice((one.zone, *ZONES))) for window in some(0.3)),
            )
            for one in drawn.people
        ),
        anchors=tuple(
            AnchorTime(one, out_from=dice.choice((None, middle))) for one in drawn.anchors
        ),
        tasks=tuple(
            TaskTime(one, tuple(Work(*window, one.exposed) for window in some(0)))
            for one in drawn.tasks
        ),
        travel_minutes=drawn.travel_minutes,
        policy=drawn.policy,
    )


def _always_trained(person: Person) -> Person:
    held = tuple(replace(one, valid_from=date.min) for one in person.competences)
    return replace(person, competences=held)


def edges(one: Timeline) -> Window:
    return midnight(ON, one.zone), midnight(ON + timedelta(days=DAYS), one.zone)


def at_a_moment(one: Timeline, at: datetime) -> Situation:
    """Looked up window by window, with nothing kept from another moment."""
    day = at.astimezone(one.zone).date()

    def now(windows: tuple[Window, ...]) -> bool:
        return any(begins <= at < ends for begins, ends in windows)

    def out(from_when: datetime | None) -> bool:
        return from_when is None or from_when <= at

    there = {who.person.id: [s for s in who.stays if s.begins <= at < s.ends] for who in one.people}
    return Situation(
        on=day,
        kits=tuple(
            replace(
                kit.kit,
                locked=kit.kit.locked or not now(kit.in_reach),
                condition=kit.kit.condition if out(kit.out_from) else "in service",
            )
            for kit in one.kits
            if now(kit.here)
        ),
        people=tuple(
            replace(
                who.person,
                on_site=ALWAYS if there[who.person.id] else NEVER,
                zone="".join({stay.zone for stay in there[who.person.id]}),
            )
            for who in one.people
        ),
        anchors=tuple(
            anchor.anchor
            if out(anchor.out_from)
            else replace(anchor.anchor, condition="in service")
            for anchor in one.anchors
        ),
        tasks=tuple(
            replace(task.task, starts_on=date.min, ends_on=date.max)
            for task in one.tasks
            if any(work.begins <= at < work.ends for work in task.works)
        ),
        travel_minutes=one.travel_minutes,
        policy=one.policy,
        horizon_days=0,
    )


def told(found: dict[str, Answer]) -> dict[str, tuple[object, ...]]:
    return {
        task: (answer.state, answer.hangs_on, answer.reasons, answer.missing, answer.serves)
        for task, answer in found.items()
    }


def span_at(found: tuple[Span, ...], at: datetime) -> Span:
    (span,) = [one for one in found if one.begins <= at < one.ends]
    return span


@sampled
@given(st.integers(0, 2**32), st.lists(st.integers(0, DAYS * 24 * 60 - 61), min_size=3, max_size=8))
def test_the_answer_of_a_span_is_that_of_each_of_its_moments(seed: int, minutes: list[int]) -> None:
    one = timeline(seed)
    found = spans(one, *edges(one))

    for at in (edges(one)[0] + timedelta(minutes=minute) for minute in minutes):
        assert told(dict(span_at(found, at).answers)) == told(answers(at_a_moment(one, at)))


@sampled
@given(st.integers(0, 2**32))
def test_spans_follow_one_another_and_neighbours_differ(seed: int) -> None:
    one = timeline(seed)
    found = spans(one, *edges(one))

    assert (found[0].begins, found[-1].ends) == edges(one)
    assert [span.ends for span in found[:-1]] == [span.begins for span in found[1:]]
    assert all(span.begins < span.ends for span in found)


@sampled
@given(st.integers(0, 2**32))
def test_time_alone_never_improves_a_task_taken_alone(seed: int) -> None:
    """With nobody and nothing coming or going, only dates pass."""
    one = timeline(seed)
    still = replace(
        one,
        kits=tuple(replace(kit, here=ALL_TIME, in_reach=ALL_TIME) for kit in one.kits),
        people=tuple(
            PersonTime(_always_trained(who.person), (Stay(*ALL_TIME[0], who.person.zone),))
            for who in one.people
        ),
        tasks=tuple(
            replace(task, works=(Work(*ALL_TIME[0], task.task.exposed),)) for task in one.tasks[:1]
        ),
    )
    name = still.tasks[0].task.id

    states = [span.answers[name].covered for span in spans(still, *edges(still))]

    assert states == sorted(states, reverse=True)


@sampled
@given(st.integers(0, 2**32))
def test_the_order_of_the_facts_changes_no_span(seed: int) -> None:
    one = timeline(seed)
    turned = replace(
        one,
        kits=one.kits[::-1],
        people=one.people[::-1],
        anchors=one.anchors[::-1],
        tasks=one.tasks[::-1],
    )

    def states(found: tuple[Span, ...], at: datetime) -> dict[str, tuple[str, frozenset[object]]]:
        answers_then = span_at(found, at).answers
        return {
            task: (answer.state, frozenset(answer.hangs_on))
            for task, answer in answers_then.items()
        }

    first, second = spans(one, *edges(one)), spans(turned, *edges(one))
    moments = [span.begins for span in (*first, *second)]

    assert all(states(first, at) == states(second, at) for at in moments)


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(0, 12))), st.lists(st.integers(0, 40)))
def test_what_is_taken_out_of_some_hours_is_out_and_the_rest_is_left(
    spells: list[tuple[int, int]], shut: list[int]
) -> None:
    start = midnight(ON, CLOCKS[0])

    def hour(number: int) -> datetime:
        return start + timedelta(hours=number)

    windows = [(hour(begins), hour(begins + length)) for begins, length in spells]
    lost = [(hour(number), hour(number + 1)) for number in shut]
    left = without(windows, lost)

    def held(found: list[Window] | tuple[Window, ...], number: int) -> bool:
        return any(begins <= hour(number) < ends for begins, ends in found)

    assert all(
        held(left, number) == (held(windows, number) and not held(lost, number))
        for number in range(60)
    )
    assert list(left) == list(united(left))
