"""A calendar elsewhere: what may be fetched, what its answers do to the rota, and its silence."""

from __future__ import annotations

import http.client
import ipaddress
from collections.abc import Sequence
from datetime import date, timedelta
from email.message import Message as Headers
from io import BytesIO

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from readiness.actions.feeds import follow_feed, stop_feed
from readiness.intake.rota import feeding, fetching
from readiness.intake.rota.feeding import refresh
from readiness.intake.rota.fetching import MOST_BYTES, NotFetched, fetch, is_public
from readiness.models import RotaEntry, RotaFeed
from readiness.watches import calendars
from register import clock
from register.models import Person, Role, Site, Zone
from register.refusal import Refusal
from tests.factories import (
    NOON,
    PersonFactory,
    ShiftFactory,
    ZoneFactory,
    rota_feed,
    stamp,
    user_as,
)
from tests.readiness.test_rota_in import calendar


class Answer(http.client.HTTPConnection):
    """A connection that never leaves the test."""

    def __init__(self, status: int, content: bytes = b"", location: str = "") -> None:
        super().__init__("none")
        self.status, self.content, self.location = status, content, location
        self.asked: list[str] = []

    def request(self, method: str, url: str, *_more: object, **_named: object) -> None:  # type: ignore[override]
        self.asked.append(f"{method} {url}")

    def getresponse(self) -> Answer:  # type: ignore[override]
        self.headers = Headers()
        if self.location:
            self.headers["Location"] = self.location
        self._body = BytesIO(self.content)
        return self

    def read(self, size: int) -> bytes:
        return self._body.read(size)


def fetched(*answers: Answer, numbers: Sequence[str] = ("93.184.216.34",)) -> bytes:
    left = list(answers)
    return fetch(
        "https://calendar.example/rota.ics?key=1",
        resolve=lambda _host: numbers,
        connect=lambda _host, _number, _seconds: left.pop(0),
    )


def code_of(*answers: Answer, numbers: Sequence[str] = ("93.184.216.34",)) -> str:
    with pytest.raises(NotFetched) as reason:
        fetched(*answers, numbers=numbers)
    return str(reason.value)


def test_what_stands_there_is_fetched_and_redirections_are_followed() -> None:
    moved = Answer(302, location="https://other.example/rota.ics")
    there = Answer(200, b"BEGIN:VCALENDAR")
    assert fetched(moved, there) == b"BEGIN:VCALENDAR"
    assert (moved.asked, there.asked) == (["GET /rota.ics?key=1"], ["GET /rota.ics"])


@pytest.mark.parametrize(
    "number",
    [
        *("127.0.0.1", "10.1.2.3", "172.16.0.1", "192.168.1.1", "169.254.169.254", "0.0.0.0"),  # noqa: S104
        *("100.64.0.1", "224.0.0.1", "::1", "fe80::1", "fc00::1", "::ffff:10.0.0.1"),
        *("64:ff9b::a00:1", "2002:a00:1::", "ff02::1", "198.18.0.1", "240.0.0.1"),
    ],
)
def test_nothing_is_fetched_from_a_private_address_whatever_the_name(number: str) -> None:
    assert code_of(Answer(200, b"x"), numbers=(number,)) == "feed-private"
    assert code_of(Answer(200, b"x"), numbers=("93.184.216.34", number)) == "feed-private"


@given(st.ip_addresses())
def test_no_address_that_the_standard_library_calls_private_is_public(
    number: ipaddress.IPv4Address | ipaddress.IPv6Address,
) -> None:
    if number.is_private or number.is_loopback or number.is_link_local or number.is_multicast:
        assert not is_public(number)


@pytest.mark.parametrize(
    ("address", "code"),
    [
        ("http://calendar.example/r.ics", "feed-not-https"),
        ("file:///etc/passwd", "feed-not-https"),
        ("https:///r.ics", "feed-not-https"),
        ("https://calendar.example:8443/r.ics", "feed-not-https"),
        ("https://calendar.example:x/", "feed-not-https"),
        ("https://u:p@calendar.example/r.ics", "feed-with-password"),
    ],
)
def test_only_https_on_its_own_port_and_without_a_password(address: str, code: str) -> None:
    with pytest.raises(NotFetched) as reason:
        fetch(address, resolve=lambda _host: ("93.184.216.34",), connect=lambda *_a: Answer(200))
    assert str(reason.value) == code


def test_a_redirection_is_judged_like_the_address_itself() -> None:
    assert code_of(Answer(301, location="http://calendar.example/")) == "feed-not-https"
    assert code_of(Answer(301, location="https://127.0.0.1:443@x/")) == "feed-with-password"
    round_and_round = [Answer(302, location="/again") for _ in range(9)]
    assert code_of(*round_and_round) == "feed-redirects"


def test_size_and_time_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    assert code_of(Answer(200, b"x" * (MOST_BYTES + 1))) == "feed-too-big"
    monkeypatch.setattr(fetching, "MOST_SECONDS", 0.0)
    assert code_of(Answer(200, b"x")) == "feed-slow"


