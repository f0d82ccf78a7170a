"""Scanning in what comes from another site."""

from __future__ import annotations

import pytest
from django.test import Client

from register.actions.custody import dispatch
from register.models import Item, Role, Site, User
from tests.factories import ItemFactory, SiteFactory, kit_of, stamp, user_as

ADDRESS = "/arrivals/"


@pytest.fixture
def there(db: None) -> Site:
    made: Site = SiteFactory(code="skelhope", name="Skelhope Viaduct")
    return made


def told(client: Client, item_text: str, site: Site) -> str:
    answer = client.post(ADDRESS, {"code": item_text, "site": site.code}, follow=True)
    return answer.content.decode()


def test_an_item_on_its_way_is_scanned_in_by_who_awaits_it(
    item: Item, there: Site, client: Client
) -> None:
    dispatch(item, to=there, stamp=stamp())
    client.force_login(user_as(Role.SUPERVISOR, there))
    assert item.shown_code in client.get(ADDRESS).content.decode()
    assert f"{item.shown_code} harness: now at Skelhope Viaduct." in told(client, item.code, there)
    item.refresh_from_db()
    assert (item.site, item.bound_for, item.custody) == (there, None, "site")
    assert "Nothing is on its way" in client.get(ADDRESS).content.decode()


def test_a_kit_that_came_in_is_asked_at_once_where_it_hangs(
    site: Site, there: Site, client: Client
) -> None:
    kit = kit_of(site)
    dispatch(kit.item, to=there, stamp=stamp())
    client.force_login(user_as(Role.SUPERVISOR, there))
    answer = client.post(ADDRESS, {"code": kit.item.code, "site": there.code})
    assert answer.url == f"/kits/{kit.name}/place/"
    assert "Until that is said it covers nothing." in client.get(answer.url).content.decode()


def test_what_is_bound_elsewhere_stays_on_its_way(
    item: Item, there: Site, client: Client, petra: User
) -> None:
    dispatch(item, to=there, stamp=stamp())
    client.force_login(petra)
    assert "on its way to Skelhope Viaduct" in told(client, item.code, item.site)
    item.refresh_from_db()
    assert (item.custody, item.bound_for) == ("in-transit", there)


def test_what_was_not_sent_is_not_moved_by_a_scan(
    item: Item, there: Site, client: Client, petra: User
) -> None:
    client.force_login(petra)
    assert "at Corrick Quay in the register" in told(client, item.code, there)
    item.refresh_from_db()
    assert item.site.code == "corrick"


def test_a_mistyped_code_is_told_as_mistyped_and_stays_in_the_box(
    item: Item, there: Site, client: Client, petra: User
) -> None:
    client.force_login(petra)
    wrong = item.code[:-1] + ("2" if item.code[-1] != "2" else "3")
    page = told(client, wrong, there)
    assert f"“{wrong}” is mistyped" in page
    assert f'value="{wrong}"' in page


def test_an_item_of_another_site_is_not_known(there: Site, site: Site, client: Client) -> None:
    other = ItemFactory(site=SiteFactory())
    client.force_login(user_as(Role.SUPERVISOR, there))
    assert "No item at your sites has the tag" in told(client, other.code, there)


def test_a_worker_may_not_scan_in(site: Site, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, site))
    assert client.get(ADDRESS).status_code == 403
