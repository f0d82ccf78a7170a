"""The morning's letter: to each once, in the site's morning, only if there is something to do."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest

from inspections.models import Due, Visit
from readiness.board import keeping
from readiness.messages.mornings import tell_the_morning
from readiness.models import Competence
from register.models import Item, Message, MessageTerms, Role, Site, User
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    SiteFactory,
    user_as,
)
from tests.readiness.grounds import covered_site

pytestmark = pytest.mark.django_db
ONE_DAY = timedelta(days=1)
TUESDAY = DAY + ONE_DAY
SIX = datetime.combine(TUESDAY, time(6, 5), tzinfo=UTC)  # London is on UTC in March
LONG_AGO = DAY - timedelta(days=400)


def due(site: Site, day: date | None, **particulars: object) -> Item:
    item: Item = ItemFactory(site=site, **particulars)
    Due.objects.filter(item=item).update(last_good_on=day, clock="detailed")
    return item


def letter_of(user: User, kind: str = "morning", at: datetime = SIX) -> str:
    """Subject and text; '' where there was nothing to say."""
    tell_the_morning(at)
    told = Message.objects.filter(user=user, kind=kind).first()
    return f"{told.subject}\n{told.text}" if told else ""


def flat(text: str) -> str:
    """As if no line were wrapped."""
    return " ".join(text.split())


def test_stores_are_told_what_is_due_and_where_but_not_what_is_away(
    site: Site, petra: User
) -> None:
    out = due(site, DAY, place="shelf 3")
    soon = due(
        site, TUESDAY + 6 * ONE_DAY, holder=PersonFactory(name="Tomasz Bielak"), custody="person"
    )
    due(site, TUESDAY + 8 * ONE_DAY)
    for hidden in ({"custody": "maker"}, {"condition": "withdrawn"}, {"condition": "quarantined"}):
        due(site, DAY, **hidden)
    said = letter_of(petra)
    assert said.startswith("Tue 10 Mar: 1 piece out of date; 1 piece falls due\n")
    assert f"- {out.shown_code} harness, 9 Mar 2026: shelf 3, Corrick Quay" in said
    assert f"- {soon.shown_code} harness, 16 Mar 2026: Tomasz B., Corrick Quay" in said
    assert "Bielak" not in said
    assert max(len(line) for line in said.splitlines()) <= 72


def test_of_a_long_list_ten_are_named_and_the_rest_counted(site: Site, petra: User) -> None:
    for _ in range(23):
        due(site, DAY)
    said = letter_of(petra)
    assert said.count("\n- ") == 10
    assert "  and 13 more\n" in said
    assert "23 pieces are out of date" in said


def test_nothing_to_do_is_no_letter_but_on_mondays_silence_is_explained(petra: User) -> None:
    assert letter_of(petra) == ""
    monday = SIX + 6 * ONE_DAY
    said = letter_of(petra, "weekly", monday)
    assert "There is nothing that you must do today." in said
    assert "Corrick Quay: nothing due, nothing out of date, nothing in quarantine" in said
    assert "silence is no proof that" in said
    assert not Message.objects.filter(kind="morning").exists()


def test_each_is_told_once_a_day_in_the_morning_of_their_site(site: Site) -> None:
    far = SiteFactory(time_zone="Pacific/Auckland")
    here = user_as(Role.STORES, site, person=PersonFactory(home_site=site))
    there = user_as(Role.STORES, far, person=PersonFactory(home_site=far))
    due(site, LONG_AGO)
    due(far, LONG_AGO)
    at = datetime(2026, 3, 10, 17, 5, tzinfo=UTC)  # 06:05 of the 11th in Auckland
    tell_the_morning(at)
    tell_the_morning(at + timedelta(minutes=20))
    assert [(one.user, one.key) for one in Message.objects.all()] == [(there, "2026-03-11")]
    tell_the_morning(at + timedelta(hours=13))
    assert set(Message.objects.values_list("user", "key")) == {
        (there.pk, "2026-03-11"),
        (here.pk, "2026-03-11"),
    }


def test_the_employer_sets_the_hour_and_a_late_start_still_tells(site: Site, petra: User) -> None:
    due(site, LONG_AGO)
    MessageTerms.objects.create(pk=1, morning_hour=8)
    assert letter_of(petra) == ""
    assert letter_of(petra, at=SIX + timedelta(hours=8)) == ""  # 14:05: no morning any more
    assert letter_of(petra, at=SIX + timedelta(hours=7)) != ""  # 13:05


def test_a_holder_is_asked_to_bring_it_in_by_its_day(site: Site) -> None:
    me = user_as(Role.WORKER, site)
    mine = {"holder": me.person, "custody": "person"}
    out, soon, back = (
        due(site, DAY, **mine),
        due(site, TUESDAY, **mine),
        due(site, TUESDAY + 90 * ONE_DAY, **mine, due_back_on=TUESDAY),
    )
    due(site, DAY)
    said = letter_of(me)
    assert f"bring it back today: - {out.shown_code} harness http" in flat(said)
    assert f"- {soon.shown_code} harness, by 10 Mar 2026" in said
    assert f"- {back.shown_code} harness, by 10 Mar 2026" in said
    assert said.count("\n- ") == 3


def test_an_inspector_is_told_of_the_visits_of_today_and_tomorrow(site: Site, huw: User) -> None:
    for days in (0, 1, 2):
        Visit.objects.create(
            inspector=huw.person, site=site, day_on=TUESDAY + days * ONE_DAY, accepted_at=SIX
        ).items.add(due(site, TUESDAY + 30 * ONE_DAY))
    said = letter_of(huw)
    assert "- Tue 10 Mar, Corrick Quay: harness 1\n- Wed 11 Mar, Corrick Quay: harness 1\n" in said
    assert "12 Mar" not in said


def test_a_supervisor_is_told_what_lacks_cover_today_and_why() -> None:
    ground = covered_site()
    ground.kit.seal_intact = False
    ground.kit.save()
    supervisor = user_as(Role.SUPERVISOR, ground.site)
    elsewhere = user_as(Role.SUPERVISOR, SiteFactory(is_store=True))
    said = letter_of(supervisor)
    assert said.startswith("Tue 10 Mar: 1 task not covered\n")
    assert f"CQ-1, now until 18:00: Kit {ground.kit.name} is out: the seal is broken" in flat(said)
    assert letter_of(elsewhere) == ""


def test_the_manager_is_told_what_lapses_what_it_uncovers_and_what_mends_it() -> None:
    ground = covered_site(day=TUESDAY)
    ground.rescuer.name = "Anna Kowalska"
    ground.rescuer.save()
    Competence.objects.filter(person=ground.rescuer).update(through_on=TUESDAY + 4 * ONE_DAY)
    said = flat(letter_of(user_as(Role.MANAGER)))
    assert "lapses ahead" in said
    assert (
        "Corrick Quay, CQ-1 from Sun 15 Mar: Anna K.: training on controlled descent ended" in said
    )
    assert "What would mend it at the least cost" in said
    assert "Kowalska" not in said


def test_a_site_that_is_not_worked_out_is_not_told_as_covered(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    ground = covered_site()
    monkeypatch.setattr("readiness.board.standings._made_now", lambda *_args: [])
    said = flat(letter_of(user_as(Role.SUPERVISOR, ground.site)))
    assert "Cover here is not worked out yet: nothing counts as covered." in said


def test_who_has_left_is_told_nothing(site: Site) -> None:
    due(site, DAY)
    person = PersonFactory(home_site=site, left_on=TUESDAY)
    assert letter_of(user_as(Role.STORES, site, person=person)) == ""


def test_cover_that_is_lost_is_told_at_once_with_its_reason_and_no_whole_name() -> None:
    ground = covered_site()
    ground.rescuer.name = "Anna Kowalska"
    ground.rescuer.save()
    runs, elsewhere = user_as(Role.SUPERVISOR, ground.site), user_as(Role.SUPERVISOR, SiteFactory())
    noon = datetime.combine(DAY, time(12), tzinfo=UTC)
    keeping.bring_up_to_date(ground.site, noon)
    assert not Message.objects.exists()
    Competence.objects.filter(person=ground.rescuer).update(through_on=DAY - ONE_DAY)
    Site.objects.filter(pk=ground.site.pk).update(facts_version=9)
    keeping.bring_up_to_date(ground.site, noon + timedelta(minutes=5))
    keeping.bring_up_to_date(ground.site, noon + timedelta(minutes=6))
    (told,) = Message.objects.all()
    assert told.user == runs != elsewhere
    assert told.subject == "Rescue cover lost at Corrick Quay"
    assert "CQ-1 Work CQ-1: no longer covered from Mon 9 Mar 2026" in flat(told.text)
    assert "Anna K." in told.text
    assert "Kowalska" not in told.text
