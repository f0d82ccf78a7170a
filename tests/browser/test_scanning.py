"""Tags are read from a camera: one after another, worn ones too, and where there is no camera, else."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest
import qrcode

from inspections import decoder
from register import clock
from register.actions.conditions import quarantine
from register.models import Item, Site, User
from register.rules.tags import shown
from tests.browser import fake_camera
from tests.browser.conftest import PHONE, SCREENS
from tests.browser.looking import assert_clean, complaints, listen, signed_in
from tests.factories import ItemFactory, passed, stamp

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
    """Five that passed; the second and the fourth are out of use since."""
    made = [ItemFactory(site=site, size="XL") for _ in range(5)]
    for item in made:
        passed(item, clock.today(site))
    for item in (made[1], made[3]):
        quarantine(item, reason="damage-found", stamp=stamp())
    return made


def address(item: Item) -> str:
    return f"HTTP://LOCALHOST:8000/T/{item.code}/{item.tags.get().secret}"


def codes(items: list[Item]) -> list[str]:
    return [shown(item.code) for item in items]


@pytest.fixture
def played(items: list[Item], tmp_path: Path) -> Path:
    """The tags of all items, a second each and no gap between; the last of them is worn."""
    scenes = [fake_camera.scene(address(item)) for item in items[:-1]]
    return fake_camera.film(
        [*scenes, fake_camera.worn(address(items[-1]))], tmp_path / "film.mjpeg"
    )


def opened(page: Page, live_server: LiveServer, user: User, site: Site) -> Page:
    """The scan screen of a phone that carries the register of this site."""
    signed_in(page, live_server, user.username)
    page.goto(f"{live_server.url}/phone/")
    module = f"{live_server.url}/static/phone/packs.js"
    page.evaluate("async ([from, site]) => (await import(from)).take(site)", [module, site.code])
    page.goto(f"{live_server.url}/phone/#/scan")
    return page


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


# --- no camera: codes are typed, photographs are read by the register


@pytest.fixture
def bare(
    chromium: Browser, live_server: LiveServer, huw: User, site: Site, items: list[Item]
) -> Iterator[Page]:
    """The scan screen of a device without a camera."""
    context = chromium.new_context(viewport=PHONE, service_workers="block")
    yield opened(context.new_page(), live_server, huw, site)
    context.close()


def typed(page: Page, text: str) -> None:
    page.get_by_label("Code on the tag").fill(text)
    page.get_by_role("button", name="Read", exact=True).click()


def present(page: Page) -> Any:
    return page.locator(".scan-answer > div").first


def test_a_stop_stays_until_it_is_put_away_and_the_next_is_read_meanwhile(
    bare: Page, items: list[Item]
) -> None:
    good, stopped, other = items[0], items[1], items[2]
    typed(bare, stopped.code)
    present(bare).get_by_role("heading", name="DO NOT USE").wait_for()
    for each in (good, other):
        typed(bare, each.code.lower())
        present(bare).get_by_text(shown(each.code)).wait_for()
        assert "OK to use until" in present(bare).inner_text()
    held = bare.locator(".scan-held")
    assert shown(stopped.code) in held.inner_text()
    held.get_by_role("button", name="Seen").click()
    assert held.count() == 0
    before = bare.get_by_role("heading", name="Read before").locator("xpath=following-sibling::ul")
    assert [shown(each.code) in before.inner_text() for each in (stopped, good, other)] == [
        True,
        True,
        False,
    ]


def test_a_tag_read_shows_its_size_and_the_end_of_its_serial(bare: Page, items: list[Item]) -> None:
    typed(bare, address(items[0]))
    present(bare).get_by_text(f"XL, serial …{items[0].serial[-4:]}").wait_for()


def test_each_thing_that_may_go_wrong_is_one_line(bare: Page, items: list[Item]) -> None:
    code = items[0].code
    typed(bare, code[:-1] + ("2" if code[-1] != "2" else "3"))
    bare.get_by_text("is mistyped: no tag reads like that").wait_for()
    bare.get_by_label("Code on the tag").fill("")
    stranger = ItemFactory().code  # of a site that is not on this phone
    typed(bare, stranger)
    present(bare).get_by_text("It is not in the register that this phone carries").wait_for()
    typed(bare, code)
    typed(bare, code)
    present(bare).get_by_text("The same tag once more.").wait_for()


def test_a_tag_of_another_site_says_whose_it_is(
    bare: Page, live_server: LiveServer, items: list[Item]
) -> None:
    elsewhere = ItemFactory(site__code="skelhope", site__name="Skelhope Viaduct")
    module = f"{live_server.url}/static/phone/packs.js"
    bare.evaluate("async (from) => (await import(from)).take('skelhope')", module)
    typed(bare, items[0].code)
    typed(bare, elsewhere.code)
    present(bare).get_by_text("This tag belongs to Skelhope Viaduct.").wait_for()


def test_a_photograph_is_read_by_the_register_where_the_phone_cannot(
    bare: Page, items: list[Item]
) -> None:
    bare.get_by_text("This device gives the page no camera").wait_for()
    bare.route("**/decoder/reader.js", lambda route: route.abort())
    bare.reload()
    photograph = BytesIO()
    qrcode.make(address(items[0]), box_size=6).convert("RGB").save(photograph, "JPEG")
    field = bare.get_by_label("Photograph of a tag")
    field.set_input_files({"name": "t.jpg", "mimeType": "image/jpeg", "buffer": b"none"})
    bare.get_by_text("This file is no photograph").wait_for()
    with bare.expect_response("**/phone/read-photo/"):
        field.set_input_files(
            {"name": "t.jpg", "mimeType": "image/jpeg", "buffer": photograph.getvalue()}
        )
    present(bare).get_by_text(shown(items[0].code)).wait_for()


@pytest.mark.parametrize("screen", SCREENS)
def test_the_screen_can_be_read_everywhere(
    chromium: Browser,
    live_server: LiveServer,
    huw: User,
    site: Site,
    items: list[Item],
    screen: str,
) -> None:
    context = chromium.new_context(**SCREENS[screen])
    page = context.new_page()
    listen(page)
    opened(page, live_server, huw, site)
    for item in items[:3]:
        typed(page, item.code)
    present(page).get_by_text(shown(items[2].code)).wait_for()
    assert_clean(page)
    context.close()


# --- what is looked at, and what is news


def asked(page: Page, live_server: LiveServer, does: str, *given: Any) -> Any:
    module = f"{live_server.url}/static/phone/aim.js"
    call = f"async ([from, ...given]) => {{ const aim = await import(from); {does} }}"
    return page.evaluate(call, [module, *given])


def test_a_code_at_the_edge_is_the_neighbour_of_the_one_that_is_meant(
    bare: Page, live_server: LiveServer
) -> None:
    def aimed(*found: tuple[str, float, float]) -> Any:
        given = [{"text": text, "x": x, "y": y} for text, x, y in found]
        return asked(bare, live_server, "return aim.aimedAt(given)", *given)

    assert aimed() is None
    assert aimed(("edge", 0.1, 0.5)) is None
    assert aimed(("edge", 0.5, 0.9)) is None
    assert aimed(("near", 0.4, 0.6), ("edge", 0.05, 0.5)) == "near"
    assert aimed(("off", 0.2, 0.2), ("nearest", 0.55, 0.5), ("near", 0.3, 0.5)) == "nearest"


def test_only_what_the_box_shows_is_looked_at(bare: Page, live_server: LiveServer) -> None:
    def part(picture: tuple[int, int], box: tuple[int, int]) -> Any:
        sizes = [{"width": width, "height": height} for width, height in (picture, box)]
        seen = asked(bare, live_server, "return aim.seenPart(...given)", *sizes)
        return tuple(round(seen[name]) for name in ("x", "y", "width", "height"))

    assert part((1280, 720), (400, 400)) == (280, 0, 720, 720)
    assert part((720, 1280), (400, 200)) == (0, 460, 720, 360)
    assert part((640, 480), (640, 480)) == (0, 0, 640, 480)


def test_a_text_is_news_once_it_was_out_of_view(bare: Page, live_server: LiveServer) -> None:
    seen = [["a", 0], ["a", 1000], ["b", 1100], ["a", 2400], ["a", 3900], ["b", 4000]]
    does = "const isNews = aim.newsOnly(); return given.map((one) => isNews(...one))"
    assert asked(bare, live_server, does, *seen) == [True, False, True, False, True, True]
