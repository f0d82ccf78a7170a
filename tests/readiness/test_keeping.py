"""Kept statements of cover: never taken for newer than they are, and never wrong."""

from __future__ import annotations

from datetime import datetime, time, timedelta
from io import StringIO
from typing import Any

import grimp
import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import OperationalError, connection

from readiness.actions.rota import put_on_rota, take_off_rota
from readiness.actions.tasks import give_first_call
from readiness.board import keeping
from readiness.board import standings as board
from readiness.board.keeping import Made, bring_up_to_date, lacking, store
from readiness.board.standings import Standing, standings
from readiness.facts.mark import judging_files
from readiness.management.commands.keep_cover import Command
from readiness.models import CoverChange, KeptStatement, RotaEntry
from readiness.rules.windows import midnight
from register import clock
from register.actions.conditions import quarantine
from register.actions.people import change_person
from register.models import Kit, Site
from tests.factories import DAY, NOON, SiteFactory, stamp
from tests.readiness.grounds import Ground, covered_site
from tests.readiness.timelines import ZONE

pytestmark = pytest.mark.django_db
LATER = NOON + timedelta(minutes=5)
ONE_DAY = timedelta(days=1)
ENDS = (".py", "/__init__.py")


@pytest.fixture
def ground() -> Ground:
    return covered_site()


def kept(site: Site) -> KeptStatement:
    return KeptStatement.objects.with_site_version().get(site=site)


def state_of(standing: Standing, at: datetime = NOON, task: str = "CQ-1") -> str:
    span = standing.statement.at(at)
    assert span is not None
    return span.answers[task].state


def out_of_use(ground: Ground) -> None:
    quarantine(ground.kit.item, reason="seal-broken", note="", stamp=stamp())


