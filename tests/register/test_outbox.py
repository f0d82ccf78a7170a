"""The outbox against a real mail server: sent once, tried again, given up aloud, told once for ever."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import connection

from register.actions.messages import choose_kinds, tell, try_again
from register.messages import outbox
from register.messages.outbox import send_waiting, take
from register.models import Message, Postbox, Role, Site, User
from register.rules.letters import Letter
from register.rules.message_kinds import COVER, FRESH_DAYS, LEASE_MINUTES, WAITS
from tests.factories import NOON, SiteFactory, stamp, user_as
from tests.register.smtp_server import MailServer, mail_server

MINUTE = timedelta(minutes=1)
LATER = NOON + timedelta(minutes=LEASE_MINUTES + 1)


@pytest.fixture
def server(settings: Any) -> Iterator[MailServer]:
    with mail_server() as running:
        settings.MAIL_ON = True
        settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
        settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", running.port
        yield running


def reader(site: Site, address: str = "oye@tarnwold.example", **box: object) -> User:
    user = user_as(Role.MANAGER, site)
    told = {"address": address, "confirmed_at": NOON, **box}
    Postbox.objects.create(user=user, **told)
    return user


def told(
    site: Site, key: str = "cover-1", subject: str = "Cover lost", at: datetime = NOON
) -> None:
    said = Letter(subject, "The silo hatch.\n")
    tell(COVER, key, sites=[site.pk], worded=lambda _reader, _sites: said, at=at)


def sent(at: datetime = NOON) -> int:
    return send_waiting(lambda: at)


@pytest.mark.django_db
def test_a_message_goes_out_once_with_headers_that_programs_understand(
    server: MailServer, site: Site, settings: Any
) -> None:
    settings.SECURE, settings.PUBLIC_URL = True, "https://register.example"
    settings.PUBLIC_HOST = "register.example"
    reader(site)
    told(site, subject="Cover lost at Łódź\r\nBcc: all@example.org")
    assert (sent(), sent(LATER)) == (1, 0)
    (letter,) = server.letters
    assert server.readers == ["oye@tarnwold.example"]
    assert letter["Subject"] == "Cover lost at Łódź Bcc: all@example.org"
    assert letter["Bcc"] is None
    assert letter["Message-ID"] == f"<{Message.objects.get().pk}@register.example>"
    assert letter["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"  # RFC 8058, 3.1
    assert letter["List-Unsubscribe"].strip().startswith("<https://register.example/unsubscribe/")
    assert letter["Auto-Submitted"] == "auto-generated"  # RFC 3834, 5
    assert letter.get_content_type() == "text/plain"
    assert letter.get_content().replace("\r", "").startswith("The silo hatch.\n\n-- \n")


@pytest.mark.django_db
def test_one_click_is_not_offered_without_https(server: MailServer, site: Site) -> None:
    reader(site)
    told(site)
    sent()
    assert server.letters[0]["List-Unsubscribe-Post"] is None
    assert "/unsubscribe/" in server.letters[0].get_content()


@pytest.mark.django_db
def test_the_same_fact_is_told_once(server: MailServer, site: Site) -> None:
    reader(site)
    told(site)
    told(site)
    assert (sent(), len(server.letters)) == (1, 1)


@pytest.mark.django_db
def test_what_a_server_puts_off_is_sent_after_growing_waits(server: MailServer, site: Site) -> None:
    reader(site)
    told(site)
    server.refusals = ["451 try later", "451 try later"]
    assert (sent(), Message.objects.get().last_error[:4]) == (0, "SMTP")
    at = NOON
    for wait in WAITS[:2]:
        assert sent(at + (wait - 0.5) * MINUTE) == 0
        at += wait * MINUTE
        sent(at)
    assert len(server.letters) == 1
    message = Message.objects.get()
    assert (message.sent_at, message.tries, message.last_error) == (at, 3, "")


@pytest.mark.django_db
def test_it_is_given_up_after_so_many_tries_and_can_be_tried_again(
    settings: Any, site: Site
) -> None:
    settings.MAIL_ON, settings.EMAIL_HOST, settings.EMAIL_PORT = True, "127.0.0.1", 1
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    reader(site)
    told(site)
    at = NOON
    for wait in (0, *WAITS):
        at += wait * MINUTE
        sent(at)
    message = Message.objects.get()
    assert (message.given_up_at, message.tries) == (at, len(WAITS) + 1)
    assert "refused" in message.last_error
    try_again(message, stamp=stamp(at=at))
    assert [one.pk for one in take(at)] == [message.pk]


@pytest.mark.django_db
def test_a_reader_whom_the_server_does_not_know_is_given_up_at_once(
    server: MailServer, site: Site
) -> None:
    reader(site)
    told(site)
    server.refusals = ["550 no such user"]
    sent()
    assert Message.objects.get().given_up_at == NOON


@pytest.mark.django_db
def test_one_reader_who_is_refused_keeps_no_other_waiting(server: MailServer, site: Site) -> None:
    for number in range(3):
        reader(site, f"reader-{number}@tarnwold.example")
    told(site)
    server.refusals = ["550 no such user"]
    assert (sent(), len(server.letters)) == (2, 2)


@pytest.mark.django_db
def test_who_dies_between_sending_and_marking_sends_the_same_letter_again(
    server: MailServer, site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At least once: the second has the Message-ID of the first, so that a program can tell."""
    reader(site)
    told(site)

    class Died(BaseException):
        """The process is gone: nothing after this line of it runs."""

    def die() -> datetime:
        if server.letters:
            raise Died
        return NOON

    with pytest.raises(Died):
        send_waiting(die)
    assert Message.objects.get().sent_at is None
    assert sent(NOON + MINUTE) == 0  # the lease of the dead one still runs
    assert sent(LATER) == 1
    assert len({letter["Message-ID"] for letter in server.letters}) == 1
    assert sent(LATER + timedelta(days=1)) == 0


