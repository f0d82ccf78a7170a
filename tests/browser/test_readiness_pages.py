"""The manager's pages on every screen, and the main story: a part fails, and the line breaks."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from inspections.models import Authorisation
from register import clock
from register.models import Role, User
from tests.browser.looking import assert_clean, signed_in
from tests.factories import user_as
from tests.readiness.grounds import Ground, covered_site

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


@pytest.fixture
def ground(emptied_tables: None) -> Ground:
    return covered_site(day=clock.now().date())


@pytest.fixture
def manager(ground: Ground) -> User:
    return user_as(Role.MANAGER, username="oyelaran")


@pytest.fixture
def huw(ground: Ground) -> User:
    user = user_as(Role.COMPETENT, username="huw")
    today = clock.today(ground.site)
    span = {"from_on": today - timedelta(days=9), "through_on": today + timedelta(days=9)}
    Authorisation.objects.create(person=user.person, **span)
    return user


def test_the_managers_pages_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, ground: Ground, manager: User
) -> None:
    signed_in(page, live_server, manager.username)
    task = [ground.site.code, ground.task.code]
    for address in (
        reverse("readiness:morning"),
        reverse("readiness:site-cover", args=[ground.site.code]),
        reverse("readiness:task-detail", args=task),
        reverse("readiness:task-why", args=task),
        reverse("readiness:task-new", args=[ground.site.code]),
        reverse("readiness:task-edit", args=task),
        reverse("readiness:task-exposed", args=task),
        reverse("readiness:plan-edit", args=task),
        reverse("readiness:drill-new", args=task),
        reverse("readiness:first-call", args=[ground.site.code]),
        reverse("readiness:rota"),
        reverse("readiness:competence-list"),
        reverse("readiness:kit-rate", args=[ground.kit.name]),
        reverse("readiness:policy-edit"),
        reverse("inspections:regime-edit"),
        reverse("register:site-list"),
        reverse("register:site-places", args=[ground.site.code]),
    ):
        page.goto(f"{live_server.url}{address}")
        assert_clean(page)


def test_failing_a_part_by_its_tag_breaks_the_line_of_the_site(
    phone: Page, live_server: LiveServer, ground: Ground, manager: User, huw: User
) -> None:
    signed_in(phone, live_server, manager.username)
    phone.goto(f"{live_server.url}{reverse('readiness:morning')}")
    assert "covered, checked" in phone.inner_text("h1")
    assert "not covered" not in phone.inner_text("h1")
    part = ground.kit.parts.get(role="descender").item
    signed_in(phone, live_server, huw.username)
    phone.goto(f"{live_server.url}{reverse('inspections:inspect')}")
    phone.select_option("select[name=site]", ground.site.code)
    phone.get_by_role("button", name="Start scanning").click()
    phone.get_by_role("textbox").first.fill(part.shown_code.lower())
    phone.keyboard.press("Enter")
    phone.get_by_role("button", name="Fail").click()
    part.refresh_from_db()
    assert part.condition == "quarantined"
    signed_in(phone, live_server, manager.username)
    phone.goto(f"{live_server.url}{reverse('readiness:morning')}")
    assert "not covered" in phone.inner_text("h1")
    assert f"Kit {ground.kit.name} is out: descender" in phone.inner_text("main")
