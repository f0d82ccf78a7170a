"""What happened, told on the phone: a fall, another event, and that a holder knows of a notice."""

from __future__ import annotations

from typing import TYPE_CHECKING

from inspections.actions.notices import issue_notice
from inspections.models import Arrest, Event, Notice, NoticeMatch
from register import clock
from register.models import Site, User
from register.rules.tags import shown
from tests.browser.going_round import crate, typed
from tests.browser.phones import carrying, opened, send
from tests.factories import ItemFactory, PersonFactory, ZoneFactory, kit_of, stamp

if TYPE_CHECKING:
    from playwright.sync_api import Page
    from pytest_django.live_server_helper import LiveServer

OUT_HERE = "it was put out of use on this phone"


def test_a_fall_puts_out_on_the_phone_what_the_register_puts_out(
    phone: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    zone, fallen = ZoneFactory(site=site), PersonFactory(name="Ceri Netherby", home_site=site)
    worn = [ItemFactory(site=site, holder=fallen, custody="person") for _ in range(2)]
    anchors = [ItemFactory(site=site, zone=zone, product__equipment_class="anchor") for _ in (1, 2)]
    crate(site, 2)
    carrying(phone, live_server, huw, site)
    opened(phone, live_server, "arrest")
    phone.get_by_role("button", name="Take it all out of use").click()
    phone.get_by_role("alert").get_by_text("Name the tags").wait_for()
    phone.get_by_label("Who fell").select_option("Ceri Netherby")
    phone.get_by_label("Zone", exact=True).select_option(zone.name)
    phone.get_by_role("button", name="Take it all out of use").click()
    phone.get_by_role("heading", name="4 items are out of use from now").wait_for()
    for item in (*worn, *anchors):
        opened(phone, live_server, f"item/{item.code}")
        phone.get_by_text(OUT_HERE).wait_for()
    send(phone)
    assert set(Arrest.objects.get().lines.values_list("item", flat=True)) == {
        item.pk for item in (*worn, *anchors)
    }


def test_all_that_an_event_happened_to_is_out_with_what_its_bag_holds(
    phone: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    kit = kit_of(site)
    pieces = [part.item for part in kit.parts.all() if part.item]
    carrying(phone, live_server, huw, site)
    opened(phone, live_server, "event")
    typed(phone, kit.item.code)
    phone.get_by_text(f"{shown(kit.item.code)} is named").wait_for()
    phone.get_by_label("What happened", exact=True).select_option("Dropped or thrown")
    phone.get_by_role("button", name="Take them out of use").click()
    phone.get_by_role("heading", name="out of use from now").wait_for()
    for item in (kit.item, *pieces):
        opened(phone, live_server, f"item/{item.code}")
        phone.get_by_text("on this phone", exact=False).first.wait_for()
        phone.get_by_role("heading", name="DO NOT USE").wait_for()
    send(phone)
    told = Event.objects.get()
    assert (told.kind, told.site) == ("drop", site)
    assert set(told.lines.values_list("item", flat=True)) == {
        item.pk for item in (kit.item, *pieces)
    }


def test_a_holder_says_that_they_know_of_a_notice(
    phone: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = ItemFactory(site=site, holder=huw.person, custody="person")
    product = item.product
    told = Notice(
        issuer="Halvard",
        reference="N-7",
        kind="stop-use",
        text="Stop using it.",
        products=[[product.maker, product.designation]],
        received_on=clock.today(site),
    )
    issue_notice(told, stamp=stamp(huw, clock.now()))
    carrying(phone, live_server, huw, site)
    opened(phone, live_server, "notices")
    phone.get_by_text("Whoever has it was told", exact=True).click()
    phone.get_by_role("button", name="Put it on record").click()
    phone.get_by_text("Whoever has it was told.", exact=True).wait_for()
    send(phone)
    assert NoticeMatch.objects.get().acknowledged_at
    phone.evaluate(
        """() => import('/static/phone/store.js').then(async (store) => store.amend('events',
          (await store.all('events')).map(({ id }) => [id, (row) => ({ ...row, state: 'refused' })])))"""
    )
    phone.reload()  # what the register did not take was not told
    phone.get_by_text("Whoever has it was told", exact=True).wait_for()
