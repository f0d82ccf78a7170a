"""What the phone says and does with the server ended, with a wrong clock, and with an old pack."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from register import clock
from register.actions.conditions import quarantine
from register.actions.marking import fresh_codes
from register.models import Item, Person, Role, Site, User, Zone
from register.rules.tags import shown
from tests.browser.looking import barriers, complaints, overflow, signed_in
from tests.browser.phones import carrying, kept, opened, phone_on, send, serving, write
from tests.factories import ItemFactory, PersonFactory, ZoneFactory, kit_of, passed, stamp, user_as

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

STOP = "Something is wrong: out of use now"


@pytest.fixture
def morag(site: Site) -> User:
    """The supervisor, who may see people."""
    return user_as(Role.SUPERVISOR, site, username="morag")


@pytest.fixture
def harness(site: Site) -> Item:
    """In date, on issue to Ines Carrow in the silo head."""
    holder: Person = PersonFactory(name="Ines Carrow", home_site=site)
    zone: Zone = ZoneFactory(site=site, code="head", name="Silo head")
    made: Item = ItemFactory(
        site=site, serial="HT 0O-417", zone=zone, custody="person", holder=holder, size="XL"
    )
    passed(made, clock.today(site))
    return made


@pytest.fixture
def stopped(site: Site) -> Item:
    made: Item = ItemFactory(site=site)
    passed(made, clock.today(site))
    quarantine(made, reason="damage-found", stamp=stamp(at=clock.now()))
    return made


def test_what_stands_after_a_stop_can_be_read_on_every_screen(
    page: Page, live_server: LiveServer, morag: User, site: Site, harness: Item
) -> None:
    carrying(page, live_server, morag, site)
    page.context.set_offline(True)
    opened(page, live_server, f"item/{harness.code}")
    page.get_by_role("button", name=STOP).click()
    page.get_by_text("Kept on this phone").first.wait_for()
    assert (barriers(page), max(overflow(page), 0)) == ([], 0)
    opened(page, live_server, "item/H7K2PD4")
    page.get_by_text("“H7K2PD4” is mistyped").wait_for()
    assert (barriers(page), max(overflow(page), 0)) == ([], 0)


def test_the_address_of_a_tag_is_answered_by_the_phone_when_the_server_has_ended(
    chromium: Browser, tmp_path: Path, site: Site, harness: Item, stopped: Item, morag: User
) -> None:
    with serving() as server, phone_on(tmp_path, chromium) as page:
        carrying(page, server, morag, site)
        page.goto(f"{server.url}/t/{harness.code}")
        page.get_by_text("On the phone, also without signal").wait_for()  # the register's own page
    with phone_on(tmp_path, chromium) as page:
        page.goto(f"{server.url}/t/{harness.code}")
        page.get_by_text("OK to use until").wait_for()
        page.get_by_text("A later stop does not show here until you connect.").wait_for()
        page.goto(f"{server.url}/T/{stopped.code}/CDFHJKMNPR")
        page.get_by_text("In quarantine: damage found.").wait_for()
        page.goto(f"{server.url}/t/{shown(harness.code).lower()}/CDFHJKMNPR/")
        page.get_by_role("button", name=STOP).click()
        page.get_by_text("Kept on this phone").first.wait_for()
        assert [row["event"]["body"]["secret"] for row in kept(page)] == ["CDFHJKMNPR"]
        warned: list[str] = []
        page.on("dialog", lambda dialog: warned.append(dialog.type))
        page.get_by_role("link", name="1 to send").click()
        page.get_by_role("heading", name="Only on this phone").wait_for()
        assert warned == []


def test_the_phone_answers_for_a_tag_while_it_knows_worse_than_the_register(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    phone.goto(f"{live_server.url}/t/{harness.code}")
    phone.get_by_text("It was put out of use on this phone.").wait_for()
    phone.context.unroute("**/sync/**")
    send(phone)
    phone.goto(f"{live_server.url}/t/{harness.code}")
    phone.get_by_text("On the phone, also without signal").wait_for()
    phone.get_by_text("In quarantine: damage found.").wait_for()


def test_a_pass_not_sent_yet_does_not_answer_for_a_register_that_knows_worse(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "look", item=harness.code, kind="pre-use", verdict="pass")
    quarantine(harness, reason="damage-found", stamp=stamp(at=clock.now()))
    phone.goto(f"{live_server.url}/t/{harness.code}")
    phone.get_by_text("In quarantine: damage found.").wait_for()


def test_the_phone_answers_for_what_a_fall_put_out_without_its_being_named(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    phone.evaluate(
        "(code) => import('/static/phone/queue.js').then("
        "(queue) => queue.write('arrest', { items: [] }, { alsoOut: [code] }))",
        harness.code,
    )
    phone.goto(f"{live_server.url}/t/{harness.code}")
    phone.get_by_text("It was put out of use on this phone.").wait_for()


def test_an_item_no_pack_knows_is_not_to_be_used_and_can_be_stopped(
    phone: Page, live_server: LiveServer, site: Site, morag: User
) -> None:
    item = ItemFactory()
    signed_in(phone, live_server, morag.username)
    opened(phone, live_server, f"item/{item.code}")
    phone.get_by_text("This phone carries no register of this site.").wait_for()
    carrying(phone, live_server, morag, site)
    opened(phone, live_server, f"item/{item.code}")
    phone.get_by_text("It is not in the register that this phone carries.").wait_for()
    phone.get_by_role("button", name=STOP).click()
    phone.get_by_text("Kept on this phone").first.wait_for()


def test_a_kit_is_out_with_its_part_and_its_sheet_says_so(
    phone: Page, live_server: LiveServer, site: Site, morag: User
) -> None:
    kit = kit_of(site, on=clock.today(site))
    part = kit.parts.first().item
    carrying(phone, live_server, morag, site)
    opened(phone, live_server, f"item/{kit.item.code}")
    phone.get_by_text("OK to use until").wait_for()
    phone.context.set_offline(True)
    opened(phone, live_server, f"item/{part.code}")
    phone.get_by_text(f"kit {kit.name}: for rescue only").wait_for()
    phone.get_by_role("button", name=STOP).click()
    phone.get_by_text("Kept on this phone").first.wait_for()
    opened(phone, live_server, f"item/{kit.item.code}")
    phone.get_by_text("A part of this kit was put out of use on this phone.").wait_for()


def test_a_code_is_typed_and_a_slip_is_told_before_anything_is_looked_up(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.set_offline(True)
    opened(phone, live_server)
    box = phone.get_by_label("Code on the tag")
    box.fill("H7K2PD4")
    box.press("Enter")
    phone.get_by_text("“H7K2PD4” is mistyped").wait_for()
    box.fill(shown(harness.code).lower())
    box.press("Enter")
    phone.get_by_text("OK to use until").wait_for()


@pytest.mark.parametrize("said", ["ht00417", "HT-0O 4/17", "Ines", "silo head", "417"])
def test_an_item_is_found_by_what_people_say_of_it(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User, said: str
) -> None:
    other = ItemFactory(site=site, serial="KR-99")
    carrying(phone, live_server, morag, site)
    phone.context.set_offline(True)
    opened(phone, live_server, "find")
    phone.get_by_role("searchbox").fill(said)
    phone.get_by_role("status").filter(has_text=re.compile(r"^1 item$")).wait_for()
    phone.get_by_role("link", name=shown(harness.code)).click()
    phone.get_by_text("OK to use until").wait_for()
    assert phone.get_by_text(other.serial).count() == 0


def test_a_worker_finds_nobody_by_name(
    phone: Page, live_server: LiveServer, site: Site, harness: Item
) -> None:
    carrying(phone, live_server, user_as(Role.WORKER, site), site)
    opened(phone, live_server, "find")
    phone.get_by_role("searchbox").fill("Ines")
    phone.get_by_text("Nothing like “Ines” on this phone.").wait_for()


def test_a_pack_that_did_not_change_is_not_loaded_twice(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    opened(phone, live_server, "packs")
    with phone.expect_response("**/packs/**") as answered:
        phone.get_by_role("button", name=f"Load {site.name} anew").click()
    assert answered.value.status == 304
    phone.get_by_text(f"{site.name} is as it was: nothing changed since").wait_for()


def test_no_pack_goes_while_something_is_to_be_sent(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    opened(phone, live_server, "packs")
    phone.get_by_role("button", name=f"Take {site.name} off this phone").click()
    phone.get_by_text("Nothing is taken off while 1 record is to be sent.").wait_for()
    assert len(kept(phone, "packs")) == 1
    phone.context.unroute("**/sync/**")
    send(phone)
    phone.get_by_role("button", name=f"Take {site.name} off this phone").click()
    phone.get_by_text(f"{site.name} is off this phone.").wait_for()
    assert kept(phone, "packs") == []


@pytest.mark.parametrize(("hours", "word"), [(-2, "behind"), (2, "ahead")])
def test_a_clock_that_is_wrong_is_told_and_trusted_by_nobody_where_it_is_behind(
    phone: Page,
    live_server: LiveServer,
    site: Site,
    harness: Item,
    morag: User,
    hours: int,
    word: str,
) -> None:
    phone.clock.install(time=clock.now() + timedelta(hours=hours))
    phone.clock.resume()
    carrying(phone, live_server, morag, site)
    phone.get_by_text(re.compile(f"The clock of this phone is 1[12]\\d minutes {word}")).wait_for()
    opened(phone, live_server, f"item/{harness.code}")
    if word == "behind":
        phone.get_by_text("The clock of this phone is behind").first.wait_for()
        phone.get_by_role("heading", name="DO NOT USE").wait_for()
    else:
        phone.get_by_text("OK to use until").wait_for()


def test_a_pack_too_old_serves_no_good_news_and_bars_no_stop(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, stopped: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.clock.install(time=clock.now() + timedelta(hours=72, minutes=1))
    phone.clock.resume()
    phone.context.set_offline(True)
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("The register on this phone is too old to trust.").wait_for()
    opened(phone, live_server, f"item/{stopped.code}")
    assert phone.get_by_role("button", name=STOP).is_visible()
    opened(phone, live_server, "packs")
    phone.get_by_text("Too old since").wait_for()
    complaints(phone).clear()


def test_a_screen_left_open_stops_saying_ok_when_its_pack_has_grown_too_old(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    phone.clock.install(time=clock.now())
    carrying(phone, live_server, morag, site)
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("OK to use until").wait_for()
    phone.context.set_offline(True)
    phone.clock.fast_forward(timedelta(hours=73) // timedelta(milliseconds=1))
    phone.get_by_text("The register on this phone is too old to trust.").wait_for()
    complaints(phone).clear()


def test_a_pack_of_another_format_is_not_judged_by_and_is_not_taken(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.evaluate(
        """(code) => import('/static/phone/store.js').then((store) =>
          store.amend('packs', [[code, (row) => ({ ...row, pack: { ...row.pack, format: 1 } })]]))""",
        site.code,
    )
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("This phone carries no register of this site.").wait_for()
    phone.context.route(
        "**/packs/**",
        lambda route: route.fulfill(json={"format": 99, "made_at": clock.now().isoformat()}),
    )
    opened(phone, live_server, "packs")
    phone.get_by_role("button", name=f"Load {site.name}", exact=True).click()
    phone.get_by_text("this page is older than the register").wait_for()
    assert [row["pack"]["format"] for row in kept(phone, "packs")] == [1]


def test_what_was_put_out_under_an_old_tag_is_out_under_its_present_one(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    (old,) = fresh_codes(1)
    write(phone, "quarantine", item=old, reason="damage-found")
    phone.evaluate(
        """([site, old, now]) => import('/static/phone/store.js').then((store) => store.amend('packs',
          [[site, (row) => ({ ...row, pack: { ...row.pack, old_tags: { [old]: now } } })]]))""",
        [site.code, old, harness.code],
    )
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("It was put out of use on this phone.").wait_for()


def test_a_stop_that_was_read_stays_when_the_next_tag_cannot_be_judged(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, stopped: Item, morag: User
) -> None:
    carrying(phone, live_server, morag, site)
    opened(phone, live_server, "scan")
    box = phone.get_by_label("Code on the tag")
    box.fill(stopped.code)
    box.press("Enter")
    phone.get_by_role("heading", name="DO NOT USE").wait_for()
    phone.evaluate(
        "() => { IDBObjectStore.prototype.getAll = () => { throw new Error('gone'); }; }"
    )
    box.fill(harness.code)
    box.press("Enter")
    phone.get_by_text("gone", exact=False).first.wait_for()
    assert phone.locator(".scan-held", has_text=shown(stopped.code)).count() == 1
    complaints(phone).clear()


def test_closing_the_page_is_warned_of_only_while_something_is_to_be_sent(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    warned: list[str] = []
    phone.on("dialog", lambda dialog: (warned.append(dialog.type), dialog.accept()))
    carrying(phone, live_server, morag, site)
    phone.get_by_role("link", name="To send", exact=True).click()
    phone.goto(f"{live_server.url}/items/")
    assert warned == []
    opened(phone, live_server)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    phone.get_by_role("link", name="1 to send").click()
    phone.goto(f"{live_server.url}/items/")
    assert warned == ["beforeunload"]


def test_the_menu_and_the_page_of_a_tag_lead_to_the_phone(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, morag: User
) -> None:
    signed_in(phone, live_server, morag.username)
    phone.goto(f"{live_server.url}/t/{harness.code}")
    phone.get_by_role("link", name="On the phone, also without signal").click()
    phone.get_by_role("heading", name="DO NOT USE").wait_for()  # nothing is loaded yet
    phone.goto(f"{live_server.url}/items/")
    phone.get_by_text("Menu").click()
    phone.get_by_role("link", name="On the phone").first.click()
    phone.get_by_role("heading", name="On the phone").wait_for()
