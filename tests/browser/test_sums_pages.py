"""Restraint and rescue by numbers in a browser: drawn anew while somebody types, on every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from readiness.actions.sums import keep_sums
from readiness.models import Task
from register import clock
from register.models import Role, User
from tests.browser.looking import assert_clean, signed_in
from tests.factories import stamp, user_as
from tests.readiness.fall_figures import restraint_figures
from tests.readiness.grounds import Ground, covered_site

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


@pytest.fixture
def ground(emptied_tables: None) -> Ground:
    """A task in restraint, proven with 0.50 m to spare."""
    found = covered_site(day=clock.now().date())
    Task.objects.filter(pk=found.task.pk).update(system="restraint")
    keep_sums(found.task, topic="restraint", figures=restraint_figures(), stamp=stamp())
    return found


@pytest.fixture
def planner(ground: Ground) -> User:
    return user_as(Role.PLANNER, ground.site, username="neve")


def address(live_server: LiveServer, ground: Ground, name: str) -> str:
    return f"{live_server.url}{reverse(name, args=[ground.site.code, ground.task.code])}"


def test_the_pages_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, ground: Ground, planner: User
) -> None:
    signed_in(page, live_server, planner.username)
    for name in ("readiness:task-restraint", "readiness:task-rescue"):
        page.goto(address(live_server, ground, name))
        page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
        assert_clean(page)


def test_a_longer_lanyard_is_told_as_arrest_while_it_is_typed(
    desk: Page, live_server: LiveServer, ground: Ground, planner: User
) -> None:
    signed_in(desk, live_server, planner.username)
    desk.goto(address(live_server, ground, "readiness:task-restraint"))
    told = desk.locator("#sums-told")
    assert "Proven restraint: 0.5 m to spare" in told.inner_text()
    desk.fill("[name=lanyard_m]", "3")
    desk.wait_for_selector("#sums-told:has-text('can be passed by 0.5 m')")
    assert desk.input_value("[name=lanyard_m]") == "3"
    desk.fill("[name=lanyard_m]", "300")
    desk.wait_for_selector("#says-lanyard_m .errors")
    assert "No answer yet." in told.inner_text()
    assert_clean(desk)


def test_what_is_typed_of_a_kit_is_reckoned_at_once(
    phone: Page, live_server: LiveServer, ground: Ground, planner: User
) -> None:
    signed_in(phone, live_server, planner.username)
    phone.goto(address(live_server, ground, "readiness:task-rescue"))
    phone.get_by_text(f"Kit {ground.kit.name}, as it is").click()
    phone.fill(f"[name=kit_rope_{ground.kit.pk}]", "19")
    phone.wait_for_selector("text=The rope is too short: 20 m are needed, 1 m are missing.")
    assert_clean(phone)
