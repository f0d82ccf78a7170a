"""The stores controller's pages on every screen, and the scanner's Enter key at the hatch."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from register import clock
from register.actions.deliveries import Piece, receive_delivery
from register.models import Delivery, Item, Person, Site, User
from register.rules.lifespan import read_span
from tests.browser.looking import assert_clean, signed_in
from tests.factories import DAY, ItemFactory, PersonFactory, ProductFactory, kit_of, passed, stamp

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer


@pytest.fixture
def ines(site: Site) -> Person:
    person: Person = PersonFactory(name="Ines Carrow", home_site=site)
    return person


@pytest.fixture
def harness(site: Site) -> Item:
    made: Item = ItemFactory(site=site, size="XL")
    passed(made, clock.today(site))
    return made


def addresses(site: Site, item: Item, person: Person) -> list[str]:
    """One of each page."""
    delivery = Delivery(site=site, product=ProductFactory(), delivery_note="DN-1", received_on=DAY)
    pieces = [Piece(serial=f"HT-{n}", made=read_span("2026-01")) for n in range(3)]
    receive_delivery(delivery, pieces, stamp=stamp())
    kit = kit_of(site)
    return [
        reverse("inspections:item-list"),
        item.get_absolute_url(),
        reverse("register:item-withdraw", args=[item.code]),
        reverse("inspections:hatch"),
        reverse("inspections:hatch") + "?way=return",
        reverse("inspections:delivery-new"),
        reverse("inspections:delivery-detail", args=[delivery.pk]),
        reverse("inspections:arrivals"),
        reverse("inspections:kit-list"),
        kit.get_absolute_url(),
        reverse("register:person-list"),
        reverse("inspections:person-detail", args=[person.pk]),
    ]


def test_the_pages_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, petra: User, site: Site, harness: Item, ines: Person
) -> None:
    signed_in(page, live_server, petra.username)
    for address in addresses(site, harness, ines):
        page.goto(live_server.url + address)
        assert page.get_by_role("heading", level=1).count() == 1, address
        assert_clean(page)


def test_a_scan_with_enter_issues_and_waits_for_the_next(
    desk: Page, live_server: LiveServer, petra: User, harness: Item, ines: Person
) -> None:
    signed_in(desk, live_server, petra.username)
    desk.goto(live_server.url + reverse("inspections:hatch"))
    desk.get_by_label("To whom").fill("Ines")
    box = desk.get_by_label("Scan a tag")
    box.fill(harness.code)
    box.press("Enter")
    desk.get_by_text("issued to Ines Carrow").wait_for()
    assert desk.evaluate("document.activeElement.id") == "scan"
    assert desk.get_by_label("Scan a tag").input_value() == ""
    assert desk.get_by_label("To whom").input_value() == "Ines Carrow"


def test_a_scan_at_the_return_asks_before_it_takes_anything_back(
    phone: Page, live_server: LiveServer, petra: User, harness: Item
) -> None:
    signed_in(phone, live_server, petra.username)
    phone.goto(live_server.url + reverse("inspections:hatch") + "?way=return")
    box = phone.get_by_label("Scan a tag")
    box.fill(harness.code)
    box.press("Enter")
    phone.get_by_text("Ask both questions.").wait_for()
    for answer in phone.get_by_role("radio", name="No", exact=True).all():
        answer.check()
    assert_clean(phone)
    phone.get_by_role("button", name=f"Take back {harness.shown_code}").click()
    phone.get_by_text("Back in stores").wait_for()
