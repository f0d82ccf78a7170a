"""Tags are read from a camera: one after another, worn ones too, without signal, and only from here."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest

from inspections import decoder
from register.models import Item, Site, User
from register.rules.tags import shown
from tests.browser import fake_camera
from tests.browser.conftest import PHONE
from tests.browser.looking import complaints, listen
from tests.browser.scan_screen import address, codes, five_items, opened, present, typed

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

needs_decoder = pytest.mark.skipif(
    not decoder.is_fetched(), reason="no decoder here: python3 manage.py fetch_decoder"
)
SLOW = 4  # times slower than this machine

# What stands in the place of the answer, each time that it changes.
WRITE_DOWN_READS = """
() => {
  window.reads = [];
  new MutationObserver(() => {
    const read = document.querySelector('.scan-read .code')?.textContent;
    if (read && read !== window.reads.at(-1)) window.reads.push(read);
  }).observe(document.getElementById('main'), { subtree: true, childList: true });
}
"""
# Resolves once the reads hold this run, begun at any of its places, for the film goes round.
WAIT_FOR_RUN = """
(wanted) => new Promise((resolve, reject) => {
  const turned = wanted.map((_, at) => [...wanted.slice(at), ...wanted.slice(0, at)].join());
  const giveUpAt = Date.now() + 60_000;
  const look = () => {
    if (turned.some((run) => window.reads.join().includes(run))) resolve();
    else if (Date.now() > giveUpAt) reject(new Error(`${wanted} wanted, ${window.reads} read`));
    else setTimeout(look, 50);
  };
  look();
})
"""


COUNT_CAMERAS = """
() => {
  const devices = navigator.mediaDevices;
  const ask = devices.getUserMedia.bind(devices);
  window.asked = 0;
  devices.getUserMedia = (wanted) => (window.asked++, ask(wanted));
}
"""
TURN_PAGE = """
(hidden) => {
  Object.defineProperty(document, 'hidden', { value: hidden, configurable: true });
  document.dispatchEvent(new Event('visibilitychange'));
  const { srcObject } = document.querySelector('.scan-view video');
  return { holds: Boolean(srcObject), asked: window.asked };
}
"""


@pytest.fixture
def items(site: Site) -> list[Item]:
    return five_items(site)


@pytest.fixture
def played(items: list[Item], tmp_path: Path) -> Path:
    """The tags of all items, a second each and no gap between; the last of them is worn."""
    scenes = [fake_camera.scene(address(item)) for item in items[:-1]]
    return fake_camera.film(
        [*scenes, fake_camera.worn(address(items[-1]))], tmp_path / "film.mjpeg"
    )


@pytest.fixture
def filmed(
    chromium: Browser, live_server: LiveServer, huw: User, site: Site, played: Path
) -> Iterator[Page]:
    """The scan screen before this film."""
    screen = {"viewport": PHONE, "has_touch": True, "service_workers": "block"}
    with fake_camera.filming(chromium, played, **screen) as page:
        listen(page)
        yield opened(page, live_server, huw, site)


# --- the camera


@needs_decoder
@pytest.mark.parametrize("slower", [1, SLOW])
def test_each_tag_is_read_within_the_second_that_it_is_held_up(
    filmed: Page, live_server: LiveServer, items: list[Item], slower: int
) -> None:
    asked: list[str] = []
    filmed.context.on("request", lambda request: asked.append(request.url))
    devtools = filmed.context.new_cdp_session(filmed)
    devtools.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    filmed.reload()
    filmed.evaluate(WRITE_DOWN_READS)
    filmed.evaluate(WAIT_FOR_RUN, codes(items))
    assert any(url.endswith("zxing_reader.wasm") for url in asked)
    assert {urlsplit(url).netloc for url in asked} == {urlsplit(live_server.url).netloc}
    assert complaints(filmed) == []


@needs_decoder
def test_a_page_out_of_sight_lets_go_of_the_camera_and_takes_it_up_again(
    filmed: Page, items: list[Item]
) -> None:
    filmed.locator(".scan-read").wait_for()
    filmed.evaluate(COUNT_CAMERAS)
    assert filmed.evaluate(TURN_PAGE, True) == {"holds": False, "asked": 0}
    assert filmed.evaluate(TURN_PAGE, False)["asked"] == 1
    filmed.evaluate(WRITE_DOWN_READS)
    filmed.evaluate(WAIT_FOR_RUN, codes(items))


@needs_decoder
def test_a_screen_that_is_left_lets_go_of_the_camera(filmed: Page) -> None:
    filmed.locator(".scan-read").wait_for()
    track = filmed.evaluate_handle(
        "() => document.querySelector('.scan-view video').srcObject.getTracks()[0]"
    )
    filmed.evaluate("location.hash = '#/'")
    filmed.get_by_role("heading", level=1, name="On the phone").wait_for()
    assert track.evaluate("track => track.readyState") == "ended"


def test_without_its_decoder_the_page_says_so_and_codes_are_typed(
    chromium: Browser,
    live_server: LiveServer,
    huw: User,
    site: Site,
    items: list[Item],
    played: Path,
) -> None:
    with fake_camera.filming(chromium, played, viewport=PHONE, service_workers="block") as page:
        page.route("**/decoder/reader.js", lambda route: route.abort())
        opened(page, live_server, huw, site)
        page.get_by_text("its decoder was not fetched").wait_for()
        typed(page, items[0].code)
        page.locator(".scan-read").get_by_text(shown(items[0].code)).wait_for()


def test_a_camera_that_may_not_be_used_is_told_of_and_may_be_tried_again(
    chromium: Browser,
    live_server: LiveServer,
    huw: User,
    site: Site,
    items: list[Item],
    played: Path,
) -> None:
    with fake_camera.filming(chromium, played, refused=True, viewport=PHONE) as page:
        opened(page, live_server, huw, site)
        page.get_by_text("This browser may not use the camera.").wait_for()
        assert not page.locator(".scan-camera").is_visible()
        page.evaluate(COUNT_CAMERAS)
        page.get_by_role("button", name="Try the camera again").click()
        assert page.evaluate("() => window.asked") == 1
        typed(page, items[0].code)
        present(page).get_by_text(shown(items[0].code)).wait_for()


@needs_decoder
def test_tags_are_read_without_signal(
    chromium: Browser,
    live_server: LiveServer,
    huw: User,
    site: Site,
    items: list[Item],
    played: Path,
) -> None:
    with fake_camera.filming(chromium, played, viewport=PHONE) as page:
        opened(page, live_server, huw, site)
        page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
        page.context.set_offline(True)
        page.reload()
        page.evaluate(WRITE_DOWN_READS)
        page.evaluate(WAIT_FOR_RUN, codes(items))
