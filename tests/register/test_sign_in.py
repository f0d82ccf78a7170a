"""Signing in: guesses are throttled, a second factor is asked for, and what hurts most asks again."""

from __future__ import annotations

import base64
import hashlib
import hmac
import struct
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.utils import decrypt
from axes.models import AccessAttempt
from django.core.cache import cache
from django.core.exceptions import ImproperlyConfigured
from django.test import Client
from django.urls import reverse

from inspections.models import Regime
from register.checks import refuse_unknown_roles
from register.models import Role, Site, User
from tests.factories import user_as
from tests.test_architecture import routes

pytestmark = pytest.mark.django_db
RIGHT = "a line for each of us"
ELSEWHERE = "https://elsewhere.example/"


@pytest.fixture
def ada(site: Site) -> User:
    """An administrator with a password of her own."""
    user = user_as(Role.ADMINISTRATOR, username="ada")
    user.set_password(RIGHT)
    user.save()
    return user


def enter(client: Client, username: str = "ada", password: str = RIGHT, then: str = "") -> str:
    """Where the login page leads; empty where it stays."""
    said = {"username": username, "password": password, "next": then}
    response = client.post(reverse("login"), said)
    return response.get("Location", "")


def is_signed_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


def code_now(secret: str) -> str:
    """A time-based code by RFC 6238 (HMAC-SHA-1, 30 s, six digits), made apart from the library."""
    counter = struct.pack(">Q", int(time.time()) // 30)  # noqa: TID251
    drawn = hmac.new(base64.b32decode(secret), counter, hashlib.sha1).digest()
    at = drawn[-1] & 15
    return f"{(struct.unpack('>I', drawn[at : at + 4])[0] & 0x7FFFFFFF) % 1_000_000:06d}"


def test_the_test_makes_codes_as_the_standard_does(monkeypatch: pytest.MonkeyPatch) -> None:
    """RFC 6238, appendix B: at 59 s the eight digits are 94287082, of which six remain."""
    monkeypatch.setattr(time, "time", lambda: 59.0)
    assert code_now(base64.b32encode(b"12345678901234567890").decode()) == "287082"


def with_codes(client: Client) -> str:
    """Set up codes for whoever is signed in; the secret."""
    client.get(reverse("mfa_activate_totp"))
    secret = str(client.session["mfa.totp.secret"])
    assert client.post(reverse("mfa_activate_totp"), {"code": code_now(secret)}).status_code == 302
    return secret


def test_five_wrong_passwords_rest_the_name_at_that_address_alone(ada: User) -> None:
    for _ in range(5):
        enter(Client(), password="a guess")
    shut = Client().post(reverse("login"), {"username": "ada", "password": RIGHT})
    assert shut.status_code == 429
    assert "Too many tries" in shut.content.decode()
    elsewhere = Client(REMOTE_ADDR="192.0.2.9")
    assert enter(elsewhere)
    petra = user_as(Role.STORES, username="petra")
    petra.set_password(RIGHT)
    petra.save()
    assert enter(Client(), "petra")


def test_the_rest_ends_after_a_quarter_of_an_hour(ada: User) -> None:
    for _ in range(5):
        enter(Client(), password="a guess")
    tried = AccessAttempt.objects.get()
    tried.attempt_time -= timedelta(minutes=15, seconds=1)
    tried.save()
    assert enter(Client()) == reverse("home")


def test_who_has_codes_is_not_signed_in_by_the_password_alone(ada: User) -> None:
    client = Client()
    enter(client)
    secret = with_codes(client)
    again = Client()
    assert enter(again, then="/sites/") == reverse("mfa_authenticate")
    assert not is_signed_in(again)
    again.post(reverse("mfa_authenticate"), {"code": "000000"})
    assert not is_signed_in(again)
    cache.clear()  # a code is good once; this test cannot wait for the next
    entered = again.post(reverse("mfa_authenticate"), {"code": code_now(secret)})
    assert entered["Location"] == "/sites/"
    assert is_signed_in(again)


def test_a_code_is_good_once(ada: User) -> None:
    client = Client()
    enter(client)
    secret = with_codes(client)
    opened = []
    for _ in range(2):
        again = Client()
        enter(again)
        again.post(reverse("mfa_authenticate"), {"code": code_now(secret)})
        opened.append(is_signed_in(again))
    assert opened == [True, False]


def test_a_recovery_code_opens_once(ada: User) -> None:
    client = Client()
    enter(client)
    with_codes(client)
    codes = Authenticator.objects.get(type="recovery_codes").wrap().get_unused_codes()
    opened = []
    for _ in range(2):
        again = Client()
        enter(again)
        again.post(reverse("mfa_authenticate"), {"code": codes[0]})
        opened.append(is_signed_in(again))
    assert opened == [True, False]


def test_the_secret_of_the_codes_cannot_be_read_in_the_database(ada: User, settings: Any) -> None:
    client = Client()
    enter(client)
    secret = with_codes(client)
    kept = Authenticator.objects.get(type="totp")
    assert secret not in str(kept.data)
    assert decrypt(kept.data["secret"]) == secret
    settings.SECRET_KEY = "another register's"
    read = {decrypt(kept.data["secret"]) for _ in range(2)}
    assert secret not in read
    assert len(read) == 2  # and nothing that can be worked out


def test_a_role_that_is_to_have_a_second_factor_is_led_to_it_first(
    ada: User, settings: Any
) -> None:
    settings.SECOND_FACTOR_ROLES = frozenset({Role.ADMINISTRATOR.value})
    client = Client()
    enter(client)
    page = reverse("register:user-list")
    assert client.get(page)["Location"] == reverse("mfa_index")
    assert "is to have a second factor" in client.get(reverse("mfa_index")).content.decode()
    answered = client.get(reverse("inspections:sync-events"))
    assert (answered.status_code, answered.json()["code"]) == (403, "second-factor")
    with_codes(client)
    assert client.get(page).status_code == 200


def test_a_role_that_nobody_holds_stops_the_start(settings: Any) -> None:
    settings.SECOND_FACTOR_ROLES = frozenset({"boss"})
    with pytest.raises(ImproperlyConfigured, match=r"boss, which no role is called"):
        refuse_unknown_roles()


@pytest.mark.asks_again
def test_giving_a_role_asks_for_the_password_and_then_does_what_was_filled_in(ada: User) -> None:
    client, holder = Client(), user_as(Role.WORKER, username="huw")
    enter(client)
    page = reverse("register:role-give", args=[holder.pk])
    assert client.get(page).status_code == 200
    asked = client.post(page, {"role": Role.STORES, "site": ""})
    assert asked["Location"].startswith(reverse("account_reauthenticate"))
    wrong = client.post(asked["Location"], {"password": "a guess", "next": page})
    assert wrong.status_code == 200
    assert not holder.grants.filter(role=Role.STORES).exists()
    client.post(asked["Location"], {"password": RIGHT, "next": page})
    assert holder.grants.filter(role=Role.STORES).exists()
    client.post(page, {"role": Role.PLANNER, "site": ""})
    assert holder.grants.filter(role=Role.PLANNER).exists()  # not asked again so soon


@pytest.mark.asks_again
def test_what_is_refused_after_the_password_goes_back_to_its_own_page(ada: User) -> None:
    client, holder = Client(), user_as(Role.COMPETENT, username="huw")
    enter(client)
    page = reverse("register:role-give", args=[holder.pk])
    asked = client.post(page, {"role": Role.ADMINISTRATOR, "site": ""})
    refused = client.post(asked["Location"], {"password": RIGHT, "next": page}).content.decode()
    assert "cannot be both" in refused
    assert f'action="{page}"' in refused


def test_what_hurts_most_from_a_screen_left_open_asks_again() -> None:
    asking = {name for name, route in routes() if getattr(route.callback, "asks_again", False)}
    assert asking == {
        *("inspections:item-release", "inspections:event-clear", "inspections:item-undo"),
        *("inspections:regime-edit", "register:role-give", "register:role-take"),
        "register:person-erase",
        *("register:user-new", "register:user-reopen", "register:user-password"),
        *("register:token-new", "readiness:archive"),
    }


@pytest.mark.asks_again
def test_the_intervals_stay_as_they_are_until_the_password_is_given(site: Site) -> None:
    client = Client()
    client.force_login(user_as(Role.MANAGER, username="oyelaran"))
    client.post(reverse("inspections:regime-edit"), {"schemes": ["gb"]})
    assert not Regime.objects.exists()


def test_ending_the_other_sessions_signs_them_out(ada: User) -> None:
    here, there = Client(), Client()
    enter(here)
    enter(there)
    assert there.get(reverse("register:user-list")).status_code == 200
    assert "this one" in here.get(reverse("usersessions_list")).content.decode()
    here.post(reverse("usersessions_list"))
    assert there.get(reverse("register:user-list")).status_code == 302
    assert here.get(reverse("register:user-list")).status_code == 200


def test_a_new_first_password_ends_every_session(ada: User) -> None:
    client, holder = Client(), user_as(Role.WORKER, username="huw")
    client.force_login(holder)
    boss = Client()
    boss.force_login(ada)
    boss.post(reverse("register:user-password", args=[holder.pk]))
    assert client.get(reverse("inspections:item-list")).status_code == 302


@pytest.mark.parametrize("then", [ELSEWHERE, "//elsewhere.example/", "javascript:alert(1)"])
def test_nobody_is_led_elsewhere_by_signing_in(ada: User, then: str) -> None:
    client = Client()
    assert enter(client, then=then) == reverse("home")
    again = client.post(reverse("account_reauthenticate"), {"password": RIGHT, "next": then})
    assert again["Location"] == reverse("home")


def test_the_pages_of_ones_own_sign_in_are_closed_to_nobody() -> None:
    opened = set()
    for name, _ in routes():
        if name.startswith(("mfa_", "account_", "usersessions_")):
            keyed = name in {"mfa_remove_webauthn", "mfa_edit_webauthn"}
            path = reverse(name, args=[1] if keyed else [])
            answer = Client().get(path)
            if answer.status_code != 302 or not answer["Location"].startswith("/sign-in/"):
                opened.add(name)
    assert opened == {"account_login"}


def test_somebody_elses_passkey_does_not_exist(ada: User, huw: User) -> None:
    theirs = Authenticator.objects.create(user=huw, type="webauthn", data={"name": "phone"})
    client = Client()
    enter(client)
    statuses = {
        client.get(reverse(name, args=[theirs.pk])).status_code
        for name in ("mfa_edit_webauthn", "mfa_remove_webauthn")
    }
    assert statuses == {404}


def test_there_is_nothing_to_sign_up_with() -> None:
    names = {name for name, _ in routes()}
    assert not names & {"account_signup", "mfa_signup_webauthn"}
    assert Path(reverse("account_login")) == Path(reverse("login"))