def no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the sites asked first have taken all the time there is."""
    monkeypatch.setattr(board, "BUDGET_MS", -1)


def test_what_was_made_once_is_only_read_the_next_time(
    ground: Ground, django_assert_num_queries: Any
) -> None:
    (first,) = standings([ground.site], NOON)
    with django_assert_num_queries(1):
        (again,) = standings([ground.site], LATER)

    assert again == first
    assert again.fresh


def test_a_change_to_any_module_that_decides_on_an_answer_asks_every_answer_anew() -> None:
    graph = grimp.build_graph("register", "inspections", "readiness", cache_dir=None)
    deciding = {"readiness.facts.timelines", "readiness.rules.statement"}
    for name in tuple(deciding):
        deciding |= graph.find_upstream_modules(name)
    marked = {path.relative_to(settings.BASE_DIR).as_posix() for path in judging_files()}

    unmarked = {
        name for name in deciding if not marked & {f"{name.replace('.', '/')}{end}" for end in ENDS}
    }
    assert unmarked - {"readiness", "inspections", "register"} == set()


def test_many_sites_are_read_in_one_query(django_assert_num_queries: Any) -> None:
    sites = [SiteFactory() for _ in range(5)]
    for site in sites:
        bring_up_to_date(site, NOON)

    with django_assert_num_queries(1):
        found = standings(sites[::-1], LATER)

    assert [one.site for one in found] == sites[::-1]
    assert all(one.fresh for one in found)


def test_a_change_is_told_at_the_next_look(ground: Ground) -> None:
    assert state_of(standings([ground.site], NOON)[0]) == "covered-no-backup"
    out_of_use(ground)

    (after,) = standings([ground.site], LATER)

    assert state_of(after) == "not-covered"
    assert after.fresh


def test_what_there_is_no_time_to_make_anew_is_not_fresh(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = covered_site("other", "Other")
    standings([ground.site, other.site], NOON)
    out_of_use(ground)
    out_of_use(other)
    no_time(monkeypatch)

    found = standings([ground.site, other.site], LATER)

    assert sorted(one.fresh for one in found) == [False, True]
    (old,) = [one for one in found if not one.fresh]
    assert state_of(old) == "covered-no-backup"


def test_of_a_site_never_asked_before_nothing_is_told_as_fresh(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_args: object) -> None:
        raise OperationalError("locked")

    monkeypatch.setattr(board, "bring_up_to_date", busy)

    (found,) = standings([ground.site], NOON)

    assert not found.fresh
    assert found.statement.at(NOON) is not None
    assert found.statement.tasks(found.statement.begins, found.statement.ends) == ()


def test_a_statement_of_the_morning_answers_for_the_afternoon_by_its_spans(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).update(ends=time(11))
    early, late = (datetime.combine(DAY, time(hour), tzinfo=ZONE) for hour in (5, 13))
    standings([ground.site], early)

    (found,) = standings([ground.site], late)

    assert found.statement.made_at == early
    assert state_of(found, early + timedelta(hours=2)) == "covered-no-backup"
    assert state_of(found, late) == "not-covered"


def test_after_midnight_the_statement_of_the_day_before_still_holds(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = covered_site("other", "Other")
    standings([ground.site, other.site], NOON)
    no_time(monkeypatch)

    found = standings([ground.site, other.site], NOON + ONE_DAY)

    assert all(one.fresh for one in found)
    begun = {one.statement.begins for one in found}
    assert begun == {midnight(DAY, ZONE), midnight(DAY + ONE_DAY, ZONE)}


def test_older_facts_never_replace_newer_ones(ground: Ground) -> None:
    old = bring_up_to_date(ground.site, NOON)
    version = kept(ground.site).facts_version
    out_of_use(ground)
    bring_up_to_date(ground.site, LATER)
    right = kept(ground.site).body

    tomorrow = midnight(DAY + ONE_DAY, ZONE)
    store(ground.site, Made(old, version, tomorrow, 0))

    assert kept(ground.site).body == right
    assert not kept(ground.site).behind(keeping.judged_by())


def test_the_version_is_read_before_the_rows(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who changes something while it is judged makes what is kept behind, not wrong."""
    usual = keeping.state

    def changed_meanwhile(*args: Any) -> Any:
        out_of_use(ground)
        return usual(*args)

    monkeypatch.setattr(keeping, "state", changed_meanwhile)
    bring_up_to_date(ground.site, NOON)

    assert kept(ground.site).behind(keeping.judged_by())


