"""The page of one site and of one task's every kit and person: days, hours, and why."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time, timedelta

import pytest
from django.db import OperationalError, connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.board import standings
from readiness.board.keeping import bring_up_to_date
from readiness.board.reading import timelines_from
from readiness.board.sites import Asked, SiteBoard, TaskRow, site_board
from readiness.models import Competence, Exposure, KeptStatement, RotaEntry, Task
from readiness.rules.moments import Moments
from readiness.rules.statement import HORIZON_DAYS
from readiness.views.days import runs_at
from register import clock
from register.actions.conditions import quarantine
from register.models import Role, Shift, User
from tests.factories import DAY, PersonFactory, stamp, user_as
from tests.readiness.asking import hour, morning
from tests.readiness.grounds import (
    FAMILY,
    Ground,
    arrest_task,
    covered_site,
    on_rota,
    rated_kit,
    train,
)

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


@pytest.fixture
def today(db: None) -> Ground:
    """A covered site for pages, which ask the clock."""
    return covered_site(day=clock.now().date())


def signed_in(client: Client, user: User) -> Client:
    client.force_login(user)
    return client


def board(ground: Ground, day: date = DAY, at: time = time(6, 42)) -> SiteBoard:
    """As read on DAY at 06:42."""
    asked = Asked(day, hour(ground.site, at, day), 14)
    shown = morning(ground.site)
    known = timelines_from([ground.site], hour(ground.site), HORIZON_DAYS)[ground.site.pk]
    tasks = {task.code: task for task in Task.objects.filter(site=ground.site)}
    return site_board(shown, asked, tasks, Moments(known))


def row(ground: Ground, day: date = DAY, at: time = time(6, 42)) -> TaskRow:
    (found,) = board(ground, day, at).rows
    return found


def test_the_line_breaks_on_the_day_nobody_is_on_the_rota(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on__gte=DAY + 3 * ONE_DAY).delete()
    found = row(ground)
    assert found.words == (
        "9 Mar 2026 to 11 Mar 2026: covered, no backup; 12 Mar 2026 to 22 Mar 2026: not covered."
    )
    assert found.lapses == (
        f"No longer covered from Thu 12 Mar 06:00: No first aider in date is within 10 min. "
        f"{ground.rescuer.name} is not on site in these hours.",
    )


def test_each_day_of_each_task_is_a_link_with_its_state_in_words(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on=DAY + ONE_DAY).delete()
    cells = row(ground).cells
    assert len(cells) == 14
    assert [cell.words for cell in cells[:2]] == [
        "CQ-1, Mon 9 Mar: covered, no backup",
        "CQ-1, Tue 10 Mar: not covered",
    ]
    assert cells[1].url == "?on=2026-03-10&days=14#task-CQ-1"
    assert [cell.chosen for cell in cells[:2]] == [True, False]


def hours(found: TaskRow) -> list[tuple[str, str]]:
    return [(one.hours, one.told.state if one.told else "") for one in found.pieces]


def test_a_day_is_told_from_change_to_change(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on=DAY).update(begins=time(9, 15))
    found = row(ground)
    assert hours(found) == [
        ("00:00–06:00", ""),
        ("06:00–09:15", "not-covered"),
        ("09:15–18:00", "covered-no-backup"),
        ("18:00–24:00", ""),
    ]
    assert [one.hours for one in found.pieces if one.chosen] == ["06:00–09:15"]
    assert [(run.left, run.right) for run in found.strip.drawing.runs][1] == (
        98,
        151.08333333333334,
    )


def test_what_changes_between_covered_hours_is_said(ground: Ground) -> None:
    second = rated_kit(ground.zone, "XK-2")
    second.ability.key_from, second.ability.key_until = time(6), time(12)
    second.ability.save()
    assert [one.change for one in row(ground).pieces if one.told] == [
        "",
        f"Now hangs on kit {ground.kit.name}.",
    ]


def test_another_day_is_shown_by_its_own_hours(ground: Ground) -> None:
    later = board(ground, DAY + 12 * ONE_DAY, time(22))
    assert hours(later.rows[0])[1] == ("06:00–18:00", "not-covered")
    assert later.rows[0].why_url == "/sites/corrick/tasks/CQ-1/why/?on=2026-03-21&at=22%3A00"
    assert later.reaches
    assert not board(ground, DAY + 200 * ONE_DAY).reaches


def kit_ends(ground: Ground) -> str:
    RotaEntry.objects.filter(site=ground.site).delete()
    for person in (ground.rescuer, ground.worker):
        on_rota(person, ground.zone, ground.shift, days=60)
    unfit = rated_kit(ground.zone, "A-0")
    unfit.ability.max_height_m = 10
    unfit.ability.save()
    return f"Kit {ground.kit.name} is out: "


def rescuer_goes(ground: Ground) -> str:
    stays, aider = PersonFactory(home_site=ground.site), PersonFactory(home_site=ground.site)
    for person in (stays, aider):
        train(person, family=FAMILY if person == stays else "haul and lower")
        on_rota(person, ground.zone, ground.shift, days=30)
    Exposure.objects.create(task=ground.task, person=stays)
    return f"{ground.rescuer.name} is not on site in these hours."


def ticket_ends(ground: Ground) -> str:
    Competence.objects.filter(kind="rescuer").update(through_on=DAY + 2 * ONE_DAY)
    return f"{ground.rescuer.name}: training on controlled descent ended on Wed 11 Mar 2026."


@pytest.mark.parametrize("spoil", [kit_ends, rescuer_goes, ticket_ends])
def test_a_lapse_is_told_of_what_ends_and_not_of_what_never_served(
    ground: Ground, spoil: Callable[[Ground], str]
) -> None:
    why = spoil(ground)
    (lapse,) = row(ground).lapses
    assert f": {why}" in lapse
    assert "A-0" not in lapse


def test_the_site_page_names_who_and_what_serves(client: Client, today: Ground) -> None:
    signed_in(client, user_as(Role.WORKER, today.site))
    page = client.get("/sites/corrick/cover/", {"at": "12:00"})
    text = page.content.decode()
    assert today.kit.name in text
    assert today.rescuer.name in text
    assert "Hangs on" in text


@pytest.mark.parametrize("query", ["on=soon", "at=25:99", "days=7", "on=2020-01-01&at=06:00"])
def test_what_is_no_day_and_no_hour_is_answered_all_the_same(
    client: Client, today: Ground, query: str
) -> None:
    signed_in(client, user_as(Role.MANAGER))
    assert client.get(f"/sites/corrick/cover/?{query}").status_code == 200
    assert client.get(f"/sites/corrick/tasks/CQ-1/why/?{query}").status_code == 200


def why(client: Client, ground: Ground, day: date = DAY, at: str = "12:00") -> str:
    asked = {"on": day.isoformat(), "at": at}
    return client.get("/sites/corrick/tasks/CQ-1/why/", asked).content.decode()


def test_every_kit_and_person_is_judged_at_the_hour(client: Client, ground: Ground) -> None:
    ground.kit.ability.max_height_m = 10
    ground.kit.ability.save()
    signed_in(client, user_as(Role.WORKER, ground.site))
    text = why(client, ground)
    assert f"Kit {ground.kit.name} lowers 10 m; this work is 18 m up." in text
    untrained = text.partition("On site, not trained in rescue")[2]
    assert ground.worker.name in untrained
    assert ground.rescuer.name not in untrained
    assert "not worked on at this hour" in why(client, ground, at="22:00")


def test_who_is_trained_and_not_there_is_named_for_the_rota(client: Client, ground: Ground) -> None:
    away = PersonFactory(home_site=ground.site, name="Ines Carrow")
    train(away)
    signed_in(client, user_as(Role.SUPERVISOR, ground.site))
    text = why(client, ground)
    assert "Ines Carrow: Controlled descent" in text
    assert "Put somebody on the rota" in text


def _queries(client: Client) -> int:
    """With the statement kept already."""
    KeptStatement.objects.all().delete()
    client.get("/sites/corrick/cover/")
    with CaptureQueriesContext(connection) as asked:
        assert client.get("/sites/corrick/cover/").status_code == 200
    return len(asked)


def test_the_page_of_a_site_with_ten_tasks_takes_as_many_queries_as_with_one(
    client: Client, today: Ground
) -> None:
    signed_in(client, user_as(Role.MANAGER))
    one = _queries(client)
    for number in range(9):
        arrest_task(today.zone, today.shift, f"T-{number}", clock.now().date())
    assert _queries(client) == one


@pytest.mark.parametrize(
    ("begins", "ends", "moment", "runs"),
    [
        (time(6), time(14), time(6), True),
        (time(6), time(14), time(14), False),
        (time(22), time(6), time(23), True),
        (time(22), time(6), time(5), False),
    ],
)
def test_a_shift_past_midnight_belongs_to_the_day_it_begins(
    begins: time, ends: time, moment: time, *, runs: bool
) -> None:
    assert runs_at(Shift(begins=begins, ends=ends), moment) is runs


def test_what_facts_have_overtaken_is_not_drawn_as_covered(
    client: Client, today: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_args: object) -> None:
        raise OperationalError("locked")

    bring_up_to_date(today.site, clock.now())
    quarantine(today.kit.item, reason="seal-broken", stamp=stamp(at=clock.now()))
    monkeypatch.setattr(standings, "bring_up_to_date", busy)

    shown = signed_in(client, user_as(Role.SUPERVISOR, today.site)).get(
        today.site.get_absolute_url()
    )

    page = shown.content.decode()
    assert "nothing counts as covered" in page
    assert "Covered, no backup" not in page.split("What the lines say")[0]
    assert "task-state" not in page
