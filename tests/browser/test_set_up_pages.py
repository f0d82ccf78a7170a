"""The pages with which a register is set up, on every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse

from register.models import Grant, Role, Site, User
from tests.api_callers import token_of
from tests.browser.looking import assert_clean, signed_in
from tests.factories import ShiftFactory, ZoneFactory

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


def addresses(site: Site, user: User) -> list[str]:
    """One of each page."""
    shift, zones = ShiftFactory(site=site), [ZoneFactory(site=site) for _ in range(4)]
    return [
        reverse("register:site-list"),
        reverse("register:site-new"),
        reverse("register:site-edit", args=[site.code]),
        reverse("register:site-places", args=[site.code]),
        reverse("register:zone-edit", args=[site.code, zones[0].code]),
        reverse("register:shift-edit", args=[site.code, shift.pk]),
        reverse("register:user-list"),
        reverse("register:user-new"),
        reverse("register:user-close", args=[user.pk]),
        reverse("register:role-give", args=[user.pk]),
        reverse("register:token-list"),
        reverse("register:token-new"),
        reverse("register:token-revoke", args=[user.tokens.get().pk]),
        reverse("register:api-docs"),
        reverse("register:api-problems"),
        reverse("inspections:regime-edit"),
        reverse("readiness:policy-edit"),
        reverse("password"),
    ]


def test_the_pages_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, oyelaran: User, site: Site
) -> None:
    Grant.objects.create(user=oyelaran, role=Role.ADMINISTRATOR)
    token_of(oyelaran)
    signed_in(page, live_server, oyelaran.username)
    for address in addresses(site, oyelaran):
        page.goto(live_server.url + address)
        assert page.get_by_role("heading", level=1).count() == 1, address
        assert_clean(page)
