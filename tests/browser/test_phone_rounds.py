"""A round on the phone: sixty in a row without signal, over a restart, and all of it once on record."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PIL import Image

from inspections.models import Defect, Inspection, Round, SyncEvent
from register.models import Document, Item, Site, User
from register.rules.conditions import Condition
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
from tests.browser.looking import complaints, signed_in
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

STRANGE = "H7K-2PD3"
GOOD, BAD = 60, 2


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
