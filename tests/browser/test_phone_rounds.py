"""A round on the phone: sixty in a row without signal, over a restart, and all of it once on record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from inspections import decoder
from inspections.models import Defect, Inspection, Round, SyncEvent
from register.models import Document, Item, Site, User
from register.rules.conditions import Condition
from register.rules.tags import shown
from tests.browser import fake_camera
from tests.browser.conftest import PHONE
from tests.browser.going_round import (
    begun,
    count_of,
    crate,
    passes,
    says_what_is_wrong,
    signs,
    stops,
    typed,
)
from tests.browser.looking import complaints, listen, signed_in
from tests.browser.phones import (
    NETWORK,
    carrying,
    kept,
    opened,
    phone_on,
    port_of,
    send,
    serving,
    states,
)

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

STRANGE = "H7K-2PD3"
GOOD, BAD = 60, 2
COUNT_CAMERAS = """
  window.cameras = 0;
  window.ahead = 0; // by how much later it is than the clock says, in ms
  const now = performance.now.bind(performance);
  performance.now = () => now() + window.ahead;
  window.tracks = [];
  const ask = navigator.mediaDevices.getUserMedia.bind(navigator.mediaDevices);
  navigator.mediaDevices.getUserMedia = async (wanted) => {
    window.cameras += 1;
    const stream = await ask(wanted);
    window.tracks.push(...stream.getTracks());
    return stream;
  };
"""
WRITE_DOWN_WHAT_IS_SAID = """() => {
  window.said = [];
  const main = document.getElementById('main');
  const all = () => main.querySelectorAll('h1, [role=alert]').forEach(
    (one) => one.textContent && window.said.push(one.textContent));
  new MutationObserver(all).observe(main, { subtree: true, childList: true });
}"""
needs_decoder = pytest.mark.skipif(
    not decoder.is_fetched(), reason="no decoder here: python3 manage.py fetch_decoder"
)


def test_sixty_in_a_row_without_signal_and_over_a_restart(
    chromium: Browser, huw: User, site: Site, tmp_path: Path
) -> None:
    items = crate(site, GOOD + BAD)
    good, bad = items[:GOOD], items[GOOD:]
    with serving() as server:
        port = port_of(server)
        with phone_on(tmp_path, chromium) as page:
            carrying(page, server, huw, site)
    with phone_on(tmp_path, chromium) as page:  # the server has ended
        begun(page, server)
        goes(page, good[:30], bad[0], "navy")
        assert count_of(page) == "31 of 62, 1 out, 31 not seen"
    with phone_on(tmp_path, chromium) as page:  # the same phone, switched off and on
        opened(page, server, "rounds")
        page.get_by_role("link", name="Periodic examination").click()
        assert count_of(page) == "31 of 62, 1 out, 31 not seen"
        goes(page, good[30:], bad[1], "maroon")
        notes_a_stray(page)
        assert count_of(page) == "62 of 62, 2 out, 0 not seen, 1 not on the register"
        signs(page)
        assert set(states(page)) == {"unsent"}
        assert [line for line in complaints(page) if NETWORK not in line] == []
        with serving(port) as server:
            sends_all(signed_in(page, server, huw.username))
    assert_all_once(huw, good, bad)


@needs_decoder
def test_the_camera_stands_by_while_an_item_is_judged(
    chromium: Browser, live_server: LiveServer, huw: User, site: Site, tmp_path: Path
) -> None:
    items = crate(site, 2)
    first, second = (fake_camera.scene(f"HTTP://LOCALHOST/T/{item.code}") for item in items)
    scenes = [first, first, first, second]  # the first is held up still when it has passed
    film = fake_camera.film(scenes, tmp_path / "film.mjpeg")
    with fake_camera.filming(chromium, film, viewport=PHONE) as page:
        listen(page)
        page.add_init_script(COUNT_CAMERAS)
        begun(carrying(page, live_server, huw, site), live_server)
        page.evaluate(WRITE_DOWN_WHAT_IS_SAID)
        for _ in items:  # nothing is touched but PASS, after a good look
            page.get_by_role("button", name="PASS").wait_for()
            page.evaluate("window.ahead += 60_000")
            page.get_by_role("button", name="PASS").click()
            page.locator(".last").wait_for()
        assert count_of(page) == "2 of 2, 0 out, 0 not seen"
        said = page.evaluate("window.said")
        before = said[: next(n for n, text in enumerate(said) if shown(items[1].code) in text)]
        assert [text for text in before if "was looked at" in text] == []
        assert page.evaluate("window.cameras") == 1
        opened(page, live_server, "rounds")
        assert page.evaluate("window.tracks.map((track) => track.readyState)") == ["ended"]
        send(page)
        assert complaints(page) == []


def goes(page: Page, good: list[Item], bad: Item, colour: str) -> None:
    for item in good:
        passes(page, item)
    stops(page, bad)
    says_what_is_wrong(page, "cut of 3 mm at the left leg loop", photo=colour)


def notes_a_stray(page: Page) -> None:
    typed(page, STRANGE)
    page.get_by_role("button", name="Only note it in the round").click()
    page.locator(".last").wait_for()


def sends_all(page: Page) -> None:
    send(page)
    assert set(states(page)) == {"done"}
    assert kept(page, "photos") == []
    send(page)  # once more changes nothing


def assert_all_once(huw: User, good: list[Item], bad: list[Item]) -> None:
    found = Round.objects.get()
    assert (found.inspector, found.signed_by) == (huw.person, huw)
    assert found.signed_at
    looks = Inspection.objects.filter(round_line__round=found)
    assert {look.item_id for look in looks.filter(verdict="pass", counts=True)} == {
        item.pk for item in good
    }
    assert looks.count() == GOOD + BAD
    assert sorted(found.lines.values_list("state", flat=True)) == sorted(
        [*["seen"] * GOOD, *["out"] * BAD, "unknown"]
    )
    assert SyncEvent.objects.count() == GOOD + 2 * BAD + len(["begin", "stray", "sign"])
    assert set(SyncEvent.objects.values_list("outcome", flat=True)) == {"applied"}
    out = Item.objects.filter(condition=Condition.WITHDRAWN)
    assert {item.pk for item in out} == {item.pk for item in bad}
    assert_photographs_are_plain()


def assert_photographs_are_plain() -> None:
    photos = [defect.photo for defect in Defect.objects.all()]
    assert len({photo.pk for photo in photos if photo}) == BAD
    for document in Document.objects.all():
        picture = Image.open(document.file)
        assert max(picture.size) <= 1600
        assert not picture.getexif()
