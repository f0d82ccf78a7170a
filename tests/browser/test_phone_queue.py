"""What is written on a phone without signal: kept before it is said, sent once, and never lost."""

from __future__ import annotations

import json
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from inspections.models import SyncEvent
from inspections.sync.queue_file import bring_in
from inspections.sync.taking_in import Sender
from register import clock
from register.access import may
from register.actions.marking import fresh_codes
from register.models import Item, Role, Site, User
from register.rules.conditions import Condition
from tests.browser.looking import complaints, signed_in
from tests.browser.phones import (
    carrying,
    kept,
    kill,
    opened,
    phone_on,
    port_of,
    send,
    serving,
    states,
    write,
)
from tests.factories import ItemFactory, passed, user_as

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page, Route
    from pytest_django.live_server_helper import LiveServer

STOP = "Something is wrong: out of use now"


@pytest.fixture
def harness(site: Site) -> Item:
    made: Item = ItemFactory(site=site, serial="HT 0O-417")
    passed(made, clock.today(site))
    return made


@pytest.fixture
def tomasz(site: Site) -> User:
    """A worker of the site."""
    return user_as(Role.WORKER, site, username="tomasz")


def condition(item: Item) -> str:
    return Item.objects.get(pk=item.pk).condition


def stop(page: Page, server: LiveServer, item: Item) -> None:
    opened(page, server, f"item/{item.code}")
    page.get_by_role("button", name=STOP).click()


def test_a_stop_without_signal_survives_a_restart_and_is_sent_once(
    chromium: Browser, tmp_path: Path, site: Site, harness: Item, tomasz: User
) -> None:
    with serving() as server:
        port = port_of(server)
        with phone_on(tmp_path, chromium) as page:
            carrying(page, server, tomasz, site)
    with phone_on(tmp_path, chromium) as page:  # the server has ended
        page.goto(f"{server.url}/phone/#/item/{harness.code}")
        page.get_by_text("OK to use until").wait_for()
        page.get_by_role("button", name=STOP).click()
        page.get_by_text("Kept on this phone: it is out of use from now.").wait_for()
    assert condition(harness) == Condition.IN_SERVICE
    with phone_on(tmp_path, chromium) as page:  # and the browser was closed at once
        page.goto(f"{server.url}/phone/#/item/{harness.code}")
        page.get_by_role("heading", name="DO NOT USE").wait_for()
        page.get_by_role("link", name="1 to send").wait_for()
    with serving(port) as server, phone_on(tmp_path, chromium) as page:
        signed_in(page, server, tomasz.username)
        page.goto(f"{server.url}/phone/#/queue")
        page.get_by_role("heading", name="In the register").wait_for()
        page.get_by_role("link", name="Nothing to send").wait_for()
    assert condition(harness) == Condition.QUARANTINED
    assert SyncEvent.objects.count() == 1


def test_what_was_said_to_be_kept_outlives_a_phone_that_dies_at_once(
    chromium: Browser, tmp_path: Path, site: Site, harness: Item, tomasz: User
) -> None:
    with serving() as server, phone_on(tmp_path, chromium) as page:
        carrying(page, server, tomasz, site)
        page.context.set_offline(True)
        page.goto(f"{server.url}/phone/#/item/{harness.code}")
        page.get_by_role("button", name=STOP).click()
        page.get_by_text("Kept on this phone: it is out of use from now.").wait_for()
        assert kill(tmp_path)
    with phone_on(tmp_path, chromium) as page:
        page.goto(f"{server.url}/phone/#/item/{harness.code}")
        page.get_by_role("heading", name="DO NOT USE").wait_for()
        assert [row["event"]["kind"] for row in kept(page)] == ["quarantine"]


