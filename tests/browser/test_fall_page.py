"""The page of the sums of a fall: it moves while figures are typed, and reads on every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from readiness.models import TaskSums
from register import clock
from register.models import Role
from tests.browser.looking import assert_clean, signed_in
from tests.factories import user_as
from tests.readiness.grounds import Ground, covered_site

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

expect = pytest.importorskip("playwright.sync_api", reason="no playwright").expect

STRIKES = "Not enough: strikes conveyor, short by 2.55 m."


@pytest.fixture
def ground(emptied_tables: None) -> Ground:
    found = covered_site(day=clock.now().date())
    found.task.heaviest_kg, found.task.lightest_kg = 100, 70
    found.task.save()
    user_as(Role.PLANNER, username="neve")
    return found


def opened(page: Page, live_server: LiveServer, ground: Ground) -> Page:
    signed_in(page, live_server, "neve")
    address = reverse("readiness:task-fall", args=[ground.site.code, ground.task.code])
    page.goto(live_server.url + address)
    return page


def typed(page: Page, **figures: str) -> None:
    for name, value in figures.items():
        page.fill(f"[name={name}]", value)


def test_the_page_reads_on_every_screen_with_its_pictures(
    page: Page, live_server: LiveServer, ground: Ground
) -> None:
    opened(page, live_server, ground)
    page.select_option("[name=system]", "retractable")
    expect(page.locator("[name=rule_retractable]")).to_be_visible()
    typed(page, anchor_m="7.5", offset_m="2", below_name_0="deck", below_depth_0="6")
    expect(page.locator("#fall-answer svg")).to_have_count(3)
    assert_clean(page)


def test_the_drawing_and_the_verdict_move_with_the_figures(
    desk: Page, live_server: LiveServer, ground: Ground
) -> None:
    page = opened(desk, live_server, ground)
    typed(page, length_m="2", anchor_m="0", below_name_0="conveyor", below_depth_0="4.2")
    expect(page.locator("#fall-told")).to_have_text(STRIKES)
    expect(page.locator("#fall-answer svg")).to_contain_text("strikes conveyor")
    before = page.locator("#fall-answer svg").inner_html()
    typed(page, anchor_m="2.5")
    expect(page.locator("#fall-told")).to_contain_text("short by 0.05 m")
    assert page.locator("#fall-answer svg").inner_html() != before
    assert page.evaluate("document.activeElement.name") == "anchor_m", "the box keeps the cursor"
    assert_clean(page)


def test_a_refusal_comes_and_goes_beside_its_box(
    desk: Page, live_server: LiveServer, ground: Ground
) -> None:
    page = opened(desk, live_server, ground)
    typed(page, length_m="2", anchor_m="40", below_name_0="conveyor", below_depth_0="9")
    expect(page.locator("#says-anchor_m .errors")).to_contain_text("from -5 to 30 m")
    expect(page.locator("[name=anchor_m]")).to_have_attribute("aria-invalid", "true")
    typed(page, anchor_m="2")
    expect(page.locator("#says-anchor_m .errors")).to_have_count(0)
    expect(page.locator("[name=anchor_m]")).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator("#fall-told")).to_contain_text("Enough by 4.25 m")
    page.click("button[name=keep]")
    expect(page.locator(".messages")).to_contain_text("The sums are kept.")
    assert TaskSums.objects.get().figures["anchor_m"] == 2
    assert_clean(page)
