"""What most tests begin with: a day, a site, people of each role, an item."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import hypothesis
import pytest
from allauth.account.internal.flows import reauthentication
from django.db import connection
from django.utils import translation

from register.models import Item, Role, Site, User
from register.models.ledger_guard import statements_to_remove
from tests.factories import DAY, ItemFactory, SiteFactory, inspector, user_as

hypothesis.settings.register_profile("quick", max_examples=60, deadline=None)
hypothesis.settings.register_profile("full", max_examples=500, deadline=None)
hypothesis.settings.load_profile("quick")


@pytest.fixture(autouse=True)
def quick_passwords_and_tasks(settings: object) -> None:
    """Hash passwords fast and run background work at once."""
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]  # type: ignore[attr-defined]
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}  # type: ignore[attr-defined]


@pytest.fixture(autouse=True)
def kept_files(settings: object, tmp_path: object) -> None:
    """Keep uploaded files out of the tree."""
    settings.MEDIA_ROOT = tmp_path  # type: ignore[attr-defined]


@pytest.fixture(autouse=True)
def own_language() -> Iterator[None]:
    """A page asked for in another language leaves it to its thread: the next test begins without."""
    yield
    translation.deactivate()


@pytest.fixture(autouse=True)
def password_given_again(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever acts has just given the password again, but where a test is about that."""
    if "asks_again" not in request.keywords:
        monkeypatch.setattr(reauthentication, "did_recently_reauthenticate", lambda _: True)


@pytest.fixture
def emptied_tables(transactional_db: None) -> Iterator[None]:
    """For tests that commit: SQLite empties tables by DELETE, which the ledger's guard refuses."""
    yield
    with connection.cursor() as cursor:
        for statement in statements_to_remove(connection.vendor):
            cursor.execute(statement)


@pytest.fixture
def day() -> date:
    return DAY


@pytest.fixture
def site(db: None) -> Site:
    made: Site = SiteFactory(code="corrick", name="Corrick Quay")
    return made


@pytest.fixture
def item(site: Site) -> Item:
    made: Item = ItemFactory(site=site)
    return made


@pytest.fixture
def petra(site: Site) -> User:
    """The stores controller."""
    return user_as(Role.STORES, username="petra")


@pytest.fixture
def huw(site: Site) -> User:
    """The competent person, authorised for everything."""
    return inspector()


@pytest.fixture
def oyelaran(site: Site) -> User:
    """The manager."""
    return user_as(Role.MANAGER, username="oyelaran")