def test_nothing_is_said_to_be_kept_that_could_not_be_written(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    opened(phone, live_server, f"item/{harness.code}")
    phone.evaluate(
        "() => { IDBObjectStore.prototype.add = () => { throw new DOMException('', 'QuotaExceededError'); }; }"
    )
    phone.get_by_role("button", name=STOP).click()
    said = phone.get_by_role("alert").filter(has_text="NOT KEPT")
    said.wait_for()
    assert "QuotaExceededError" in said.inner_text()
    assert phone.get_by_text("Kept on this phone").count() == 0
    assert kept(phone) == []


def test_a_stop_tapped_twice_is_one_stop(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_role("button", name=STOP).evaluate("(stop) => (stop.click(), stop.click())")
    phone.get_by_text("Kept on this phone").first.wait_for()
    assert [row["event"]["kind"] for row in kept(phone)] == ["quarantine"]


def test_a_photograph_that_was_damaged_on_the_way_is_sent_again(
    phone: Page, live_server: LiveServer, site: Site, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    phone.evaluate(
        """() => import('/static/phone/store.js').then((store) => store.put('photos',
          { sha256: 'a'.repeat(64), blob: new Blob(['half a picture']), state: 'unsent' }))"""
    )
    send(phone)
    assert [photo["state"] for photo in kept(phone, "photos")] == ["unsent"]
    complaints(phone).clear()  # the browser tells the 400


def test_words_come_after_the_stop_and_stand_beside_it(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    stop(phone, live_server, harness)
    phone.get_by_role("radio", name="May have taken a load").check()
    phone.get_by_label("What you saw").fill("stitches torn")
    phone.get_by_role("button", name="Add this").click()
    phone.get_by_text("Kept on this phone: May have taken a load.").wait_for()
    send(phone)
    assert states(phone) == ["done", "done"]
    assert [row["event"]["body"]["note"] for row in kept(phone)].count("stitches torn") == 1
    assert condition(harness) == Condition.QUARANTINED


def test_what_was_sent_and_not_answered_is_sent_again_and_counts_once(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    lost: list[int] = []

    def lose_the_answer(route: Route) -> None:
        if route.request.method != "POST":
            return route.continue_()
        lost.append(route.fetch().status)
        return route.abort()

    phone.context.route("**/sync/events/", lose_the_answer)
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    send(phone)
    assert 200 in lost
    assert states(phone) == ["unsent"]
    assert condition(harness) == Condition.QUARANTINED  # the register has it, the phone cannot know
    phone.context.unroute("**/sync/events/")
    send(phone)
    assert states(phone) == ["done"]
    assert SyncEvent.objects.count() == 1


def test_one_that_is_refused_holds_up_no_other_and_is_told_with_its_sentence(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    unknown = fresh_codes(1)[0]
    phone.context.set_offline(True)
    write(phone, "quarantine", item=unknown, reason="damage-found")
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    phone.context.set_offline(False)
    send(phone)
    assert states(phone) == ["refused", "done"]
    opened(phone, live_server, "queue")
    phone.get_by_role("heading", name="Not taken: a person reads it").wait_for()
    phone.get_by_text("is the tag of no item in the register").wait_for()
    assert condition(harness) == Condition.QUARANTINED


def test_a_refused_stop_is_asked_about_after_each_new_pack_and_no_more(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    write(phone, "quarantine", item=fresh_codes(1)[0], reason="damage-found")
    send(phone)
    assert states(phone) == ["refused"]
    asked = "(made) => import('/static/phone/queue.js').then(async (m) => m.toSend(await m.rows(), made).length)"
    answered = kept(phone)[0]["answered_at"]
    before, after = (phone.evaluate(f"Date.parse('{answered}') + {step}") for step in (-1, 1))
    assert [phone.evaluate(asked, made) for made in (before, after)] == [0, 1]


def test_signed_out_nothing_is_lost_and_the_way_in_leads_back(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    tomasz.set_password("hook-and-line")
    tomasz.save()
    carrying(phone, live_server, tomasz, site)
    phone.context.clear_cookies()
    stop(phone, live_server, harness)
    phone.get_by_text("Kept on this phone").first.wait_for()
    send(phone)
    assert states(phone) == ["unsent"]
    opened(phone, live_server, "queue")
    phone.get_by_text("Sign in again. Everything stays on the phone until then.").wait_for()
    phone.get_by_role("link", name="Sign in", exact=True).click()
    phone.get_by_label("Username").fill("tomasz")
    phone.get_by_label("Password").fill("hook-and-line")
    phone.get_by_role("button", name="Sign in").click()
    phone.get_by_role("heading", name="In the register").wait_for()
    assert condition(harness) == Condition.QUARANTINED
    complaints(phone).clear()  # the browser tells each 401


def test_what_somebody_else_wrote_stays_until_they_sign_in(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User, huw: User
) -> None:
    carrying(phone, live_server, huw, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "look", item=harness.code, kind="pre-use", verdict="pass")
    signed_in(phone, live_server, tomasz.username)
    phone.context.unroute("**/sync/**")
    send(phone)
    assert states(phone) == ["unsent"]
    opened(phone, live_server, "queue")
    phone.get_by_text("It waits until they sign in").wait_for()
    phone.get_by_role("link", name="1 to send").wait_for()
    assert SyncEvent.objects.count() == 0


def test_a_stale_token_is_asked_for_anew(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    told = "m.post('/sync/events/', told, { 'Content-Type': 'application/json' }, 'x'.repeat(64))"
    event = {"id": "6f1c1d0e-4a58-4d35-9d5c-000000000001", "kind": "quarantine", "user": tomasz.pk}
    lot = json.dumps({"events": [{**event, "body": {"item": harness.code}}]})
    reply = phone.evaluate(f"(told) => import('/static/phone/contact.js').then((m) => {told})", lot)
    assert [one["outcome"] for one in reply["answers"]] == ["applied"]
    complaints(phone).clear()  # the browser tells the 403


def test_an_answer_of_another_shape_answers_nothing(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    shapes = ["<!doctype html><title>Sign in to this network</title>", '{"answers": []}', "[]"]
    for shape in shapes:
        phone.context.route("**/sync/**", partial(_answer, shape))
        write(phone, "quarantine", item=harness.code, reason="damage-found")
        send(phone)
        phone.context.unroute("**/sync/**")
    assert set(states(phone)) == {"unsent"}


def _answer(shape: str, route: Route) -> None:
    kind = "text/html" if shape.startswith("<") else "application/json"
    route.fulfill(status=200, body=shape, content_type=kind)


def test_the_file_of_last_resort_is_read_by_the_office_and_counts_once(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User, petra: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    phone.context.set_offline(True)
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    phone.goto(f"{live_server.url}/phone/#/queue")
    with phone.expect_download() as download:
        phone.get_by_role("button", name="Save to a file").click()
    content = Path(download.value.path()).read_bytes()
    sender = Sender(user=petra, may=partial(may, petra), received_at=clock.now(), from_file=True)
    (answer,) = bring_in(content, sender)
    assert answer.outcome == "applied"
    phone.context.set_offline(False)
    send(phone)
    assert states(phone) == ["done"]
    assert SyncEvent.objects.count() == 1
    assert condition(harness) == Condition.QUARANTINED


def test_nobody_is_signed_out_while_something_is_to_be_sent(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    phone.context.route("**/sync/**", lambda route: route.abort())
    write(phone, "quarantine", item=harness.code, reason="damage-found")
    phone.get_by_role("link", name="1 to send").wait_for()
    opened(phone, live_server, "queue")
    phone.get_by_role("button", name="Sign out").click()
    phone.get_by_text("Not yet: 1 record is to be sent").wait_for()
    phone.goto(f"{live_server.url}/items/{harness.code}/")
    phone.get_by_role("button", name="Sign out").click()
    phone.get_by_role("heading", name="To send").wait_for()
    phone.context.unroute("**/sync/**")
    phone.get_by_role("button", name="Send now").click()
    phone.get_by_role("heading", name="In the register").wait_for()
    phone.get_by_role("button", name="Sign out").click()
    phone.get_by_text("You are signed out.").wait_for()
    phone.goto(f"{live_server.url}/items/")
    phone.get_by_role("heading", name="Sign in").wait_for()


def test_nobody_is_said_to_be_signed_out_who_is_not(
    phone: Page, live_server: LiveServer, site: Site, tomasz: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    opened(phone, live_server, "queue")
    phone.context.route(f"**{reverse('logout')}", lambda route: route.fulfill(status=503))
    phone.get_by_role("button", name="Sign out").click()
    phone.get_by_text("No answer from the register").wait_for()
    assert next(row for row in kept(phone, "kept") if row["name"] == "user")["value"]
    complaints(phone).clear()  # the browser tells the 503


def test_a_new_pack_says_itself_what_the_register_has_taken(
    phone: Page, live_server: LiveServer, site: Site, harness: Item, tomasz: User, huw: User
) -> None:
    carrying(phone, live_server, tomasz, site)
    stop(phone, live_server, harness)
    send(phone)
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("It was put out of use on this phone.").wait_for()
    opened(phone, live_server, "packs")
    phone.get_by_role("button", name=f"Load {site.name} anew").click()
    phone.get_by_text(f"{site.name} is on this phone").wait_for()
    opened(phone, live_server, f"item/{harness.code}")
    phone.get_by_text("In quarantine: damage found.").wait_for()
