"""The morning page and the page of one site: what they say first, and what they cost."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.board.clashes import overlap
from readiness.board.judging import judged
from readiness.board.lapses import lapse_words
from readiness.board.mornings import headline, morning_of
from readiness.board.sites import site_board
from readiness.facts import read, situation_of
from readiness.models import Exposure, RotaEntry
from readiness.rules.situation import Clock
from readiness.views.days import runs_at
from register.models import Role, Shift, Site, User
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    ShiftFactory,
    SiteFactory,
    user_as,
)
from tests.readiness.grounds import (
    FAMILY,
    Ground,
    arrest_task,
    covered_site,
    on_rota,
    plan_for,
    train,
)

ONE_DAY = timedelta(days=1)


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


def signed_in(client: Client, user: User) -> Client:
    client.force_login(user)
    return client


def test_a_covered_morning_is_one_sentence_with_the_time(ground: Ground) -> None:
    sites = morning_of([ground.site], DAY)
    assert headline(sites, "06:42") == "The 1 task is covered, checked 06:42; 1 hangs on one thing."
    assert [site.summary for site in sites] == ["Its one task is covered. 1 hangs on one thing."]


def test_the_site_in_trouble_comes_first_with_its_reason(ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    other.kit.seal_intact = False
    other.kit.save()
    sites = morning_of([ground.site, other.site], DAY)
    assert [site.code for site in sites] == ["skelhope", "corrick"]
    assert sites[0].summary == "Its one task is not covered."
    assert sites[0].why == (
        f"CQ-1, Day: Kit {other.kit.name} is out: the seal is broken or not the recorded one."
    )
    assert headline(sites, "06:42") == "1 of 2 tasks not covered, checked 06:42."


def test_a_task_stands_with_the_worst_of_its_shifts(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night")
    ground.task.shifts.add(night)
    (site,) = morning_of([ground.site], DAY)
    assert [(task.id, task.state_words) for task in site.tasks] == [("CQ-1", "Not covered – Night")]


def test_not_assessed_counts_as_not_covered(ground: Ground) -> None:
    ground.task.heaviest_kg = None
    ground.task.save()
    (site,) = morning_of([ground.site], DAY)
    assert headline([site], "06:42") == "1 of 1 task not covered, checked 06:42."
    assert "Not known: the heaviest person with tools, in kg." in site.why


def test_equipment_on_issue_without_a_task_is_never_shown_as_covered(db: None) -> None:
    site = SiteFactory(code="hollin", name="Hollin Fell")
    ShiftFactory(site=site)
    ItemFactory(
        site=site,
        custody="person",
        holder=PersonFactory(),
        product=ProductFactory(equipment_class="harness"),
    )
    (shown,) = morning_of([site], DAY)
    assert shown.summary == (
        "No task is declared, but 1 piece of arrest equipment is on issue: not known to be covered."
    )
    assert headline([shown], "06:42") == (
        "Nothing is known of the work at Hollin Fell, checked 06:42."
    )


def test_a_site_without_shifts_says_so(db: None) -> None:
    (shown,) = morning_of([SiteFactory()], DAY)
    assert shown.summary == (
        "No shifts are set up, so nobody can be on the rota and nothing is covered."
    )


def test_a_store_without_work_is_not_shown(db: None) -> None:
    assert morning_of([SiteFactory(is_store=True)], DAY) == []


def test_the_line_breaks_on_the_day_nobody_is_on_the_rota(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer, day_on__gte=DAY + 3 * ONE_DAY).delete()
    (task,) = site_board(ground.site, DAY, ground.shift).tasks
    assert task.line_words == (
        "9 Mar 2026 to 11 Mar 2026: covered, no backup; 12 Mar 2026 to 22 Mar 2026: not covered."
    )
    assert task.lapses.startswith("No longer covered from Thu 12 Mar 2026: ")


def lapse_of(ground: Ground) -> str:
    return site_board(ground.site, DAY, ground.shift).tasks[0].lapses


def test_a_lapse_is_told_of_the_kit_that_ends_and_not_of_one_that_never_served(
    ground: Ground,
) -> None:
    (rows,) = read([ground.site], DAY, DAY + 9 * ONE_DAY)
    seen = situation_of(rows, DAY, ground.shift, 9)
    (kit,) = seen.kits
    ends = replace(kit, clocks=(Clock("RK-1", "seal check", DAY + 4 * ONE_DAY),))
    unfit = replace(kit, id="A-0", functions=frozenset())
    seen = replace(seen, kits=(unfit, ends))
    answer = judged(seen)["CQ-1"]
    assert [reason.code for reason in answer.lapse_reasons] == ["kit-lacks-function"]
    assert lapse_words(answer, seen.tasks[0], seen) == (
        f"No longer covered from Sat 14 Mar 2026: Kit {kit.id} is out: RK-1 was last in date on "
        "Fri 13 Mar 2026 (seal check)."
    )


def test_a_lapse_is_told_of_the_rescuer_who_leaves_and_not_of_who_never_could(
    ground: Ground,
) -> None:
    stays, aider = PersonFactory(home_site=ground.site), PersonFactory(home_site=ground.site)
    for person in (stays, aider):
        train(person, family=FAMILY if person == stays else "haul and lower")
        on_rota(person, ground.zone, ground.shift, days=30)
    Exposure.objects.create(task=ground.task, person=stays)
    assert lapse_of(ground) == (
        f"No longer covered from Thu 19 Mar 2026: {ground.rescuer.name} is not on site."
    )


def test_the_page_of_a_quiet_shift_tells_of_another_without_cover(
    client: Client, ground: Ground
) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(18), ends=time(6))
    ground.task.shifts.add(night)
    signed_in(client, user_as(Role.WORKER, ground.site))
    asked = {"on": DAY.isoformat(), "shift": ground.shift.pk}
    page = client.get("/sites/corrick/cover/", asked)
    (other,) = page.context["others"]
    assert (other.name, other.summary) == ("Night 18:00–06:00", "its one task is not covered.")
    assert f"shift={night.pk}" in other.url


def test_who_is_trained_and_not_there_is_named_for_the_rota(client: Client, ground: Ground) -> None:
    away = PersonFactory(home_site=ground.site, name="Ines Carrow")
    train(away)
    signed_in(client, user_as(Role.SUPERVISOR, ground.site))
    page = client.get("/sites/corrick/tasks/CQ-1/why/", {"on": DAY.isoformat()})
    assert page.context["why"].absent == ("Ines Carrow: Controlled descent",)
    assert "Put somebody on the rota" in page.content.decode()


def test_the_manager_reads_which_site_and_why(client: Client, ground: Ground) -> None:
    ground.kit.seal_intact = False
    ground.kit.save()
    page = signed_in(client, user_as(Role.MANAGER)).get("/morning/", {"on": DAY.isoformat()})
    text = page.content.decode()
    assert page.status_code == 200
    assert "1 of 1 task not covered" in text
    assert "the seal is broken or not the recorded one" in text
    assert text.index("Corrick Quay") < text.index("It does not see the weather")


def test_a_supervisor_sees_only_the_own_site(client: Client, ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    signed_in(client, user_as(Role.SUPERVISOR, other.site))
    text = client.get("/morning/", {"on": DAY.isoformat()}).content.decode()
    assert "Skelhope Viaduct" in text
    assert "Corrick Quay" not in text
    assert client.get("/sites/corrick/cover/").status_code == 404


def test_the_site_page_names_who_and_what_serves(client: Client, ground: Ground) -> None:
    signed_in(client, user_as(Role.WORKER, ground.site))
    page = client.get("/sites/corrick/cover/", {"on": DAY.isoformat()})
    text = page.content.decode()
    assert ground.kit.name in text
    assert ground.rescuer.name in text
    assert "Hangs on" in text


def test_every_kit_and_person_is_one_click_away(client: Client, ground: Ground) -> None:
    ground.kit.ability.max_height_m = 10
    ground.kit.ability.save()
    signed_in(client, user_as(Role.WORKER, ground.site))
    text = client.get("/sites/corrick/tasks/CQ-1/why/", {"on": DAY.isoformat()}).content.decode()
    assert f"Kit {ground.kit.name} lowers 10 m; this task is 18 m up." in text
    untrained = text.partition("On site, not trained in rescue")[2]
    assert ground.worker.name in untrained
    assert ground.rescuer.name not in untrained


def test_a_day_that_is_no_day_shows_today(client: Client, ground: Ground) -> None:
    signed_in(client, user_as(Role.MANAGER))
    assert client.get("/morning/", {"on": "soon"}).status_code == 200


def _queries(client: Client, address: str) -> int:
    with CaptureQueriesContext(connection) as asked:
        assert client.get(address, {"on": DAY.isoformat()}).status_code == 200
    return len(asked)


def test_the_morning_of_five_sites_takes_as_many_queries_as_that_of_one(
    client: Client, ground: Ground
) -> None:
    signed_in(client, user_as(Role.MANAGER))
    one = _queries(client, "/morning/")
    for number in range(4):
        covered_site(f"site-{number}", f"Site {number}")
    assert Site.objects.count() == 5
    assert _queries(client, "/morning/") == one


def test_the_page_of_a_site_with_ten_tasks_takes_as_many_queries_as_with_one(
    client: Client, ground: Ground
) -> None:
    signed_in(client, user_as(Role.MANAGER))
    one = _queries(client, "/sites/corrick/cover/")
    for number in range(9):
        arrest_task(ground.zone, ground.shift, f"T-{number}")
    assert _queries(client, "/sites/corrick/cover/") == one


def test_sites_whose_days_differ_stand_on_one_page(client: Client, ground: Ground) -> None:
    for code, zone in (("east", "Pacific/Auckland"), ("west", "Pacific/Honolulu")):
        SiteFactory(code=code, name=f"Far {code}", time_zone=zone)
    signed_in(client, user_as(Role.MANAGER))
    text = client.get("/morning/").content.decode()
    assert "Far east" in text
    assert "Far west" in text


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


def test_overlapping_shifts_are_told_and_never_called_covered(ground: Ground) -> None:
    late = ShiftFactory(site=ground.site, name="Late", begins=time(14), ends=time(22))
    second = arrest_task(ground.zone, late, "CQ-2", day=DAY)
    second.rescue_anchors.add(ground.anchor)
    Exposure.objects.create(task=second, person=PersonFactory())
    plan_for(second, DAY)
    on_rota(ground.rescuer, ground.zone, late, DAY, days=10)
    (morning,) = morning_of([ground.site], DAY)
    assert [task.uncovered for task in morning.tasks] == [False, False]
    assert "Hours overlap (Day 06:00–18:00 / Late 14:00–22:00)" in morning.summary
    assert headline([morning], "06:42").startswith("Shifts overlap at Corrick Quay")
    assert morning.trouble[0] == 1
    late.begins = time(18)
    late.save()
    (apart,) = morning_of([ground.site], DAY)
    assert apart.clash == ""


def test_a_night_meets_the_morning_after_it() -> None:
    night = Shift(name="Night", begins=time(22), ends=time(6, 30))
    early, day = Shift(begins=time(6), ends=time(14)), Shift(begins=time(6, 30), ends=time(14))
    assert (overlap(night, early), overlap(night, day)) == (True, False)


def test_restraint_whose_line_gives_nobody_knows_how_far_is_not_assessed(ground: Ground) -> None:
    task = ground.task
    task.system, task.restraint_reach_m, task.restraint_edge_m = "restraint", 1.5, 9
    task.save()
    (unknown,) = morning_of([ground.site], DAY)[0].tasks
    assert unknown.state == "not-assessed"
    task.restraint_deflection_m = 0
    task.save()
    (rigid,) = morning_of([ground.site], DAY)[0].tasks
    assert rigid.state == "no-rescue-cover-needed"
