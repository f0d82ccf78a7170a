"""The demo as a newcomer finds it: six sites in six states, a lived-in register, a sound ledger."""

from __future__ import annotations

import socket
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.hashers import check_password, is_password_usable
from django.core.management import CommandError, call_command
from django.db import transaction
from django.test import override_settings

from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.due_copies import disagreements
from inspections.matching import wrong_matches
from inspections.models import Authorisation, Inspection, Notice, NoticeMatch, Round
from inspections.round_board import lines_of, tally_of
from readiness.board.ahead import TaskAhead
from readiness.board.causes import causes, lapses
from readiness.board.mornings import SiteMorning, morning_of
from readiness.board.reading import timelines_from
from readiness.demo import kits, people, stock
from readiness.demo.hints import kit_to_scan_in, part_to_fail
from readiness.demo.load import load_demo, loaded_for
from readiness.demo.places import site_codes
from readiness.demo.world import table
from readiness.management.commands.demo import listening
from readiness.models import RotaEntry
from readiness.rules.moments import Moments
from readiness.rules.statement import HORIZON_DAYS
from register.actions.custody import arrive
from register.actions.ledger import verify_ledger
from register.demo_logins import DEMO_LOGINS, DEMO_PASSWORD
from register.intake.specimen_stock import STOCK
from register.models import Act, Document, Item, Kit, Person, Site, Stamp, User
from register.refusal import Refusal
from register.rules.conditions import Condition
from tests.readiness.asking import standing

pytestmark = pytest.mark.django_db

DAY = date(2026, 3, 9)
SMALL = 0.06
QUICK = ["django.contrib.auth.hashers.MD5PasswordHasher"]


