"""What lapses, what cover hangs on, and whose leave uncovers what: solved, not listed by dates."""

from __future__ import annotations

from datetime import date, time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.board.hangs import Hung, hangs_on
from readiness.board.lapses import LapseBoard, lapse_board
from readiness.board.leaves import LeaveBoard, leave_board
from readiness.board.reading import timelines_from
from readiness.models import Competence, KeptStatement, RotaEntry
from readiness.rules.statement import HORIZON_DAYS
from register import clock
from register.models import Person, Role
from tests.factories import DAY, PersonFactory, ShiftFactory, user_as
from tests.readiness.asking import hour, standing
from tests.readiness.grounds import Ground, covered_site, on_rota, rated_kit, train

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    """The rota reaches two months, so that dates end before it does."""
    ground = covered_site()
    for person in (ground.rescuer, ground.worker):
        on_rota(person, ground.zone, ground.shift, DAY + 10 * ONE_DAY, days=50)
    return ground


def lapses(*grounds: Ground, days: int = 30) -> LapseBoard:
    at = hour(grounds[0].site)
    sites = [one.site for one in grounds]
    known = timelines_from(sites, at, HORIZON_DAYS)
    return lapse_board([standing(site, at) for site in sites], known, at, days)


def told(board: LapseBoard) -> list[tuple[str, str, list[tuple[str, str]]]]:
    return [
        (kind, cause.sentence, [(one.task, one.hours) for one in cause.consequences])
        for kind, causes in board.groups
        for cause in causes
    ]


def ticket_through(person: Person, day: date) -> None:
    Competence.objects.filter(person=person, kind="rescuer").update(through_on=day)


def test_a_ticket_that_ends_is_told_with_the_task_it_uncovers(ground: Ground) -> None:
    ticket_through(ground.rescuer, DAY + 9 * ONE_DAY)
    sentence = f"{ground.rescuer.name}: training on controlled descent ended on Wed 18 Mar 2026."
    board = lapses(ground)
    assert told(board) == [("training", sentence, [("CQ-1", "Thu 19 Mar 06:00–18:00")])]
    assert board.uncovers == 1
    assert ground.rescuer.name not in " ".join(one.words for _, one in board.quiet)


def test_a_ticket_whose_end_uncovers_nothing_stands_in_the_quieter_list(ground: Ground) -> None:
    spare = PersonFactory(home_site=ground.site)
    train(spare)
    on_rota(spare, ground.zone, ground.shift, days=60)
    ticket_through(spare, DAY + 9 * ONE_DAY)
    board = lapses(ground)
    assert told(board) == []
    assert (f"{spare.name}: controlled descent", DAY + 9 * ONE_DAY) in [
        (one.words, one.on) for _, one in board.quiet
    ]


def test_one_kit_that_ends_is_one_cause_whatever_it_uncovers(ground: Ground) -> None:
    board = lapses(ground, days=60)
    kinds = dict(board.groups)
    (kit,) = kinds["kit"]
    assert kit.sentence.startswith(f"Kit {ground.kit.name} is out: ")
    assert [one.task for one in kit.consequences] == ["CQ-1"]
    assert [one for _, one in board.quiet if one.kind == "kit" and one.on < kit.begins.date()] == []


def test_what_stands_uncovered_each_night_is_no_lapse(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(22), ends=time(4))
    ground.task.shifts.add(night)
    at = hour(ground.site, time(12), DAY + ONE_DAY)
    known = timelines_from([ground.site], at, HORIZON_DAYS)
    board = lapse_board([standing(ground.site, at)], known, at, 20)
    assert told(board) == []


def test_nothing_is_said_of_a_site_that_facts_have_overtaken(ground: Ground) -> None:
    at = hour(ground.site)
    late = standing(ground.site, at).__class__(
        ground.site, standing(ground.site, at).statement, False
    )
    known = timelines_from([ground.site], at, HORIZON_DAYS)
    board = lapse_board([late], known, at, 90)
    assert (board.groups, board.quiet, board.unknown) == ((), (), (ground.site,))
    assert hangs_on([late], known, at, 30) == []


def hung(*grounds: Ground, days: int = 7) -> list[Hung]:
    at = hour(grounds[0].site)
    sites = [one.site for one in grounds]
    return hangs_on(
        [standing(site, at) for site in sites], timelines_from(sites, at, days), at, days
    )


