"""The scan screen: what was read, stops that stay, what may go wrong, and a phone without a camera."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
import qrcode

from register.models import Item, Site, User
from register.rules.tags import shown
from tests.browser.conftest import PHONE, SCREENS
from tests.browser.looking import assert_clean, listen
from tests.browser.scan_screen import address, five_items, opened, present, typed
from tests.factories import ItemFactory

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page
    from pytest_django.live_server_helper import LiveServer

LISTEN_TO_SIGNALS = """
() => {
  window.taps = [];
  navigator.vibrate = (taps) => window.taps.push(taps);
  window.tones = [];
  OscillatorNode.prototype.start = function () { window.tones.push(this.frequency.value); };
  OscillatorNode.prototype.stop = () => {};
}
"""


@pytest.fixture
def items(site: Site) -> list[Item]:
    return five_items(site)


@pytest.fixture
def bare(
    chromium: Browser, live_server: LiveServer, huw: User, site: Site, items: list[Item]
) -> Iterator[Page]:
    """The scan screen of a device without a camera."""
    context = chromium.new_context(viewport=PHONE, service_workers="block")
    yield opened(context.new_page(), live_server, huw, site)
    context.close()


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


def test_hand_and_ear_tell_good_from_bad(bare: Page, items: list[Item]) -> None:
    bare.evaluate(LISTEN_TO_SIGNALS)
    for item in items[:2]:
        typed(bare, item.code)
        present(bare).get_by_text(shown(item.code)).wait_for()
    good, bad = bare.evaluate("() => window.taps")
    assert sum(good) < min(bad[0], bad[2])
    high, *low = bare.evaluate("() => window.tones")
    assert high > 4 * max(low)
    assert len(low) == 2


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
