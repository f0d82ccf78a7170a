"""One look on the phone, and what happens beside rounds: what acts at once, and what holds up a pass."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest

from inspections.actions.finding import Finding
from inspections.actions.round_ends import drop_round
from inspections.actions.rounds import Plan, begin_round, look_in_round
from inspections.models import Authorisation, Inspection, Round
from register import clock
from register.models import Item, Site, User
from register.rules.conditions import Condition
from register.rules.tags import shown
from tests.browser.going_round import (
    begun,
    count_of,
    crate,
    passes,
    photograph,
    says_what_is_wrong,
    signs,
    stops,
    typed,
)
from tests.browser.looking import complaints, signed_in
from tests.browser.phones import carrying, opened, phone_on, send
from tests.factories import SiteFactory, kit_of, stamp

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

STRANGE = "H7K-2PD3"


@pytest.fixture
def at_site(phone: Page, live_server: LiveServer, huw: User, site: Site) -> Iterator[Page]:
    """A phone with signal, not yet carrying anything."""
    yield phone
    send(phone)  # nothing is on its way when the tables are emptied
    assert complaints(phone) == []


def test_a_second_tap_meant_for_the_item_before_passes_nothing(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    at_site.clock.install(time=clock.now())
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    at_site.clock.pause_at(clock.now() + timedelta(minutes=1))
    typed(at_site, item.code)
    good = at_site.get_by_role("button", name="PASS")
    good.wait_for()
    good.dispatch_event("click")
    assert good.is_disabled()
    at_site.clock.run_for(400)
    good.click()
    at_site.get_by_text("1 of 1").first.wait_for()
    at_site.clock.resume()


def test_nothing_passes_that_was_not_scanned_or_typed_in_this_round(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    at_site.get_by_text("Not seen yet: 1").click()
    at_site.get_by_role("link", name="Not there, or something is wrong").click()
    at_site.get_by_text("It passes only in the hand").wait_for()
    assert at_site.get_by_role("button", name="PASS").count() == 0
    assert at_site.get_by_role("button", name="Something is wrong").is_visible()
    at_site.evaluate("location.hash = location.hash.replace('look', 'finding') + '/pass'")
    at_site.get_by_role("heading", name="It cannot be looked at here").wait_for()
    at_site.get_by_role("link", name="Back to the round").click()
    typed(at_site, item.code)
    at_site.get_by_role("button", name="PASS").wait_for()
    at_site.reload()  # what was in the hand before is to be scanned again
    at_site.get_by_text("It passes only in the hand").wait_for()


def test_the_first_tap_puts_it_out_and_the_words_may_come_after_a_restart(
    chromium: Browser, live_server: LiveServer, huw: User, site: Site, tmp_path: Path
) -> None:
    item = crate(site, 1)[0]
    with phone_on(tmp_path, chromium) as page:
        begun(carrying(page, live_server, huw, site), live_server)
        stops(page, item)
    with phone_on(tmp_path, chromium) as page:
        opened(page, live_server, f"item/{item.code}")
        page.get_by_text("it was put out of use on this phone").wait_for()
        opened(page, live_server, "rounds")
        page.get_by_role("link", name="Periodic examination").click()
        page.get_by_role("link", name="Sign the round").click()
        page.get_by_text("I had each of these items").click()
        page.get_by_role("button", name="Sign as").click()
        page.get_by_role("alert").get_by_text("is not written down yet").wait_for()
        page.get_by_role("link", name="Write down what is wrong").click()
        says_what_is_wrong(page, "burn at the D-ring")
        send(signed_in(page, live_server, huw.username))
    item.refresh_from_db()
    assert item.condition == Condition.QUARANTINED
    look = Inspection.objects.get(item=item, verdict="fail")
    assert [defect.what for defect in look.defects.all()] == ["burn at the D-ring"]


def test_nothing_is_kept_without_a_photograph_that_is_still_being_read(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    stops(at_site, item)
    at_site.evaluate(
        """() => {
          const draw = createImageBitmap;
          const held = new Promise((resolve) => { window.readNow = resolve; });
          window.createImageBitmap = (...told) => held.then(() => draw(...told));
        }"""
    )
    at_site.get_by_label("What is wrong", exact=True).fill("burn at the D-ring")
    at_site.get_by_text("A: Is a danger now").click()
    at_site.get_by_label("Photograph", exact=True).set_input_files(photograph("navy"))
    at_site.get_by_role("button", name="Keep it").click()
    at_site.get_by_role("alert").get_by_text("Reading the photograph").wait_for()
    at_site.evaluate("window.readNow()")
    at_site.locator(".photograph img").wait_for()
    at_site.get_by_role("button", name="Keep it").click()
    at_site.locator(".last").wait_for()
    send(at_site)
    assert Inspection.objects.get(item=item, verdict="fail").defects.get().photo


def test_a_second_look_stands_beside_the_first(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    passes(at_site, item)
    typed(at_site, item.code)
    at_site.get_by_text("was looked at in this round").wait_for()
    at_site.get_by_role("button", name="Look again").click()
    at_site.get_by_role("button", name="Something is wrong").click()
    says_what_is_wrong(at_site, "seen in a better light: a cut")
    assert count_of(at_site) == "1 of 1, 1 out, 0 not seen"
    send(at_site)
    assert sorted(Inspection.objects.filter(round_line__isnull=False).values_list("verdict")) == [
        ("fail",),
        ("pass",),
    ]


def test_an_observation_is_written_with_conditions_and_a_day_to_come(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    typed(at_site, item.code)
    at_site.get_by_text("Another verdict").click()
    at_site.get_by_role("link", name="Pass with conditions").click()
    keep = at_site.get_by_role("button", name="Keep the pass")
    keep.click()
    at_site.get_by_role("alert").get_by_text("Give the observation").wait_for()
    at_site.get_by_label("What is wrong", exact=True).fill("fuzz at both leg loops")
    at_site.get_by_text("B: Could become a danger").click()
    keep.click()
    at_site.get_by_role("alert").get_by_text("Give the day").wait_for()
    by = clock.today(site) + timedelta(days=40)
    at_site.get_by_label("Could become a danger by", exact=True).fill(by.isoformat())
    keep.click()
    at_site.get_by_role("alert").get_by_text("Say that all points were looked at").wait_for()
    at_site.get_by_text("All other points looked at, good").click()
    keep.click()
    at_site.locator(".last").get_by_text("Pass with conditions").wait_for()
    send(at_site)
    look = Inspection.objects.get(item=item, verdict="pass-with-conditions")
    assert (look.statement, look.checklist is not None) == ("rest-good", True)
    assert look.defects.get().danger_by_on == by


def test_a_kit_passes_piece_by_piece_and_gets_its_new_seal(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    kit = kit_of(site)
    pieces = [part.item for part in kit.parts.all() if part.item]
    begun(carrying(at_site, live_server, huw, site), live_server, "kit-check")
    typed(at_site, kit.item.code)
    at_site.get_by_role("link", name="PASS").click()
    keep = at_site.get_by_role("button", name="Keep the pass")
    at_site.get_by_text("All points looked at, all good").click()
    for piece in pieces:
        keep.click()
        at_site.get_by_role("alert").get_by_text("Not every piece is ticked").wait_for()
        typed(at_site, piece.code)
        at_site.get_by_text(f"{shown(piece.code)} is on the card").wait_for()
    at_site.get_by_label("Number of the new seal").fill("S-77120")
    keep.click()
    at_site.locator(".last").wait_for()
    send(at_site)
    kit.refresh_from_db()
    assert (kit.seal_number, kit.seal_intact) == ("S-77120", True)


def test_whoever_may_not_inspect_is_told_and_held_up_by_nothing(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    Authorisation.objects.all().delete()
    begun(carrying(at_site, live_server, huw, site), live_server)
    typed(at_site, item.code)
    at_site.get_by_text("Your look will not count").wait_for()
    at_site.get_by_role("button", name="Something is wrong").click()
    at_site.get_by_text("it is out of use from now").wait_for()


def test_a_round_is_gone_on_with_by_its_inspector_alone_when_the_phone_is_passed_on(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    crate(site, 1)
    begun(carrying(at_site, live_server, huw, site), live_server)
    signed_as(at_site, None)
    at_site.reload()
    at_site.get_by_text("Nobody is signed in on this phone").wait_for()
    signed_as(at_site, {"id": huw.pk + 1, "name": "Morag"})
    at_site.reload()
    at_site.get_by_text("This is the round of somebody else").wait_for()
    assert at_site.get_by_label("Code on the tag").count() == 0
    opened(at_site, live_server, "begin")
    at_site.get_by_role("button", name="Begin", exact=True).click()
    at_site.get_by_role("alert").get_by_text("Somebody else loaded this site").wait_for()
    at_site.context.unroute("**/sync/events/")
    complaints(at_site).clear()  # the browser tells each answer that did not come


def signed_as(page: Page, user: dict[str, object] | None) -> None:
    """Who is signed in, as the phone knows it; the register is not asked."""
    page.context.route("**/sync/events/", lambda route: route.abort())
    page.reload()  # an answer that was still on its way goes with the page that asked
    page.get_by_role("heading", level=1).wait_for()
    keep = "(user) => import('/static/phone/store.js').then((m) => m.keepFact('user', user))"
    page.evaluate(keep, user)


def test_a_tag_of_another_site_and_a_piece_on_no_record_stand_in_the_round(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    other = SiteFactory(name="Skelhope Viaduct")
    crate(site, 1)
    theirs = crate(other, 1)[0]
    begun(carrying(at_site, live_server, huw, site, other), live_server, at=site.code)
    typed(at_site, theirs.code)
    at_site.get_by_text("belongs to Skelhope Viaduct").wait_for()
    at_site.get_by_role("link", name="Note it in the round").click()
    at_site.get_by_role("button", name="Only note it in the round").click()
    typed(at_site, STRANGE)
    at_site.get_by_label("Serial, as marked").fill("KX-1")
    at_site.get_by_label("Product").select_option(index=1)
    at_site.get_by_role("button", name="Take it on").click()
    at_site.locator(".last").wait_for()
    assert "1 not on the register, 1 of another site" in count_of(at_site)
    send(at_site)
    assert Item.objects.get(serial="KX-1").condition == Condition.QUARANTINED
    assert set(Round.objects.get().lines.values_list("state", flat=True)) == {
        *("expected", "unknown", "elsewhere")
    }


def test_a_round_that_was_ended_in_the_register_is_not_gone_on_with(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    item = crate(site, 1)[0]
    begun(carrying(at_site, live_server, huw, site), live_server)
    passes(at_site, item)
    send(at_site)
    drop_round(Round.objects.get(), because="nobody signs it", stamp=stamp(huw, clock.now()))
    opened(at_site, live_server, "packs")
    at_site.get_by_role("button", name=f"Load {site.name} anew").click()
    at_site.get_by_text(f"{site.name} is on this phone").wait_for()
    opened(at_site, live_server, "rounds")
    at_site.get_by_role("link", name="Periodic examination").click()
    at_site.get_by_text("Closed in the register").wait_for()
    assert at_site.get_by_label("Code on the tag").count() == 0


def test_a_round_begun_at_a_desk_is_gone_on_with_and_signed_here(
    at_site: Page, live_server: LiveServer, huw: User, site: Site
) -> None:
    first, second = crate(site, 2)
    plan = Plan(site=site, kind="detailed", id=uuid4())
    told = stamp(huw, clock.now())
    found = begin_round(plan, inspector=huw.person, items=[first, second], stamp=told)
    look = Finding(kind="detailed", verdict="pass", performed_at=clock.now(), inspector=huw.person)
    look_in_round(found, first, finding=look, stamp=stamp(huw, clock.now()))
    carrying(at_site, live_server, huw, site)
    opened(at_site, live_server, f"round/{found.pk}")
    assert count_of(at_site) == "1 of 2, 0 out, 1 not seen"
    passes(at_site, second)
    signs(at_site)
    send(at_site)
    found.refresh_from_db()
    assert found.signed_at
    assert set(found.lines.values_list("state", flat=True)) == {"seen"}