def test_an_error_is_no_answer() -> None:
    assert code_of(Answer(404)) == "feed-no-answer"
    assert code_of(Answer(200), numbers=()) == "feed-no-host"


@pytest.fixture(autouse=True)
def noon_of_the_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)


@pytest.fixture
def zone(site: Site) -> Zone:
    ShiftFactory(site=site)
    made: Zone = ZoneFactory(site=site)
    return made


@pytest.fixture
def feed(site: Site, zone: Zone) -> RotaFeed:
    return rota_feed(site, zone)


@pytest.fixture
def ada(site: Site) -> Person:
    made: Person = PersonFactory(name="Ada Berg", employer="Tarn", home_site=site)
    return made


def event(name: str, day: int) -> str:
    return f"SUMMARY:{name}\nDTSTART:202603{day}T060000\nDTEND:202603{day}T180000"


def answered(feed: RotaFeed, *events: str) -> RotaFeed:
    return refresh(feed, stamp=stamp(), fetched=lambda _address: calendar(*events).encode())


def days() -> list[date]:
    return [one.day_on for one in RotaEntry.objects.order_by("day_on")]


def test_who_comes_into_the_calendar_comes_on_and_who_goes_goes_off(
    feed: RotaFeed, ada: Person
) -> None:
    answered(feed, event("Ada Berg", 10), event("Ada Berg", 11), event("Somebody", 12))
    assert days() == [date(2026, 3, 10), date(2026, 3, 11)]
    assert "names nobody" in feed.unclear[0][1]
    before = set(RotaEntry.objects.values_list("pk", flat=True))
    answered(feed, event("Ada Berg", 11), event("Ada Berg", 13))
    assert days() == [date(2026, 3, 11), date(2026, 3, 13)]
    assert len(before & set(RotaEntry.objects.values_list("pk", flat=True))) == 1


def test_what_was_put_on_by_hand_is_left_alone(
    feed: RotaFeed, ada: Person, site: Site, zone: Zone
) -> None:
    RotaEntry.objects.create(
        site=site, person=ada, day_on=date(2026, 3, 12), shift=site.shifts.get(), zone=zone
    )
    answered(feed, event("Ada Berg", 12))
    answered(feed)
    assert days() == [date(2026, 3, 12)]


@pytest.mark.parametrize("trouble", [b"<html>sign in</html>", b"BEGIN:VCALENDAR\r\nBEGIN:VEVENT"])
def test_where_there_is_no_good_answer_the_last_one_stands_and_why_is_told(
    trouble: bytes, feed: RotaFeed, ada: Person
) -> None:
    answered(feed, event("Ada Berg", 10))
    later = stamp(at=NOON + timedelta(hours=1))
    refresh(feed, stamp=later, fetched=lambda _address: trouble)
    feed.refresh_from_db()
    assert days() == [date(2026, 3, 10)]
    assert (feed.answered_at, feed.tried_at) == (NOON, later.at)
    assert "cannot be read" in feed.trouble
    assert "Ada Berg" in feed.answer


def test_a_calendar_is_followed_once_and_stopped_once(site: Site, zone: Zone) -> None:
    address = "https://calendar.example/secret-7.ics"
    feed = follow_feed(site, zone=zone, address=address, stamp=stamp())
    with pytest.raises(Refusal, match="followed already"):
        follow_feed(site, zone=zone, address=address, stamp=stamp())
    stop_feed(feed, stamp=stamp())
    with pytest.raises(Refusal, match="not followed any more"):
        stop_feed(feed, stamp=stamp())


def test_the_page_shows_the_host_and_never_the_secret(
    client: Client, site: Site, zone: Zone, ada: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = calendar(event("Ada Berg", 10)).encode()
    monkeypatch.setattr(feeding, "fetch", lambda _address: content)
    client.force_login(user_as(Role.SUPERVISOR, site))
    page = reverse("readiness:feed-list")
    sent = {"address": "webcal://calendar.example/secret-7.ics", "zone": zone.pk}
    assert client.post(page, sent).status_code == 302
    assert days() == [date(2026, 3, 10)]
    shown = client.get(page).content.decode()
    assert "calendar.example" in shown
    assert "secret-7" not in shown
    refused = client.post(page, {"address": "http://10.0.0.1/", "zone": zone.pk})
    assert "must begin with https" in refused.content.decode()


def test_the_command_asks_each_calendar(feed: RotaFeed, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(feeding, "fetch", lambda _address: b"no")
    call_command("fetch_rotas")
    feed.refresh_from_db()
    assert feed.tried_at == NOON
    assert feed.trouble


def test_a_calendar_silent_for_a_day_is_told_to_whoever_runs_the_server(feed: RotaFeed) -> None:
    assert calendars(NOON).well  # followed only a moment ago
    later = NOON + timedelta(days=2)
    assert "1 calendar of a rota gave no good answer" in calendars(later).sentence
    RotaFeed.objects.update(answered_at=later)
    assert calendars(later).well
