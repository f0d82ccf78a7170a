"""One Chromium for all browser tests, and pages of the sizes and colours people use."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.handlers.wsgi import WSGIHandler

from inspections.models import Authorisation
from register import clock
from register.models import Role, Site, User
from tests.browser.looking import listen
from tests.factories import user_as

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

HERE = Path(__file__).parent
CHROMIUM = Path("/usr/bin/chromium")
FLAGS = [
    *("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"),
    *("--disable-background-networking", "--disable-component-update", "--disable-sync"),
]
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1440, "height": 900}
SCREENS: dict[str, dict[str, Any]] = {
    "phone-light": {"viewport": PHONE, "color_scheme": "light", "has_touch": True},
    "phone-dark": {"viewport": PHONE, "color_scheme": "dark", "has_touch": True},
    "desk-light": {"viewport": DESK, "color_scheme": "light"},
    "desk-dark": {"viewport": DESK, "color_scheme": "dark"},
}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """The browser, or the reason why these tests are left out."""
    reason = "playwright is missing: python3 manage.py install browser"
    playwright = pytest.importorskip("playwright.sync_api", reason=reason)
    if not CHROMIUM.exists():
        pytest.skip(f"no browser at {CHROMIUM}: apt-get install chromium")
    with pytest.MonkeyPatch.context() as patch, playwright.sync_playwright() as started:
        # playwright runs a loop in this thread, which Django would take for asynchronous code
        patch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
        browser = started.chromium.launch(executable_path=str(CHROMIUM), args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def gate() -> Iterator[threading.Lock]:
    """One request at a time: in memory, SQLite is one connection for all threads, and two requests at
    once would end each other's transactions."""
    lock, answer = threading.Lock(), WSGIHandler.__call__

    def in_turn(handler: WSGIHandler, *told: Any) -> Any:
        with lock:
            return answer(handler, *told)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(WSGIHandler, "__call__", in_turn)
        yield lock


@pytest.fixture(autouse=True)
def shared_with_the_server(
    chromium: Browser, emptied_tables: None, gate: threading.Lock
) -> Iterator[None]:
    """Rows are committed, because the server is another thread, and emptied after the last answer."""
    yield
    with gate:
        pass


@pytest.fixture
def huw(site: Site) -> User:
    """The competent person, authorised for everything on the day of the real clock."""
    user = user_as(Role.COMPETENT, username="huw")
    today = clock.today(site)
    days = {"from_on": today - timedelta(days=9), "through_on": today + timedelta(days=9)}
    Authorisation.objects.create(person=user.person, **days)
    return user


def opened(chromium: Browser, screen: str) -> Iterator[Page]:
    """A page with a fresh profile."""
    context = chromium.new_context(**SCREENS[screen])
    page = context.new_page()
    listen(page)
    yield page
    context.close()


@pytest.fixture(params=SCREENS)
def page(chromium: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """Each screen in turn: phone and desk, light and dark."""
    yield from opened(chromium, request.param)


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    yield from opened(chromium, "phone-light")


@pytest.fixture
def desk(chromium: Browser) -> Iterator[Page]:
    yield from opened(chromium, "desk-light")