def test_what_most_workers_depend_on_comes_first(ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    other.task.exposures.create(person=PersonFactory())
    rated_kit(other.zone, "XK-2")
    found = hung(ground, other)
    assert [(one.site, one.heads, one.named_tasks) for one in found[:2]] == [
        (other.site, 2, ["CQ-1"])
    ] * 2
    assert {one.thing.kind for one in found if one.site == other.site} == {"anchor", "person"}
    assert [one.heads for one in found] == sorted((one.heads for one in found), reverse=True)


def test_what_stands_in_only_from_a_later_day_is_told_with_that_day(ground: Ground) -> None:
    second = PersonFactory(home_site=ground.site)
    train(second)
    on_rota(second, ground.zone, ground.shift, days=3)
    first = {one.words: one.first for one in hung(ground)}
    assert first[ground.rescuer.name] == "Thu 12 Mar 06:00"
    assert second.name not in first


def leave(ground: Ground, person: Person, first: date, last: date) -> LeaveBoard:
    return leave_board(person, first, last, [ground.site], hour(ground.site))


def test_the_leave_of_the_only_rescuer_uncovers_the_days_they_are_off(ground: Ground) -> None:
    board = leave(ground, ground.rescuer, DAY + ONE_DAY, DAY + 2 * ONE_DAY)
    assert [(one.task, one.hours) for one in board.uncovered] == [
        ("CQ-1", "tomorrow 06:00–18:00"),
        ("CQ-1", "Wed 11 Mar 06:00–18:00"),
    ]
    assert [one.code for one in board.uncovered[0].told.answer.reasons] == [
        "no-rescuer",
        "no-first-aider",
    ]


def test_the_leave_of_one_of_two_leaves_the_task_hanging_on_the_other(ground: Ground) -> None:
    second = PersonFactory(home_site=ground.site)
    train(second)
    on_rota(second, ground.zone, ground.shift, days=10)
    board = leave(ground, ground.rescuer, DAY + ONE_DAY, DAY + ONE_DAY)
    assert board.uncovered == ()
    (weaker,) = board.weaker
    assert second.name in weaker.told.hangs_on


def test_the_night_begun_before_the_leave_is_still_done(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(22), ends=time(4))
    ground.task.shifts.set([night])
    on_rota(ground.rescuer, ground.zone, night, days=3)
    board = leave(ground, ground.rescuer, DAY + ONE_DAY, DAY + ONE_DAY)
    assert [one.hours for one in board.uncovered] == ["tomorrow night 22:00–04:00"]


def test_who_is_not_on_the_rota_uncovers_nothing(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.worker).delete()
    assert leave(ground, ground.worker, DAY, DAY).sites == ()


@pytest.mark.parametrize(
    ("query", "status"),
    [("", 200), ("from_on=2026-03-10&to_on=2026-03-09", 422), ("person=x", 422)],
)
def test_a_request_that_makes_no_sense_is_shown_again(
    client: Client, ground: Ground, query: str, status: int
) -> None:
    client.force_login(user_as(Role.SUPERVISOR, ground.site))
    assert client.get(f"/leave/?{query}").status_code == status


def test_the_supervisor_reads_what_a_leave_uncovers(client: Client, ground: Ground) -> None:
    client.force_login(user_as(Role.SUPERVISOR, ground.site))
    asked = {"person": ground.rescuer.pk, "from_on": "2026-03-10", "to_on": "2026-03-10"}
    text = client.get("/leave/", asked).content.decode()
    assert "This leave would uncover:" in text
    assert "Nobody on site in these hours is trained in rescue." in text


@pytest.mark.parametrize("address", ["/lapses/", "/hangs-on/"])
def test_five_sites_take_as_many_queries_as_one(client: Client, db: None, address: str) -> None:
    today = clock.now().date()
    covered_site(day=today)
    client.force_login(user_as(Role.MANAGER))
    counts = []
    for more in (0, 4):
        for number in range(more):
            covered_site(f"site-{number}", f"Site {number}", day=today)
        KeptStatement.objects.all().delete()
        for _ in range(5):
            client.get(address)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(address).status_code == 200
        counts.append(len(asked))
    assert counts[0] == counts[1]
