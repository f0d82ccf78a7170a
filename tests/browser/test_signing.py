"""A signature drawn on the screen arrives as strokes within their box, and a name typed is enough."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from inspections.actions.handovers import make_handover
from inspections.actions.using import issue
from register import clock
from register.models import Handover, Site, Stamp, User
from register.rules.strokes import HEIGHT, WIDTH
from tests.browser.looking import assert_clean, signed_in
from tests.factories import ItemFactory, PersonFactory, passed

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


@pytest.fixture
def handover(site: Site) -> Handover:
    """One harness issued, its receipt waiting to be signed."""
    item = ItemFactory(site=site)
    passed(item, clock.today(site))
    stamp = Stamp(by=None, at=clock.now())
    person = PersonFactory(name="Ines Carrow", home_site=site)
    issue(item, to=person, due_back_on=None, stamp=stamp)
    return make_handover([item.movements.get()], stamp=stamp.again())


def opened(page: Page, live_server: LiveServer, user: User, handover: Handover) -> None:
    signed_in(page, live_server, user.username)
    page.goto(live_server.url + reverse("inspections:handover-sign", args=[handover.pk]))


def test_the_pages_of_a_receipt_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, petra: User, handover: Handover
) -> None:
    opened(page, live_server, petra, handover)
    assert_clean(page)
    for address in (reverse("inspections:handover-list"), handover.get_absolute_url()):
        page.goto(live_server.url + address)
        assert_clean(page)


def test_what_is_drawn_is_kept_as_strokes_and_cleared_is_gone(
    phone: Page, live_server: LiveServer, petra: User, handover: Handover
) -> None:
    opened(phone, live_server, petra, handover)
    box = phone.locator("canvas").bounding_box()
    assert box is not None
    kept = phone.locator("#id_strokes")

    def stroke(*points: tuple[float, float]) -> None:
        for number, (x, y) in enumerate(points):
            phone.mouse.move(box["x"] + x * box["width"], box["y"] + y * box["height"], steps=4)
            if not number:
                phone.mouse.down()
        phone.mouse.up()

    stroke((0.1, 0.1), (0.9, 0.9))
    phone.get_by_role("button", name="Clear the drawing").click()
    assert kept.input_value() == ""
    stroke((0.25, 0.5), (0.75, 0.5))
    stroke((0.5, 0.2), (1.4, 0.8))  # out over the edge
    phone.get_by_role("button", name="Sign", exact=True).click()
    phone.get_by_role("heading", name="Receipt: Issue").wait_for()

    handover.refresh_from_db()
    assert handover.signed_how == "drawn"
    first, second = handover.strokes
    assert first[0] == pytest.approx([WIDTH * 0.25, HEIGHT * 0.5], abs=8)
    assert first[-1] == pytest.approx([WIDTH * 0.75, HEIGHT * 0.5], abs=8)
    assert second[-1][0] == WIDTH


def test_by_the_keyboard_alone_a_typed_name_signs(
    desk: Page, live_server: LiveServer, petra: User, handover: Handover
) -> None:
    opened(desk, live_server, petra, handover)
    desk.get_by_label("Name of who signs").focus()
    desk.keyboard.press("Enter")
    desk.get_by_role("heading", name="Receipt: Issue").wait_for()
    handover.refresh_from_db()
    assert (handover.signed_name, handover.signed_how) == ("Ines Carrow", "typed")
