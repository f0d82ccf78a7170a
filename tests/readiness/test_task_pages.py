"""The forms about tasks, plans, drills, training, the rota and kits: what they keep and refuse."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from readiness.models import Competence, Drill, KitAbility, Plan, RotaEntry, Task
from register.clock import today
from register.models import ActNote, Role
from register.wording import shown_day
from tests.factories import DAY, ZoneFactory, user_as
from tests.readiness.grounds import FAMILY, Ground, covered_site

ANSWERS = {
    "ground": "The gutter is at 18 m",
    "safe_place": "There is none",
    "collective": "A rail would stand on the gutter itself",
    "restraint": "The edge is the place of work",
    "arrest": "A retractable overhead, 6.75 m clear",
}


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


@pytest.fixture
def manager(client: Client, ground: Ground) -> Client:
    client.force_login(user_as(Role.MANAGER))
    return client


def particulars(ground: Ground, **changed: object) -> dict[str, object]:
    said: dict[str, object] = {
        "code": "NT-1",
        "name": "Gutters",
        "zone": ground.zone.pk,
        "from_on": DAY.isoformat(),
        "to_on": (DAY + timedelta(days=9)).isoformat(),
        "system": "arrest",
        "shifts": [ground.shift.pk],
        "anchors": [ground.anchor.pk],
        "exposed": [ground.worker.pk],
        "heaviest_kg": 112,
    }
    return {**said, **changed}


def test_an_arrest_task_is_declared_with_the_answers_to_the_five_questions(
    manager: Client, ground: Ground
) -> None:
    page = manager.post("/sites/corrick/tasks/new/", {**particulars(ground), **ANSWERS})
    assert page.status_code == 302
    task = Task.objects.get(code="NT-1")
    assert [one.person for one in task.exposures.all()] == [ground.worker]
    assert "Why not restraint? The edge is the place of work" in ActNote.objects.get().text
    shown = manager.get(task.get_absolute_url()).content.decode()
    assert "There is no plan, so the task is not covered." in shown
    assert "The edge is the place of work" in shown


def test_an_evasive_answer_is_refused_and_nothing_typed_is_lost(
    manager: Client, ground: Ground
) -> None:
    said = {**particulars(ground), **ANSWERS, "collective": "n/a"}
    page = manager.post("/sites/corrick/tasks/new/", said)
    assert page.status_code == 422
    text = page.content.decode()
    assert "this says nothing" in text
    assert 'value="Gutters"' in text
    assert "A retractable overhead" in text
    assert not Task.objects.filter(code="NT-1").exists()


@pytest.mark.parametrize("evasion", ["n/a", "no", "same as before", "Yes here", "-"])
def test_a_stroke_or_a_bare_no_is_no_answer(manager: Client, ground: Ground, evasion: str) -> None:
    said = {**particulars(ground), **ANSWERS, "ground": evasion}
    assert manager.post("/sites/corrick/tasks/new/", said).status_code == 422


@pytest.mark.parametrize(("edge", "status"), [("3.4", 302), ("2.0", 422)])
def test_restraint_answers_three_questions_and_unproven_restraint_all_five(
    manager: Client, ground: Ground, edge: str, status: int
) -> None:
    restraint = {"restraint_reach_m": "2", "restraint_deflection_m": "0", "restraint_edge_m": edge}
    three = {name: ANSWERS[name] for name in ("ground", "safe_place", "collective")}
    said = {**particulars(ground, system="restraint"), **restraint, **three}
    assert manager.post("/sites/corrick/tasks/new/", said).status_code == status


def test_answers_of_last_time_may_be_used_again_and_keep_their_day(
    manager: Client, ground: Ground
) -> None:
    manager.post("/sites/corrick/tasks/new/", {**particulars(ground), **ANSWERS})
    address = "/sites/corrick/tasks/NT-1/edit/"
    again = {**particulars(ground), "reuse": "on", "ground": "The gutter is now at 20 m"}
    assert manager.post(address, again).status_code == 302
    newest = ActNote.objects.order_by("-pk").first()
    assert newest is not None
    first, *_others, last = newest.text.splitlines()
    assert first.endswith("The gutter is now at 20 m")
    day = shown_day(newest.act.at.date())
    assert "A retractable overhead, 6.75 m clear" in last
    assert f"[answered {day} by" in last
    assert manager.post(address, {**particulars(ground), "reuse": "on"}).status_code == 302
    twice = ActNote.objects.order_by("-pk").first()
    assert twice is not None
    assert twice.text.splitlines()[-1] == last, "it keeps the day on which it was first given"


def test_the_sum_of_restraint_stands_beside_its_question(manager: Client, ground: Ground) -> None:
    address = "/sites/corrick/tasks/CQ-1/edit/"
    assert "is not known: give it" in manager.get(address).content.decode()
    Task.objects.filter(pk=ground.task.pk).update(restraint_edge_m=3.4)
    told = "Anchor 3.4 m from the edge: a fixed lanyard of up to 2.9 m would be proven restraint."
    assert told in manager.get(address).content.decode()


def test_a_task_behind_a_rail_asks_no_questions(manager: Client, ground: Ground) -> None:
    said = particulars(ground, system="collective")
    assert manager.post("/sites/corrick/tasks/new/", said).status_code == 302


def test_restraint_needs_to_know_how_far_the_line_gives(manager: Client, ground: Ground) -> None:
    page = manager.post("/sites/corrick/tasks/new/", particulars(ground, system="restraint"))
    assert page.status_code == 422
    assert "How far the line gives under a load" in page.content.decode()


def test_a_taken_code_is_told_in_words(manager: Client, ground: Ground) -> None:
    said = {**particulars(ground, code="CQ-1"), **ANSWERS}
    page = manager.post("/sites/corrick/tasks/new/", said)
    assert page.status_code == 422
    assert Task.objects.count() == 1


def test_a_zone_of_another_site_is_not_offered(manager: Client, ground: Ground) -> None:
    strange = ZoneFactory()
    page = manager.post("/sites/corrick/tasks/new/", particulars(ground, zone=strange.pk))
    assert page.status_code == 422
    assert "Select a valid choice" in page.content.decode()


def test_a_change_does_not_ask_the_five_questions_again(manager: Client, ground: Ground) -> None:
    said = particulars(ground, name="Silo wash")
    page = manager.post("/sites/corrick/tasks/CQ-1/edit/", said)
    assert page.status_code == 302
    assert Task.objects.get(code="CQ-1").name == "Silo wash"


def test_the_form_of_a_task_shows_what_stands(manager: Client, ground: Ground) -> None:
    text = manager.get("/sites/corrick/tasks/CQ-1/edit/").content.decode()
    assert 'value="Work CQ-1"' in text
    assert f'value="{DAY.isoformat()}"' in text
    assert text.count("checked") >= 3


def test_a_task_is_ended_sooner(manager: Client, ground: Ground) -> None:
    last = DAY + timedelta(days=3)
    address = "/sites/corrick/tasks/CQ-1/end/"
    assert manager.post(address, {"last_on": last.isoformat()}).status_code == 302
    assert Task.objects.get().to_on == last
    page = manager.post(address, {"last_on": last.isoformat()})
    assert page.status_code == 422
    assert "already. To let it run longer, change it." in page.content.decode()


def test_who_hangs_on_one_shift_is_kept(manager: Client, ground: Ground) -> None:
    said = {"shift": ground.shift.pk, "people": [ground.rescuer.pk]}
    assert manager.post("/sites/corrick/tasks/CQ-1/exposed/", said).status_code == 302
    assert ground.task.exposures.get(shift=ground.shift).person == ground.rescuer


def test_a_plan_begins_from_the_one_that_stands(manager: Client, ground: Ground) -> None:
    assert "Lower from above" in manager.get("/sites/corrick/tasks/CQ-1/plan/").content.decode()
    said = {
        "method": "Raise from above",
        "matches_task": "on",
        "reviewed_on": DAY.isoformat(),
        "min_rescuers": 2,
        "target_minutes": 12,
    }
    assert manager.post("/sites/corrick/tasks/CQ-1/plan/", said).status_code == 302
    newest = Plan.objects.first()
    assert newest is not None
    assert (newest.version, newest.method, newest.min_rescuers) == (2, "Raise from above", 2)


def test_a_review_is_one_press(manager: Client, ground: Ground) -> None:
    assert manager.post("/sites/corrick/tasks/CQ-1/plan/review/").status_code == 302
    assert Plan.objects.count() == 2
    assert manager.get("/sites/corrick/tasks/CQ-1/plan/review/").status_code == 405


def test_a_drill_of_tomorrow_comes_back_with_the_reason(manager: Client, ground: Ground) -> None:
    address = "/sites/corrick/tasks/CQ-1/drill/"
    late = today(ground.site) + timedelta(days=2)
    page = manager.post(address, {"drilled_on": late.isoformat(), "minutes": 6, "used": "-"})
    assert page.status_code == 422
    assert "The drill cannot be on" in page.content.decode()
    assert (
        manager.post(
            address, {"drilled_on": DAY.isoformat(), "minutes": 6, "used": "-"}
        ).status_code
        == 302
    )
    assert Drill.objects.filter(drilled_on=DAY).count() == 1


def test_a_task_without_a_plan_has_no_drill_page(manager: Client, ground: Ground) -> None:
    Drill.objects.all().delete()
    Plan.objects.all().delete()
    assert manager.get("/sites/corrick/tasks/CQ-1/drill/").status_code == 404


def test_training_is_recorded_and_listed(manager: Client, ground: Ground) -> None:
    said = {
        "person": ground.worker.pk,
        "kind": "rescuer",
        "family": FAMILY,
        "from_on": DAY.isoformat(),
        "through_on": (DAY + timedelta(days=700)).isoformat(),
        "provider": "",
    }
    assert manager.post("/training/new/", said).status_code == 302
    assert Competence.objects.filter(person=ground.worker).count() == 1
    assert ground.worker.name in manager.get("/training/").content.decode()
    page = manager.post("/training/new/", {**said, "family": ""})
    assert page.status_code == 422
    assert "family of kits" in page.content.decode()


def rota_address(ground: Ground, day: date) -> str:
    return f"/rota/?site=corrick&on={day.isoformat()}&shift={ground.shift.pk}"


def test_people_times_days_go_on_the_rota_from_one_form(manager: Client, ground: Ground) -> None:
    monday = DAY + timedelta(days=28)
    days = [monday.isoformat(), (monday + timedelta(days=1)).isoformat()]
    said = {"people": [ground.worker.pk, ground.rescuer.pk], "days": days, "zone": ground.zone.pk}
    assert manager.post(rota_address(ground, monday), said).status_code == 302
    assert RotaEntry.objects.filter(day_on__gte=monday).count() == 4
    again = manager.post(rota_address(ground, monday), said)
    assert again.status_code == 422
    assert "on this shift already" in again.content.decode()


def test_a_person_is_taken_off_the_rota(manager: Client, ground: Ground) -> None:
    assert "Take off" in manager.get(rota_address(ground, DAY)).content.decode()
    entry = RotaEntry.objects.filter(person=ground.worker).first()
    assert entry is not None
    assert manager.post(f"/rota/{entry.pk}/remove/").status_code == 302
    assert not RotaEntry.objects.filter(pk=entry.pk).exists()


def test_a_supervisor_keeps_the_rota_of_the_own_site_only(client: Client, ground: Ground) -> None:
    other = covered_site("skelhope", "Skelhope Viaduct")
    client.force_login(user_as(Role.SUPERVISOR, other.site))
    entry = RotaEntry.objects.filter(site=ground.site).first()
    assert entry is not None
    assert client.post(f"/rota/{entry.pk}/remove/").status_code == 404
    assert "Corrick Quay" not in client.get("/rota/?site=corrick").content.decode()


def test_a_kit_is_rated_and_rated_again(manager: Client, ground: Ground) -> None:
    address = f"/kits/{ground.kit.name}/rating/"
    said = {
        "family": FAMILY,
        "lowers": "on",
        "max_load_kg": 120,
        "min_load_kg": 0,
        "max_height_m": 25,
        "locked_shifts": [ground.shift.pk],
    }
    assert manager.get(address).status_code == 200
    assert manager.post(address, said).status_code == 302
    ability = KitAbility.objects.get()
    assert (ability.max_height_m, list(ability.locked_shifts.all())) == (25, [ground.shift])
    page = manager.post(address, {**said, "lowers": ""})
    assert page.status_code == 422
    assert "Say what" in page.content.decode()


def test_first_call_is_given_by_numbers(manager: Client, ground: Ground) -> None:
    ground.task.to_on = today(ground.site) + timedelta(days=9)
    ground.task.save()
    said = {f"task_{ground.task.pk}": 3}
    assert manager.post("/sites/corrick/first-call/", said).status_code == 302
    assert Task.objects.get().first_call == 1


def test_who_may_not_plan_gets_no_form(client: Client, ground: Ground) -> None:
    client.force_login(user_as(Role.WORKER, ground.site))
    assert client.get("/sites/corrick/tasks/").status_code == 200
    assert client.get("/sites/corrick/tasks/CQ-1/").status_code == 200
    for page in ("tasks/new/", "tasks/CQ-1/edit/", "tasks/CQ-1/plan/", "first-call/"):
        assert client.get(f"/sites/corrick/{page}").status_code == 403
