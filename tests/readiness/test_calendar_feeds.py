"""Calendar feeds as a program reads them: read back by icalendar (RFC 5545), never by our own eyes."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse
from icalendar import Calendar, Event

from inspections.actions.visits import drop_visit
from inspections.models import Due, Visit
from readiness.models import Competence, Job
from readiness.views.calendars import MISSES, PER_FEED
from register import clock
from register.actions.calendars import hash_of, make_feed, new_secret, revoke_feed
from register.models import CalendarFeed, Item, Role, Site, User
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    UserFactory,
    stamp,
    user_as,
)
from tests.readiness.grounds import covered_site

pytestmark = pytest.mark.django_db
ONE_DAY = timedelta(days=1)


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    at_clock(monkeypatch, NOON)
    cache.clear()


def at_clock(monkeypatch: pytest.MonkeyPatch, moment: datetime) -> None:
    monkeypatch.setattr(clock, "reading", lambda: moment)


def feed_of(user: User, language: str = "en-gb", **about: object) -> str:
    """The address of a new feed."""
    secret = new_secret()
    told = {"about": "own", **about}
    make_feed(user, language=language, secret=secret, stamp=stamp(user), **told)  # type: ignore[arg-type]
    return reverse("readiness:calendar-feed", args=[secret])


def read(address: str) -> Calendar:
    response = Client().get(address)
    assert response.status_code == 200
    assert response["Content-Type"] == "text/calendar; charset=utf-8"
    return Calendar.from_ical(response.content)


def events(address: str) -> list[Event]:
    return list(read(address).walk("VEVENT"))


def lines(address: str) -> list[tuple[date, str]]:
    return [(one.decoded("dtstart"), str(one["summary"])) for one in events(address)]


def due(site: Site, day: date | None, kind: str = "harness", **particulars: object) -> Item:
    item: Item = ItemFactory(site=site, product=ProductFactory(equipment_class=kind), **particulars)
    Due.objects.filter(item=item).update(last_good_on=day, clock="detailed")
    return item


def site_feed(site: Site, role: Role = Role.MANAGER, **more: str) -> str:
    return feed_of(user_as(role, site), about="site", site=site, **more)


def test_nine_hundred_due_items_are_one_event_a_day_with_count_and_class(site: Site) -> None:
    for kind, count in (("harness", 3), ("connector", 2)):
        for _ in range(count):
            due(site, DAY + ONE_DAY, kind)
    (event,) = events(site_feed(site))
    assert str(event["summary"]) == "Due for inspection at Corrick Quay: harness 3; connector 2"
    assert event.decoded("dtstart") == DAY + ONE_DAY
    assert event.decoded("dtend") == DAY + 2 * ONE_DAY  # the day after the last: RFC 5545, 3.6.1
    assert event["dtstart"].params["VALUE"] == "DATE"
    assert str(event["url"]).endswith("/due/?site=corrick")


def test_what_is_out_of_date_stands_on_today_and_moves_along(
    site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    due(site, DAY - ONE_DAY)
    due(site, None)
    address = site_feed(site)
    (first,) = events(address)
    assert str(first["summary"]) == "Out of date at Corrick Quay, not to be used: harness 2"
    assert "without a date on record: 1." in str(first["description"])
    at_clock(monkeypatch, NOON + ONE_DAY)
    (second,) = events(address)
    assert second["uid"] == first["uid"]
    assert (first.decoded("dtstart"), second.decoded("dtstart")) == (DAY, DAY + ONE_DAY)
    assert second["sequence"] == first["sequence"] + 1
    assert second.decoded("last-modified") == NOON + ONE_DAY


def test_a_day_is_the_sites_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """At 23:30 UTC it is the next day already in Auckland, where the item is out of date."""
    far = SiteFactory(code="far", name="Far", time_zone="Pacific/Auckland")
    due(far, DAY)
    at_clock(monkeypatch, datetime(2026, 3, 9, 23, 30, tzinfo=UTC))
    assert lines(site_feed(far)) == [
        (DAY + ONE_DAY, "Out of date at Far, not to be used: harness 1")
    ]


def test_a_visit_tells_of_its_items_and_they_are_not_told_again(site: Site) -> None:
    visit = Visit.objects.create(
        inspector=PersonFactory(name="Huw Penry"), site=site, day_on=DAY + ONE_DAY, accepted_at=NOON
    )
    visit.items.add(due(site, DAY + 5 * ONE_DAY))
    address = site_feed(site)
    assert lines(address) == [(DAY + ONE_DAY, "Huw P. inspects at Corrick Quay: harness 1")]
    assert b"Penry" not in Client().get(address).content


def test_what_is_called_off_is_told_as_cancelled(site: Site, oyelaran: User) -> None:
    visit = Visit.objects.create(
        inspector=PersonFactory(), site=site, day_on=DAY + ONE_DAY, accepted_at=NOON
    )
    address = site_feed(site)
    (before,) = events(address)
    drop_visit(visit, because="ill", stamp=stamp(oyelaran))
    (after,) = events(address)
    assert (before["status"], after["status"]) == ("CONFIRMED", "CANCELLED")
    assert after["uid"] == before["uid"]
    assert after["sequence"] == before["sequence"] + 1


def test_due_days_that_are_being_counted_anew_call_nothing_off(site: Site) -> None:
    item = due(site, DAY + ONE_DAY)
    address = site_feed(site)
    assert events(address)[0]["status"] == "CONFIRMED"
    Due.objects.filter(item=item).update(regime="another")
    assert [one["status"] for one in events(address) if one.decoded("dtstart") > DAY] == [
        "CONFIRMED"
    ]


def test_hires_end_whatever_the_condition(site: Site) -> None:
    for condition in ("in-service", "withdrawn", "left"):
        ItemFactory(site=site, condition=condition, owner="Orla", hire_end_on=DAY + ONE_DAY)
    found = [line for line in lines(site_feed(site)) if line[0] == DAY + ONE_DAY]
    assert found == [(DAY + ONE_DAY, "Hire ends at Corrick Quay: harness 2")]


def test_lapsing_cover_is_told_with_what_it_uncovers_and_no_whole_name() -> None:
    ground = covered_site()
    rescuer = ground.rescuer
    rescuer.name = "Anna Kowalska"
    rescuer.save()
    Competence.objects.filter(person=rescuer).update(through_on=DAY + 4 * ONE_DAY)
    address = site_feed(ground.site)
    ended = [one for one in events(address) if str(one["summary"]).startswith("Rescue cover ends")]
    assert {str(one["summary"]) for one in ended} == {"Rescue cover ends at Corrick Quay: CQ-1"}
    assert {one.decoded("dtstart") for one in ended} == {DAY + 5 * ONE_DAY}
    said = " ".join(str(one["description"]) for one in ended)
    assert "Not covered from 14 Mar 2026, 06:00." in said
    assert "Anna K.: training on controlled descent ended on Fri 13 Mar 2026." in said
    assert b"Kowalska" not in Client().get(address).content


def test_ones_own_calendar_holds_what_one_has_does_and_is_trained_for(site: Site) -> None:
    me = user_as(Role.WORKER, site)
    due(site, DAY + ONE_DAY, holder=me.person, custody="person", due_back_on=DAY + 2 * ONE_DAY)
    due(site, DAY + ONE_DAY)
    held = {"from_on": DAY - ONE_DAY, "through_on": DAY + 3 * ONE_DAY}
    Competence.objects.create(person=me.person, kind="first aid", **held)
    ground = covered_site("skelhope", "Skelhope")
    job = {"site": ground.site, "task": ground.task, "kind": "drill", "given_at": NOON}
    other = PersonFactory(name="Sunniva Rask")
    Job.objects.create(
        who=me.person, what="Drill with Sunniva Rask.", about=other, due_at=NOON, **job
    )
    Job.objects.create(who=other, what="Another's.", due_at=NOON, **job)
    assert lines(feed_of(me)) == [
        (DAY, "Drill with Sunniva R."),
        (DAY + ONE_DAY, "Hand in today at the latest: harness 1"),
        (DAY + 2 * ONE_DAY, "Bring back: harness 1"),
        (DAY + 3 * ONE_DAY, "Last good day of your training: First aid"),
    ]


def test_a_class_is_told_over_all_sites_that_one_may_see(site: Site) -> None:
    other = SiteFactory(name="Other")
    hidden = SiteFactory(name="Hidden")
    for place in (site, other, hidden):
        due(place, DAY + ONE_DAY, "connector")
        due(place, DAY + ONE_DAY, "harness")
    user = user_as(Role.STORES, site)
    user.grants.create(role=Role.STORES, site=other)
    assert lines(feed_of(user, about="class", equipment_class="connector")) == [
        (DAY + ONE_DAY, "Due for inspection at Corrick Quay: connector 1"),
        (DAY + ONE_DAY, "Due for inspection at Other: connector 1"),
    ]


def test_the_right_is_judged_at_each_reading(site: Site) -> None:
    due(site, DAY + ONE_DAY)
    user = user_as(Role.MANAGER, site)
    address = feed_of(user, about="site", site=site)
    assert len(events(address)) == 1
    user.grants.all().delete()
    assert events(address) == []
    user.grants.create(role=Role.MANAGER, site=site)
    assert len(events(address)) == 1
    User.objects.filter(pk=user.pk).update(is_active=False)
    assert events(address) == []


def test_an_unknown_and_a_shut_secret_answer_alike(site: Site) -> None:
    user = user_as(Role.MANAGER, site)
    address = feed_of(user)
    revoke_feed(CalendarFeed.objects.get(), stamp=stamp(user))
    unknown = Client().get(reverse("readiness:calendar-feed", args=[new_secret()]))
    shut = Client().get(address)
    assert (unknown.status_code, shut.status_code) == (404, 404)
    assert unknown.content == shut.content


def test_reading_is_throttled(site: Site) -> None:
    address, client = feed_of(user_as(Role.WORKER, site)), Client()
    assert {client.get(address).status_code for _ in range(PER_FEED)} == {200}
    over = client.get(address)
    assert (over.status_code, over["Retry-After"]) == (429, "14400")
    guessed = [reverse("readiness:calendar-feed", args=[f"guess-{n}"]) for n in range(MISSES + 1)]
    assert [client.get(one).status_code for one in guessed] == [404] * MISSES + [429]


def test_what_has_not_changed_need_not_be_sent_again(site: Site) -> None:
    due(site, DAY + ONE_DAY)
    address, client = site_feed(site), Client()
    tag = client.get(address)["ETag"]
    again = client.get(address, headers={"If-None-Match": f'"x", W/{tag}'})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", tag)
    due(site, DAY + ONE_DAY)
    assert client.get(address, headers={"If-None-Match": tag}).status_code == 200


def test_a_feed_is_written_in_the_language_it_was_made_in_and_folds_its_lines(site: Site) -> None:
    Site.objects.filter(pk=site.pk).update(name="Łódź, hala 4; “północ”" + " i południe" * 6)
    due(site, DAY + ONE_DAY)
    address = site_feed(site, language="pl")
    content = Client().get(address).content
    assert max(len(line) for line in content.split(b"\r\n")) <= 75  # octets: RFC 5545, 3.1
    (event,) = events(address)
    assert "Łódź, hala 4; “północ” i południe" in str(event["summary"])
    assert "szelki" in str(event["summary"])


def test_programs_are_told_how_often_to_look_and_read_something_even_if_it_is_empty(
    site: Site,
) -> None:
    calendar = read(feed_of(UserFactory()))
    assert calendar["refresh-interval"].to_ical() == b"PT4H"
    assert calendar.subcomponents  # RFC 5545, 3.4: at least one component
    assert calendar.walk("VEVENT") == []


def test_only_the_hash_of_the_secret_is_kept(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    answer = client.post(reverse("register:calendar-list"), {"about": "site", "site": site.pk})
    secret = answer.context["address"].rpartition("/")[2].removesuffix(".ics")
    feed = CalendarFeed.objects.get()
    assert feed.secret_hash == hash_of(secret)
    assert len(secret) >= 43  # 256 bits
    assert secret not in client.get(reverse("register:calendar-list")).content.decode()


def test_a_new_address_keeps_the_events_and_shuts_the_old_one(client: Client, site: Site) -> None:
    due(site, DAY + ONE_DAY)
    user = user_as(Role.MANAGER, site)
    old = feed_of(user, about="site", site=site)
    (before,) = events(old)
    client.force_login(user)
    feed = CalendarFeed.objects.get()
    answer = client.post(reverse("register:calendar-renew", args=[feed.pk]))
    assert Client().get(old).status_code == 404
    (after,) = events(answer.context["address"].removeprefix("http://localhost:8000"))
    assert after == before


def test_a_site_is_offered_only_to_who_may_see_what_falls_due(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.WORKER, site))
    told = {"about": "site", "site": site.pk}
    assert client.post(reverse("register:calendar-list"), told).status_code == 422
    client.force_login(user_as(Role.MANAGER, SiteFactory()))
    assert client.post(reverse("register:calendar-list"), told).status_code == 422
    assert not CalendarFeed.objects.exists()