@pytest.mark.django_db
@pytest.mark.parametrize("change", ["left", "unconfirmed", "closed", "removed"])
def test_who_does_not_take_it_any_more_is_not_written_to(
    change: str, server: MailServer, site: Site
) -> None:
    user = reader(site)
    told(site)
    if change == "left":
        choose_kinds(user, left=[COVER], language="en-gb", stamp=stamp(user))
    elif change == "unconfirmed":
        Postbox.objects.update(confirmed_at=None)
    elif change == "closed":
        User.objects.filter(pk=user.pk).update(is_active=False)
    else:
        Postbox.objects.update(address="")
    assert (sent(), server.letters) == (0, [])
    assert Message.objects.get().last_error == "not wanted any more"


@pytest.mark.django_db
def test_news_that_is_days_old_is_not_sent(server: MailServer, site: Site) -> None:
    reader(site)
    told(site)
    assert sent(NOON + timedelta(days=FRESH_DAYS, minutes=1)) == 0
    assert Message.objects.get().last_error == "too old to be news"


@pytest.mark.django_db
def test_without_a_mail_server_or_address_it_stays_on_the_page(settings: Any, site: Site) -> None:
    settings.MAIL_ON = False
    user = reader(site)
    told(site)
    settings.MAIL_ON = True
    Postbox.objects.update(confirmed_at=None)
    told(site, "cover-2")
    assert list(Message.objects.values_list("by_mail", flat=True)) == [False, False]
    assert Message.objects.visible_to(user).count() == 2


@pytest.mark.django_db
def test_each_is_told_of_their_own_sites_only(site: Site) -> None:
    other = SiteFactory()
    everywhere, here, elsewhere = reader_at(None), reader_at(site), reader_at(SiteFactory())
    seen = {}

    def worded(user: User, sites: frozenset[int]) -> Letter:
        seen[user] = sites
        return Letter("s", "t")

    tell(COVER, "k", sites=[site.pk, other.pk], worded=worded, at=NOON)
    assert seen == {everywhere: {site.pk, other.pk}, here: {site.pk}}
    assert elsewhere not in seen


def reader_at(site: Site | None) -> User:
    return user_as(Role.MANAGER, site)


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("emptied_tables")
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one writer")
def test_two_workers_at_once_send_each_message_once(
    server: MailServer, site: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(outbox, "AT_ONCE", 3)
    for number in range(12):
        reader(site, f"reader-{number}@tarnwold.example")
    told(site)
    gate = threading.Barrier(2)

    def work() -> int:
        try:
            gate.wait()
            return sent()
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as pool:
        counts = [one.result() for one in [pool.submit(work), pool.submit(work)]]
    assert sum(counts) == 12
    assert len({letter["Message-ID"] for letter in server.letters}) == len(server.letters) == 12


@pytest.mark.django_db(transaction=True)
@pytest.mark.usefixtures("emptied_tables")
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one writer")
def test_two_who_tell_the_same_fact_at_once_tell_it_once(site: Site) -> None:
    reader(site)
    gate = threading.Barrier(2)

    def work() -> None:
        try:
            gate.wait()
            told(site)
        finally:
            connection.close()

    with ThreadPoolExecutor(2) as pool:
        for one in [pool.submit(work), pool.submit(work)]:
            one.result()
    assert Message.objects.count() == 1