def test_a_change_of_nothing_that_matters_moves_the_version_only(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = bring_up_to_date(ground.site, NOON)
    Site.objects.filter(pk=ground.site.pk).update(facts_version=99)
    monkeypatch.setattr(keeping, "state", None)  # answering anew would fail

    again = bring_up_to_date(ground.site, LATER)

    assert again.spans == first.spans
    assert (kept(ground.site).facts_version, kept(ground.site).made_at) == (99, LATER)


def test_another_program_asks_anew(ground: Ground, monkeypatch: pytest.MonkeyPatch) -> None:
    bring_up_to_date(ground.site, NOON)
    KeptStatement.objects.update(judged_by="an older one")

    assert list(lacking(NOON)) == [ground.site]


def test_those_behind_come_before_those_a_day_old_and_the_longest_waiting_first(
    ground: Ground,
) -> None:
    behind, day_old, fresh, missing = (SiteFactory() for _ in range(4))
    bring_up_to_date(day_old, NOON - 2 * ONE_DAY)
    for site, at in ((behind, NOON - ONE_DAY), (ground.site, NOON), (fresh, NOON + ONE_DAY)):
        bring_up_to_date(site, at)
    out_of_use(ground)
    Site.objects.filter(pk=behind.pk).update(facts_version=5)

    assert list(lacking(NOON + ONE_DAY)) == [missing, behind, ground.site, day_old]


def told(*arguments: str) -> str:
    out = StringIO()
    call_command("check_cover", *arguments, stdout=out)
    return out.getvalue()


def test_after_every_act_what_is_kept_is_what_the_facts_give(ground: Ground) -> None:
    entry = RotaEntry.objects.filter(person=ground.rescuer).last()
    assert entry is not None
    last = [entry.day_on + ONE_DAY]
    team = {"people": [ground.rescuer], "shift": ground.shift, "zone": ground.zone}
    acts = (
        lambda: take_off_rota(entry, stamp=stamp()),
        lambda: put_on_rota(ground.site, days=last, **team, stamp=stamp()),
        lambda: give_first_call(ground.site, tasks=[ground.task], stamp=stamp()),
        lambda: out_of_use(ground),
    )
    for act in acts:
        act()
        standings([ground.site], LATER)
        assert not kept(ground.site).behind(keeping.judged_by())
        assert told() == "Every kept statement of cover agrees with the facts.\n"


def test_a_kept_statement_that_is_wrong_is_told_and_made_anew(ground: Ground) -> None:
    bring_up_to_date(ground.site, NOON)
    Site.objects.filter(pk=ground.site.pk).update(name="Elsewhere")
    RotaEntry.objects.filter(person=ground.rescuer).delete()  # past every action

    with pytest.raises(SystemExit):
        told()
    assert "1 statements were made anew" in told("--mend")
    assert "agrees" in told()


def test_who_relied_on_a_statement_that_was_wrong_is_told_when_it_is_made_anew(db: None) -> None:
    ground = covered_site(day=clock.now().date())
    bring_up_to_date(ground.site, clock.now())
    RotaEntry.objects.filter(person=ground.rescuer).delete()  # past every action

    told("--mend")

    assert CoverChange.objects.get().task == ground.task


def test_the_keeper_brings_all_up_to_date_and_goes_on_where_one_fails(
    ground: Ground, monkeypatch: pytest.MonkeyPatch
) -> None:
    broken = SiteFactory()
    usual = keeping.bring_up_to_date

    def failing(site: Site, *rest: Any) -> Any:
        if site == broken:
            raise ValueError("cannot be judged")
        return usual(site, *rest)

    monkeypatch.setattr("readiness.management.commands.keep_cover.bring_up_to_date", failing)
    keeper = Command()

    assert keeper.look() == 1
    assert keeper.look() == 0
    assert not KeptStatement.objects.filter(site=broken).exists()


def test_keep_cover_once_says_how_many(ground: Ground) -> None:
    out = StringIO()
    call_command("keep_cover", "--once", stdout=out)

    assert out.getvalue() == "1 statements of cover were brought up to date.\n"


def test_a_page_gives_up_soon_where_another_writes_and_waits_again_afterwards(db: None) -> None:
    asks = "SHOW lock_timeout" if connection.vendor == "postgresql" else "PRAGMA busy_timeout"

    def patience() -> object:
        with connection.cursor() as cursor:
            cursor.execute(asks)
            return cursor.fetchone()[0]

    before = patience()
    with keeping.hardly_waiting():
        assert patience() in {200, "200ms"}
    assert patience() == before


def test_whoever_leaves_is_missed_on_the_rota_of_every_site(ground: Ground) -> None:
    """Somebody of one site who is on the rota of another, where only the rota names them."""
    elsewhere = SiteFactory()
    ground.rescuer.home_site = elsewhere
    ground.rescuer.save()
    standings([ground.site], NOON)

    change_person(
        ground.rescuer,
        name=ground.rescuer.name,
        employer="",
        home_site=elsewhere,
        left_on=DAY,
        stamp=stamp(),
    )

    (found,) = standings([ground.site], LATER)
    assert state_of(found) == "not-covered"


def test_with_nothing_to_do_the_keeper_finds_what_no_act_has_told(
    ground: Ground, caplog: pytest.LogCaptureFixture
) -> None:
    keeper = Command()
    keeper.look()
    keeper.compare_one()
    assert not caplog.records
    Kit.objects.update(seal_intact=False)  # past every action

    keeper.compare_one()

    assert [record.getMessage() for record in caplog.records] == [
        "The facts of corrick changed, and no act said so."
    ]
