"""The pages of messages: an address confirmed by its link, kinds left, and where nobody is told."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from register import clock
from register.messages.outbox import send_waiting
from register.messages.writing import leaving_token
from register.models import Message, MessageTerms, Postbox, Role, Site, User
from register.rules.message_kinds import AT_ONCE, KINDS
from tests.factories import NOON, SiteFactory, user_as

pytestmark = pytest.mark.django_db
LIST = "register:message-list"


@pytest.fixture(autouse=True)
def mail_is_on(settings: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.MAIL_ON = True
    at_clock(monkeypatch)
    cache.clear()


def at_clock(monkeypatch: pytest.MonkeyPatch, later: timedelta = timedelta(0)) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON + later)


def ask(client: Client, address: str = "morag@tarn.example") -> Any:
    return client.post(reverse("register:address-ask"), {"address": address, "language": "pl"})


def link_sent() -> str:
    """The path of the link in the last letter that went out."""
    send_waiting(clock.now)
    return re.search(r"http://localhost:8000(\S+)", mail.outbox[-1].body)[1]  # type: ignore[index]


def box_of(user: User, **particulars: object) -> Postbox:
    told = {"address": "m@tarn.example", "confirmed_at": NOON, **particulars}
    box: Postbox = Postbox.objects.create(user=user, **told)
    return box


def page(client: Client, name: str = LIST) -> str:
    return client.get(reverse(name)).content.decode()


def test_an_address_is_confirmed_by_its_link_before_anything_else_is_sent(
    client: Client, site: Site
) -> None:
    user = user_as(Role.SUPERVISOR, site)
    client.force_login(user)
    ask(client)
    box = Postbox.objects.get()
    assert (box.confirmed_at, box.takes("cover"), box.language) == (None, False, "pl")
    link = link_sent()
    assert mail.outbox[-1].to == ["morag@tarn.example"]
    client.get(link)  # a program that opens links confirms nothing
    box.refresh_from_db()
    assert box.confirmed_at is None
    client.post(link)
    box.refresh_from_db()
    assert box.confirmed_at == NOON
    assert box.takes("cover")


def test_the_link_is_nowhere_but_in_the_letter(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.SUPERVISOR, site))
    ask(client)
    assert "confirm/?token" not in page(client)


def test_a_link_confirms_for_its_own_user_and_address_only(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.SUPERVISOR, site))
    ask(client)
    link = link_sent()
    other = Client()
    other.force_login(user_as(Role.SUPERVISOR, site))
    other.post(link)
    assert not Postbox.objects.exclude(confirmed_at=None).exists()
    ask(client, "another@tarn.example")
    client.post(link)
    assert not Postbox.objects.exclude(confirmed_at=None).exists()


def test_asking_again_and_again_is_held_up(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.SUPERVISOR, site))
    assert [ask(client).status_code for _ in range(6)] == [302] * 5 + [422]
    assert Message.objects.count() <= 5


def test_without_a_mail_server_the_page_says_so(client: Client, site: Site, settings: Any) -> None:
    settings.MAIL_ON = False
    client.force_login(user_as(Role.MANAGER, site))
    assert "messages are kept here and not sent" in page(client)
    assert ask(client).status_code == 422


def test_one_click_leaves_the_kind_without_a_login_and_a_look_leaves_nothing(site: Site) -> None:
    user = user_as(Role.SUPERVISOR, site)
    box = box_of(user)
    link = reverse("register:unsubscribe", args=[leaving_token(user, "morning")])
    stranger = Client(enforce_csrf_checks=True)
    assert stranger.get(link).status_code == 200
    box.refresh_from_db()
    assert box.left == []
    posted = stranger.post(link, {"List-Unsubscribe": "One-Click"})  # RFC 8058, 3.2
    assert posted.status_code == 200
    box.refresh_from_db()
    assert box.left == ["morning"]


@pytest.mark.parametrize("token", ["1.morning~forged", "x", "1.morning"])
def test_a_forged_link_leaves_nothing(token: str) -> None:
    assert Client().post(reverse("register:unsubscribe", args=[token])).status_code == 404


def test_kinds_are_left_and_taken_again(client: Client, site: Site) -> None:
    user = user_as(Role.SUPERVISOR, site)
    box = box_of(user)
    client.force_login(user)
    client.post(reverse("register:message-kinds"), {"kinds": ["arrest"], "language": "pl"})
    box.refresh_from_db()
    assert (set(box.left), box.language) == (set(KINDS) - {"arrest"}, "pl")


def test_the_manager_sees_where_nobody_is_told(client: Client, site: Site) -> None:
    manager, supervisor = user_as(Role.MANAGER, site), user_as(Role.SUPERVISOR, site)
    client.force_login(manager)
    assert "Nobody is told by e-mail" in page(client)
    box = box_of(manager)
    assert "Nobody is told by e-mail" not in page(client)
    box.left = ["cover"]
    box.save()
    said = page(client)
    assert "Corrick Quay: At once: a task has lost its rescue cover</li>" in said
    box_of(supervisor)
    assert "Nobody is told by e-mail" not in page(client)
    Postbox.objects.filter(pk=supervisor.pk).update(confirmed_at=None)
    assert "Nobody is told by e-mail" in page(client)


def test_a_supervisor_is_not_shown_who_is_told(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.SUPERVISOR, site))
    assert "Nobody is told by e-mail" not in page(client)


def test_what_was_given_up_stands_in_the_outbox_of_who_oversees(client: Client, site: Site) -> None:
    said = {"subject": "s", "text": "t", "made_at": NOON, "next_try_at": NOON, "by_mail": True}
    given_up = {"given_up_at": NOON, "last_error": "refused by the server", **said}
    for where in (site, SiteFactory()):
        Message.objects.create(user=user_as(Role.WORKER, where), kind="arrest", key="a", **given_up)
    client.force_login(user_as(Role.ADMINISTRATOR, site))
    shown = page(client, "register:outbox")
    assert shown.count("refused by the server") == 1
    assert "Is send_messages running?" in shown
    mine = Message.objects.filter(user__grants__site=site).get()
    client.post(reverse("register:message-retry", args=[mine.pk]))
    mine.refresh_from_db()
    assert mine.given_up_at is None


def test_the_hour_is_set_by_who_oversees_every_site(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    told = {"morning_hour": 7}
    assert client.post(reverse("register:outbox"), told).status_code == 403
    client.force_login(user_as(Role.MANAGER))
    client.post(reverse("register:outbox"), told)
    assert MessageTerms.objects.get().morning_hour == 7
    assert client.post(reverse("register:outbox"), {"morning_hour": 13}).status_code == 422


def test_whoever_is_told_at_once_may_see_what_they_are_told_of() -> None:
    from register.access import NEEDS
    from register.actions.messages import TOLD

    needed = {
        "arrest": "arrest.see",
        "notice": "notice.see",
        "cover": "cover.see",
        "tag-stop": "item.see",
    }
    assert set(TOLD) == set(AT_ONCE) == set(needed)
    assert [kind for kind, need in needed.items() if not TOLD[kind] <= NEEDS[need]] == []
