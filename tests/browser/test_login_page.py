"""The first page anybody sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse

from tests.browser.looking import assert_clean

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


def test_the_login_page_can_be_read_on_every_screen(page: Page, live_server: LiveServer) -> None:
    page.goto(live_server.url + reverse("login"))
    assert page.get_by_role("heading", level=1).count() == 1
    assert_clean(page)
