"""A passkey in a real browser: added, signed in with alone, and given instead of the password."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from register.models import Role, User
from tests.browser.looking import assert_clean, signed_in
from tests.factories import user_as

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.browser, pytest.mark.asks_again]
RIGHT = "a line for each of us"


@pytest.fixture
def ada(transactional_db: None) -> User:
    user = user_as(Role.ADMINISTRATOR, username="ada")
    user.set_password(RIGHT)
    user.save()
    return user


def with_lock(page: Page) -> None:
    """The browser's own made-up authenticator, such as a phone's lock."""
    devices = page.context.new_cdp_session(page)
    devices.send("WebAuthn.enable")
    kind = {
        "protocol": "ctap2",
        "transport": "internal",
        "isUserVerified": True,
        "hasResidentKey": True,
        "hasUserVerification": True,
        "automaticPresenceSimulation": True,
    }
    devices.send("WebAuthn.addVirtualAuthenticator", {"options": kind})


def test_a_passkey_signs_in_alone_and_answers_when_it_is_asked_again(
    page: Page, live_server: LiveServer, ada: User
) -> None:
    holder = user_as(Role.WORKER, username="wren")
    with_lock(page)
    signed_in(page, live_server, "ada")
    page.goto(live_server.url + reverse("mfa_add_webauthn"))
    page.get_by_label("Password").fill(RIGHT)
    page.get_by_role("button", name="Go on").click()
    page.get_by_label("Name").fill("phone")
    assert_clean(page)
    page.get_by_role("button", name="Add it").click()
    page.get_by_role("heading", name="Recovery codes").wait_for()
    assert_clean(page)
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Use a passkey").wait_for()
    assert_clean(page)
    page.get_by_role("button", name="Use a passkey").click()
    page.get_by_role("button", name="Sign out").wait_for()

    page.goto(live_server.url + reverse("register:role-give", args=[holder.pk]))
    page.get_by_label("Role").select_option(Role.PLANNER)
    page.get_by_role("button", name="Give the role").click()
    page.get_by_role("link", name="passkey").or_(page.get_by_role("link", name="key")).click()
    page.get_by_role("button", name="Use a passkey").click()
    page.get_by_text("The role is given.").wait_for()
    assert holder.grants.filter(role=Role.PLANNER).exists()
