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
    today = clock.today(ground.site).isoformat()
    leave = f"&from_on={today}&to_on={today}"
    for address in (
        reverse("readiness:morning"),
        reverse("readiness:site-cover", args=[ground.site.code]),
        reverse("readiness:site-cover", args=[ground.site.code]) + "?days=90&at=12:00",
        reverse("readiness:lapse-list") + "?days=90",
        reverse("readiness:hangs-on"),
        reverse("readiness:leave-check") + f"?person={ground.rescuer.pk}{leave}",
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
    assert "is covered for the next 24 h, checked" in phone.inner_text("h1")
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


def test_the_morning_tells_the_worst_sites_on_one_phone_height(
    phone: Page, live_server: LiveServer, ground: Ground, manager: User
) -> None:
    for number in range(3):
        other = covered_site(f"site-{number}", f"Long Name Works {number}", clock.now().date())
        other.kit.seal_intact = False
        other.kit.save()
    signed_in(phone, live_server, manager.username)
    phone.goto(f"{live_server.url}{reverse('readiness:morning')}")
    sites = phone.locator(".site-cover")
    ends = [sites.nth(place).bounding_box() for place in range(3)]
    assert [box["y"] + box["height"] <= 844 for box in ends if box] == [True] * 3


def test_every_day_of_a_task_is_reached_by_the_arrow_keys(
    desk: Page, live_server: LiveServer, ground: Ground, manager: User
) -> None:
    signed_in(desk, live_server, manager.username)
    desk.goto(f"{live_server.url}{reverse('readiness:site-cover', args=[ground.site.code])}")
    desk.locator(".along-cells a[aria-current]").focus()
    for _ in range(20):
        desk.keyboard.press("ArrowRight")
    told = desk.evaluate("document.activeElement.textContent")
    last = clock.today(ground.site) + timedelta(days=13)
    assert f"{last:%a} {last.day} {last:%b}" in told
    desk.keyboard.press("Enter")
    desk.wait_for_url("**?on=*#task-*")
    assert f"{last:%a} {last.day} {last:%b %Y}" in desk.inner_text("h2#day")