@pytest.fixture(scope="module")
def demo(
    django_db_setup: None, django_db_blocker: Any, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[None]:
    """The demo of DAY with little stock, loaded once for all tests of this file; each test's own changes are undone after it."""
    kept = {"PASSWORD_HASHERS": QUICK, "MEDIA_ROOT": tmp_path_factory.mktemp("files")}
    with django_db_blocker.unblock(), transaction.atomic():
        with override_settings(DEMO=True, **kept):
            load_demo(DAY, share=SMALL)
        yield
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def morning(demo: None) -> dict[str, TaskAhead]:
    """The morning page of DAY, before anybody changes anything."""
    return tasks_on(DAY)


def sites_on(day: date) -> list[SiteMorning]:
    """At six in the morning, as the day shifts begin."""
    at = datetime(day.year, day.month, day.day, 6, tzinfo=UTC)
    return morning_of([standing(site, at) for site in Site.objects.all()], at)


def tasks_on(day: date) -> dict[str, TaskAhead]:
    """Each task of the morning page, at its worst hour."""
    return {task.id: task for site in sites_on(day) for task in site.tasks}


def reasons(task: TaskAhead) -> list[str]:
    return [reason.code for reason in task.told.answer.reasons]


def first_lapses(day: date = DAY) -> dict[str, tuple[date, list[str]]]:
    """Of each task: the first day on which it is no longer covered, and what changes then."""
    found = {}
    for site in sites_on(day):
        known = Moments(timelines_from([site.site], site.asked_at, HORIZON_DAYS)[site.site.pk])
        for task in site.tasks:
            lapse = next(lapses(site.statement, task.id, site.asked_at), None)
            if lapse is not None:
                codes = [reason.code for reason in causes(lapse, known)]
                found[task.id] = (known.day(lapse.piece.begins), codes)
    return found


def noon_stamp(username: str) -> Stamp:
    return Stamp(by=User.objects.get(username=username), at=datetime(2026, 3, 9, 12, tzinfo=UTC))


def test_every_task_of_the_morning_page_is_in_its_state(morning: dict[str, TaskAhead]) -> None:
    assert {code: task.state for code, task in morning.items()} == {
        "AR-1": "not-covered",
        "CQ-1": "covered-no-backup",
        "CQ-2": "covered-with-backup",
        "CQ-3": "no-rescue-cover-needed",
        "CQ-4": "not-covered",
        "HF-1": "covered-no-backup",
        "NM-1": "not-covered",
        "NM-2": "covered-no-backup",
        "PL-1": "covered-with-backup",
        "PL-2": "no-rescue-cover-needed",
        "SV-1": "not-covered",
        "SV-2": "not-covered",
        "SV-3": "no-rescue-cover-needed",
    }


def test_the_wind_farm_hangs_on_one_rescuer_whose_training_ends(
    morning: dict[str, TaskAhead],
) -> None:
    task = morning["HF-1"]
    assert task.told.hangs_on == ("Ingrid Solheim",)
    assert first_lapses()["HF-1"] == (date(2026, 3, 21), ["rescuer-lapsed"])


def test_two_gangs_at_the_viaduct_contend_for_one_kit(morning: dict[str, TaskAhead]) -> None:
    found = morning
    assert reasons(found["SV-1"]) == reasons(found["SV-2"]) == ["contested"]
    assert [kit.name for kit in Kit.objects.filter(item__site__code="skelhope")] == ["RK-05"]


def test_a_pulley_took_the_cold_stores_kit_out_on_friday(morning: dict[str, TaskAhead]) -> None:
    task = morning["NM-1"]
    (reason,) = task.told.answer.reasons
    pulley = Kit.objects.get(name="RK-11").parts.get(role="Pulley").item
    assert pulley is not None
    assert reason.code == "kit-not-usable"
    last_day = date(2026, 3, 6)
    parts = {(part, due) for part, _clock, due in reason.facts["passed"]}
    assert parts == {(f"Pulley {pulley.shown_code}", last_day)}


def test_at_night_the_only_rescuer_is_on_the_rope(morning: dict[str, TaskAhead]) -> None:
    task = morning["CQ-4"]
    (reason,) = task.told.answer.reasons
    assert (task.hours, reason.code) == ("tonight 18:00–06:00", "rescuer-is-exposed")
    assert reason.facts["people"] == ("Tomasz Bielak",)


def test_restraint_at_the_gutters_is_not_proven_and_nobody_planned_a_rescue(
    morning: dict[str, TaskAhead],
) -> None:
    answer = morning["AR-1"].told.answer
    assert answer.treated_as_arrest is not None
    assert answer.treated_as_arrest.code == "restraint-not-proven"
    assert [reason.code for reason in answer.reasons] == ["no-plan", "no-kit"]


def test_a_lapse_is_told_of_the_kit_that_runs_out(demo: None) -> None:
    found = first_lapses()
    for task in ("CQ-1", "CQ-2", "NM-2", "PL-1"):
        assert found[task][1] == ["kit-not-usable"]


@pytest.mark.parametrize("later", [1, 9])
def test_what_is_covered_stays_so_through_the_first_days(demo: None, later: int) -> None:
    """The rota reaches beyond the horizon, so nothing lapses for want of people put on it."""
    found = tasks_on(date.fromordinal(DAY.toordinal() + later))
    covered = {code for code, task in found.items() if not task.uncovered}
    assert covered >= {"CQ-1", "CQ-2", "HF-1", "NM-2", "PL-1"}
    within = date.fromordinal(DAY.toordinal() + later + 30)
    told = [codes for on, codes in first_lapses(DAY).values() if on <= within]
    assert not {"no-rescuer", "too-few-rescuers"}.intersection(*told)


def test_failing_the_part_the_console_names_uncovers_the_silo(demo: None) -> None:
    part = part_to_fail()
    assert part is not None
    finding = Finding(
        kind="thorough-examination",
        verdict="fail",
        performed_at=datetime(2026, 3, 9, 11, tzinfo=UTC),
        inspector=Person.objects.get(name="Huw Penry"),
        flaws=[Flaw(grade="A", what="Side plate bent", place="cheek")],
    )
    inspect(part, finding=finding, stamp=noon_stamp("huw"))
    assert reasons(tasks_on(DAY)["CQ-1"]) == ["kit-not-usable"]
    assert part_to_fail() is None


def test_the_kit_on_its_way_ends_the_contest_once_it_is_scanned_in(demo: None) -> None:
    bag, site = kit_to_scan_in(), Site.objects.get(code="skelhope")
    assert bag is not None
    arrive(bag, at=site, zone=site.zones.get(code="pier4"), stamp=noon_stamp("sunniva"))
    found = tasks_on(DAY)
    assert {found["SV-1"].state, found["SV-2"].state} == {"covered-no-backup"}


def test_one_notice_is_open_with_a_kit_part_and_pieces_it_may_mean(demo: None) -> None:
    (notice,) = Notice.objects.in_force()
    meant = NoticeMatch.objects.to_settle()
    assert set(meant.values_list("certainty", flat=True)) == {"certain", "possible"}
    (part,) = [one.item for one in meant if one.item.kit]
    assert (part.kit.name, notice.kind) == ("RK-14", "inspect-first")
    assert list(wrong_matches()) == []


def test_the_register_is_lived_in(demo: None) -> None:
    conditions = set(Item.objects.values_list("condition", flat=True))
    assert conditions >= {str(one) for one in Condition if one} - {"not-located", "left"}
    verdicts = set(Inspection.objects.values_list("verdict", flat=True))
    assert verdicts >= {"pass", "fail", "not-presented"}
    assert Inspection.objects.exclude(defects=None).exists()
    assert Item.objects.filter(custody="person").exists()
    assert Document.objects.filter(kind="workbook").count() == 2
    assert Inspection.objects.filter(source="brought-in").exists()


def test_it_holds_the_promised_numbers(demo: None) -> None:
    assert (Kit.objects.count(), Person.objects.count()) == (14, people.HEADS)
    assert {site.code for site in Site.objects.all()} == site_codes()
    assert Item.objects.filter(custody="kit").count() == 106
    assert RotaEntry.objects.order_by("day_on").first().day_on == date(2026, 3, 8)
    fixed = sum(count for row in table("places") for _code, _name, count in row["zones"])
    full = sum(stock.LOOSE.values()) + fixed + 106 + 14 + 550
    assert 1_900 < full < 2_200


def test_every_due_day_that_is_stored_agrees_with_the_records(demo: None) -> None:
    assert list(disagreements()) == []


def test_its_ledger_verifies_and_no_act_lies_in_the_future(demo: None) -> None:
    report = verify_ledger()
    assert report.misfits == ()
    assert report.entries > 1_000
    newest = Act.objects.order_by("-at").first()
    assert newest is not None
    assert newest.at < datetime(2026, 3, 9, tzinfo=UTC)


def test_each_login_has_its_role_person_and_password(demo: None) -> None:
    users = {user.username: user for user in User.objects.select_related("person")}
    assert users.keys() == {login.username for login in DEMO_LOGINS}
    for login in DEMO_LOGINS:
        user = users[login.username]
        site = Site.objects.get(code=login.site).pk if login.site else None
        assert (str(user), user.holdings) == (login.name, {(login.role, site)})
        assert check_password(DEMO_PASSWORD, user.password)
    able = set(Authorisation.objects.values_list("person__name", flat=True))
    assert able == {"Huw Penry", "Dilip Nair"}


def test_outside_the_demo_its_password_opens_nothing() -> None:
    with override_settings(DEMO=False):
        assert not is_password_usable(people.hashed_password())
    with override_settings(DEMO=True):
        assert check_password(DEMO_PASSWORD, people.hashed_password())


def test_loading_it_again_adds_nothing(demo: None) -> None:
    before = (Item.objects.count(), Act.objects.count(), Person.objects.count())
    assert load_demo(DAY) is False
    assert (Item.objects.count(), Act.objects.count(), Person.objects.count()) == before
    assert loaded_for() == DAY


def test_it_is_not_mixed_into_a_register_in_use(demo: None) -> None:
    Site.objects.create(code="real", name="Somebody’s own works")
    with pytest.raises(Refusal, match="Somebody’s own works"):
        load_demo(DAY)


def test_beginning_again_never_removes_a_register_in_use(demo: None) -> None:
    Site.objects.create(code="real", name="Somebody’s own works")
    with (
        override_settings(DEMO=True),
        pytest.raises(CommandError, match=r"own works|empty the database"),
    ):
        call_command("demo", "--fresh", "--no-serve")
    assert Site.objects.filter(code="real").exists()


def test_the_command_refuses_outside_the_demos_own_settings(demo: None) -> None:
    with pytest.raises(CommandError, match=r"manage\.py demo"):
        call_command("demo", "--no-serve")


def test_a_demo_of_an_earlier_day_says_how_to_begin_again(demo: None) -> None:
    told = StringIO()
    with override_settings(DEMO=True):
        call_command("demo", "--no-serve", stdout=told)
    assert "9 Mar 2026" in told.getvalue()
    assert "--fresh" in told.getvalue()


def test_it_takes_the_next_port_where_one_is_taken() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with listening("127.0.0.1", port) as listener:
            assert port < listener.getsockname()[1] < port + 20


def test_the_catalogue_holds_every_product_of_the_workbook() -> None:
    known = {
        (row["maker"], row["designation"], row["equipment_class"]) for row in table("products")
    }
    assert {(line.maker, line.product, line.class_slug) for line in STOCK} <= known


@pytest.mark.parametrize("day", [date(2026, 2, 27), date(2026, 3, 6), date(2026, 3, 7)])
def test_last_friday_is_never_today(day: date) -> None:
    friday = kits.last_friday(day)
    assert (friday.weekday(), 1 <= (day - friday).days <= 7) == (4, True)


def test_condition_counts_tell_apart_what_is_gone(demo: None) -> None:
    counts = Counter(Item.objects.values_list("condition", flat=True))
    assert counts["in-service"] > counts["quarantined"] > 0
    assert Path(Document.objects.get(name__endswith="FINAL.xlsx").file.name).suffix == ".xlsx"


def test_huw_finds_the_round_that_he_broke_off(demo: None) -> None:
    found = Round.objects.open().get()
    told = tally_of(lines_of(found))
    assert (told.out, told.unknown, found.signed_at) == (1, 1, None)
    assert told.done > told.out
    assert not found.lines.filter(inspection__counts=True).exists()
