"""The morning page: what it says first, what it counts, and what it costs."""

from __future__ import annotations

from dataclasses import replace
from datetime import time, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.board.counts import headline
from readiness.board.mornings import SiteMorning, morning_of, site_mornings
from readiness.board.since import since_yesterday
from readiness.board.standings import Standing, nothing_known
from readiness.models import Exposure, RotaEntry
from register import clock
from register.actions.conditions import quarantine
from register.models import Role, Site, User
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    ShiftFactory,
    SiteFactory,
    stamp,
    user_as,
)
from tests.readiness.asking import hour, morning, standing
from tests.readiness.grounds import Ground, arrest_task, covered_site, on_rota, plan_for

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


def mornings(*grounds: Ground) -> list[SiteMorning]:
    sites = [one.site for one in grounds]
    at = hour(sites[0], time(6, 42))
    return morning_of([standing(site, at) for site in sites], at)


def first_words(*sites: SiteMorning) -> str:
    return headline([site.count for site in sites], "06:42")


def test_a_covered_morning_is_one_sentence_with_the_time(ground: Ground) -> None:
    (site,) = mornings(ground)
    assert first_words(site) == (
        "The 1 arrest task is covered for the next 24 h, checked 06:42; 1 hangs on one thing."
    )
    assert site.summary == "Its one task is covered. 1 hangs on one thing."
    assert site.good_until == "Good until Thu 19 Mar 06:00 (CQ-1)."


