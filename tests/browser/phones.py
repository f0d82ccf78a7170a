"""A phone for tests: a profile that outlives its browser, and a server that can be ended."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pytest_django.live_server_helper import LiveServer

from tests.browser.conftest import CHROMIUM, FLAGS, SCREENS
from tests.browser.looking import listen, signed_in

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from register.models import Site, User

NETWORK = "net::ERR_"
"""How the browser itself complains of a server that does not answer."""


@contextmanager
def serving(port: int = 0) -> Iterator[LiveServer]:
    """A server of this test's own, which ends with the block; a port makes it come back as it was."""
    server = LiveServer(f"localhost:{port}" if port else "localhost")
    try:
        yield server
    finally:
        server.stop()


def port_of(server: LiveServer) -> int:
    return int(server.url.rpartition(":")[2])


@contextmanager
def phone_on(profile: Path, chromium: Browser, screen: str = "phone-light") -> Iterator[Page]:
    """A browser on the profile; opened again on the same one, it is the same phone after a restart."""
    context = chromium.browser_type.launch_persistent_context(
        str(profile), executable_path=str(CHROMIUM), args=FLAGS, **SCREENS[screen]
    )
    try:
        page = context.pages[0] if context.pages else context.new_page()
        listen(page)
        page.on("dialog", lambda dialog: dialog.accept())
        yield page
    finally:
        context.close()


def kill(profile: Path) -> int:
    """End every process of the browser on this profile as a flat battery does; how many there were."""
    asked = f"--user-data-dir={profile}".encode()
    ended = 0
    for told in Path("/proc").glob("[0-9]*/cmdline"):
        with suppress(OSError):
            if asked in told.read_bytes().split(b"\0"):
                os.kill(int(told.parent.name), signal.SIGKILL)
                ended += 1
    return ended


def carrying(page: Page, server: LiveServer, user: User, *sites: Site) -> Page:
    """Signed in, with the packs of these sites, and the worker at work."""
    signed_in(page, server, user.username)
    opened(page, server)
    for site in sites:
        page.goto(f"{server.url}/phone/#/packs")
        page.get_by_role("button", name=f"Load {site.name}", exact=True).click()
        page.get_by_text(f"{site.name} is on this phone").wait_for()
    return page


def opened(page: Page, server: LiveServer, screen: str = "") -> Page:
    """On a screen of the phone, with the worker at work."""
    page.goto(f"{server.url}/phone/#/{screen}")
    page.get_by_role("heading", level=1).wait_for()
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    return page


def kept(page: Page, store: str = "events") -> list[dict[str, Any]]:
    """What lies in one of the phone's stores."""
    asked = f"import('/static/phone/store.js').then((store) => store.all('{store}'))"
    return list(page.evaluate(f"{asked}.then((rows) => JSON.parse(JSON.stringify(rows)))"))


def write(page: Page, kind: str, /, **body: Any) -> dict[str, Any]:
    """An event written by the phone's own script."""
    told = json.dumps([kind, body])
    asked = f"import('/static/phone/queue.js').then((queue) => queue.write(...{told}))"
    return dict(page.evaluate(asked))


def send(page: Page) -> None:
    """Send what there is, after what is on its way by itself, and wait for what became of it."""
    page.evaluate("navigator.locks.request('tallyhook-send', () => null)")
    page.evaluate("import('/static/phone/sending.js').then((one) => one.send({ forced: true }))")


def states(page: Page) -> list[str]:
    """What became of each row, in the order in which they were written."""
    rows = sorted(kept(page), key=lambda row: row["written_at"])
    return [row["state"] for row in rows]