def test_the_site_in_trouble_comes_first_with_its_hours_and_reason(ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    other.kit.seal_intact = False
    other.kit.save()
    sites = mornings(ground, other)
    assert [site.code for site in sites] == ["skelhope", "corrick"]
    worst = sites[0].worst
    assert worst is not None
    assert sites[0].summary == "Its one task is not covered."
    assert (worst.id, worst.hours) == ("CQ-1", "now until 18:00")
    assert worst.told.headline == (
        f"Kit {other.kit.name} is out: the seal is broken or not the recorded one."
    )
    assert sites[0].good_until == ""
    assert first_words(*sites) == "1 of 2 tasks not covered in the next 24 h, checked 06:42."


def test_the_hours_ahead_reach_into_the_night(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(22), ends=time(6))
    ground.task.shifts.add(night)
    worst = morning(ground.site).worst
    assert worst is not None
    assert worst.hours == "tonight 22:00–06:00"


def test_the_night_that_began_yesterday_runs_now(ground: Ground) -> None:
    night = ShiftFactory(site=ground.site, name="Night", begins=time(22), ends=time(6))
    ground.task.shifts.set([night])
    worst = morning(ground.site, DAY + ONE_DAY, time(3)).worst
    assert worst is not None
    assert (worst.hours, worst.state) == ("now until 06:00", "not-covered")


def test_not_assessed_counts_as_not_covered(ground: Ground) -> None:
    ground.task.heaviest_kg = None
    ground.task.save()
    site = morning(ground.site)
    assert first_words(site) == "1 of 1 task not covered in the next 24 h, checked 06:42."
    assert site.worst is not None
    assert site.worst.told.headline == "Not known: the heaviest person with tools, in kg."


def test_a_statement_that_facts_have_overtaken_counts_as_not_covered(ground: Ground) -> None:
    at = hour(ground.site, time(6, 42))
    late = replace(standing(ground.site, at), fresh=False)
    (site,) = site_mornings([late], hour(ground.site, time(7, 15)))
    assert first_words(site) == "1 of 1 task not covered in the next 24 h, checked 06:42."
    assert site.summary == (
        "Facts have changed since this was worked out (today 06:42): nothing counts as covered."
    )


def test_what_facts_have_overtaken_is_nowhere_told_or_drawn_as_covered(ground: Ground) -> None:
    at = hour(ground.site, time(6, 42))
    (site,) = site_mornings([replace(standing(ground.site, at), fresh=False)], at)
    assert site.worst is None
    assert site.others == ()
    assert site.line is None


def equipment_on_issue(site: Site) -> None:
    ItemFactory(
        site=site,
        custody="person",
        holder=PersonFactory(),
        product=ProductFactory(equipment_class="harness"),
    )


def test_equipment_on_issue_without_a_task_is_never_shown_as_covered(ground: Ground) -> None:
    site = SiteFactory(code="hollin", name="Hollin Fell")
    ShiftFactory(site=site)
    equipment_on_issue(site)
    shown = morning(site)
    assert shown.summary == (
        "No task is declared, but 1 piece of arrest equipment is on issue: not known to be covered."
    )
    assert first_words(morning(ground.site), shown) == (
        "1 of 2 tasks not covered in the next 24 h, checked 06:42."
    )


def test_equipment_on_issue_where_a_task_may_rely_on_it_is_no_undeclared_work(
    ground: Ground,
) -> None:
    equipment_on_issue(ground.site)
    assert morning(ground.site).undeclared == 0
    ground.task.system = "collective"
    ground.task.save()
    assert morning(ground.site).undeclared == 1


def test_a_site_without_shifts_says_so_and_counts(db: None) -> None:
    shown = morning(SiteFactory())
    assert shown.summary == (
        "No shifts are set up, so nobody can be on the rota and nothing is covered."
    )
    assert shown.count.uncovered == 1


def test_a_store_without_work_is_not_shown(db: None) -> None:
    store = SiteFactory(is_store=True)
    at = hour(store)
    assert morning_of([standing(store, at)], at) == []


def test_nothing_to_do_is_a_sentence_with_a_time() -> None:
    assert headline([], "06:42") == ("No task needs rescue cover in the next 24 h, checked 06:42.")


def test_overlapping_shifts_are_judged_together(ground: Ground) -> None:
    late = ShiftFactory(site=ground.site, name="Late", begins=time(14), ends=time(22))
    second = arrest_task(ground.zone, late, "CQ-2", day=DAY)
    second.rescue_anchors.add(ground.anchor)
    Exposure.objects.create(task=second, person=PersonFactory())
    plan_for(second, DAY)
    on_rota(ground.rescuer, ground.zone, late, DAY, days=10)
    ahead = {task.id: task for task in morning(ground.site).tasks}
    assert {code: task.hours for code, task in ahead.items()} == {
        "CQ-1": "today 14:00–18:00",
        "CQ-2": "today 14:00–18:00",
    }
    assert [task.told.answer.reasons[0].code for task in ahead.values()] == ["contested"] * 2


def test_restraint_whose_line_gives_nobody_knows_how_far_is_not_assessed(ground: Ground) -> None:
    task = ground.task
    task.system, task.restraint_reach_m, task.restraint_edge_m = "restraint", 1.5, 9
    task.save()
    (unknown,) = morning(ground.site).tasks
    assert unknown.state == "not-assessed"
    task.restraint_deflection_m = 0
    task.save()
    (rigid,) = morning(ground.site).tasks
    assert rigid.state == "no-rescue-cover-needed"


def test_who_was_taken_off_todays_rota_is_told(ground: Ground) -> None:
    entries = RotaEntry.objects.filter(person=ground.rescuer)
    for day in (DAY, DAY + ONE_DAY):
        take_off_rota(entries.get(day_on=day), stamp=stamp().again())
    (absent,) = since_yesterday([ground.site], NOON).absent
    assert (absent.person, absent.site, absent.shift) == (ground.rescuer, ground.site, "Day")
    assert since_yesterday([SiteFactory()], NOON).absent == ()
    assert since_yesterday([ground.site], NOON + 2 * ONE_DAY).absent == ()


def test_who_was_put_on_again_is_not_absent(ground: Ground) -> None:
    take_off_rota(RotaEntry.objects.get(person=ground.rescuer, day_on=DAY), stamp=stamp())
    put_on_rota(
        ground.site,
        people=[ground.rescuer],
        days=[DAY],
        shift=ground.shift,
        zone=ground.zone,
        stamp=stamp().again(),
    )
    assert since_yesterday([ground.site], NOON).absent == ()


def test_a_quarantine_is_told_until_the_day_after(ground: Ground) -> None:
    quarantine(ground.anchor, reason="damage-found", stamp=stamp())
    found = [since_yesterday([ground.site], NOON + n * ONE_DAY).quarantined for n in range(3)]
    assert [[one.item for one in told] for told in found] == [
        [ground.anchor],
        [ground.anchor],
        [],
    ]


def test_the_manager_reads_which_site_and_why(client: Client, today: Ground) -> None:
    today.kit.seal_intact = False
    today.kit.save()
    page = signed_in(client, user_as(Role.MANAGER)).get("/morning/")
    text = page.content.decode()
    assert page.status_code == 200
    assert "1 of 1 task not covered" in text
    assert "the seal is broken or not the recorded one" in text
    assert text.index("Corrick Quay") < text.index("It does not see the weather")


def test_a_supervisor_sees_only_the_own_site(client: Client, today: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    signed_in(client, user_as(Role.SUPERVISOR, other.site))
    text = client.get("/morning/").content.decode()
    assert "Skelhope Viaduct" in text
    assert "Corrick Quay" not in text
    assert client.get("/sites/corrick/cover/").status_code == 404


def test_at_most_fifty_sites_are_shown_and_the_rest_counted(client: Client, db: None) -> None:
    for number in range(52):
        SiteFactory(code=f"site-{number}", name=f"Site {number}")
    page = signed_in(client, user_as(Role.MANAGER)).get("/morning/")
    assert (len(page.context["sites"]), page.context["more"]) == (50, 2)
    assert "52 of 52 tasks not covered" in page.content.decode()


def test_sites_whose_days_differ_stand_on_one_page(client: Client, today: Ground) -> None:
    for code, zone in (("east", "Pacific/Auckland"), ("west", "Pacific/Honolulu")):
        SiteFactory(code=code, name=f"Far {code}", time_zone=zone)
    signed_in(client, user_as(Role.MANAGER))
    text = client.get("/morning/").content.decode()
    assert "Far east" in text
    assert "Far west" in text


def test_a_site_whose_cover_was_never_worked_out_counts_as_not_covered(ground: Ground) -> None:
    at = hour(ground.site)
    (site,) = site_mornings([Standing(ground.site, nothing_known(ground.site, at), False)], at)
    assert site.summary == "Cover here is not worked out yet: nothing counts as covered."
    assert first_words(site) == "1 of 1 task not covered in the next 24 h, checked 06:42."


def queries_of_the_board(sites: list[Site]) -> int:
    """Beyond those that bring the statements."""
    at = hour(sites[0])
    found = [standing(site, at) for site in sites]
    with CaptureQueriesContext(connection) as asked:
        morning_of(found, at)
        since_yesterday(sites, at)
    return len(asked)


def test_the_morning_of_five_sites_takes_as_many_queries_as_that_of_one(ground: Ground) -> None:
    others = [covered_site(f"site-{n}", f"Site {n}").site for n in range(4)]
    assert queries_of_the_board([ground.site, *others]) == queries_of_the_board([ground.site])
