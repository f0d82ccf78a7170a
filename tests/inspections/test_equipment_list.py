"""The equipment list: what it finds, what it says of a mistyped tag, and what it costs."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from register import clock
from register.actions.conditions import quarantine
from register.models import Item, Role, Site
from tests.factories import (
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    UserFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)

ADDRESS = "/items/"


@pytest.fixture
def stores(client: Client, petra: object) -> Client:
    client.force_login(petra)
    return client


def listed(client: Client, **asked: object) -> list[str]:
    """The codes in the rows of the list, in their order."""
    answer = client.get(ADDRESS, asked)
    assert answer.status_code == 200
    return [item.code for item in answer.context["table"].shown_items]


def queries(client: Client) -> int:
    with CaptureQueriesContext(
        connection,
    ) as caught:
        client.get(ADDRESS)
    return len(caught)


def test_ten_rows_cost_as_many_queries_as_one(site: Site, stores: Client) -> None:
    passed(ItemFactory(site=site))
    kit_of(site)
    few = queries(stores)
    for _ in range(9):
        passed(ItemFactory(site=site, holder=PersonFactory()))
    kit_of(site, name="RK-02")
    assert queries(stores) == few


def test_a_sound_tag_leads_straight_to_its_item(item: Item, stores: Client) -> None:
    for typed in (item.code, item.shown_code.lower(), f"https://gear.example/T/{item.code}/"):
        answer = stores.get(ADDRESS, {"q": typed})
        assert (answer.status_code, answer.headers.get("Location")) == (302, f"/items/{item.code}/")


def test_a_mistyped_tag_is_told_as_mistyped(item: Item, stores: Client) -> None:
    wrong = item.code[:-1] + ("2" if item.code[-1] != "2" else "3")
    page = stores.get(ADDRESS, {"q": wrong}).content.decode()
    assert f"“{wrong}” is mistyped" in page
    assert "not found" not in page.lower()


def test_a_serial_that_looks_like_a_mistyped_tag_is_found(site: Site, stores: Client) -> None:
    sought = ItemFactory(site=site, serial="AB-12345")
    ItemFactory(site=site)
    assert listed(stores, q="ab12345") == [sought.code]
    assert listed(stores, q="2345") == [sought.code]


def test_the_name_of_a_product_or_a_holder_is_found_though_it_reads_as_a_tag(
    site: Site, stores: Client
) -> None:
    one = ItemFactory(site=site, product=ProductFactory(designation="Heron X"))
    held = ItemFactory(site=site, holder=PersonFactory(name="Ines Carrow"), custody="person")
    assert listed(stores, q="heron") == [one.code]
    assert listed(stores, q="carrow") == [held.code]


def test_the_filters_narrow_the_list(site: Site, stores: Client) -> None:
    other_site = SiteFactory(code="skelhope")
    plain = ItemFactory(site=site, size="M", product=ProductFactory(max_user_kg=100))
    strong = ItemFactory(site=site, size="XL", product=ProductFactory(max_user_kg=140))
    rope = ItemFactory(site=other_site, product=ProductFactory(equipment_class="rope"))
    blocks = [ProductFactory(length_m=length, edge_tested=True) for length in (2, 3)]
    _, long_block = (ItemFactory(site=other_site, product=block) for block in blocks)
    held = ItemFactory(site=other_site, holder=PersonFactory(name="Ines Carrow"), custody="person")
    quarantine(held, reason="damage-found", stamp=stamp())
    assert listed(stores, equipment_class="rope") == [rope.code]
    assert listed(stores, site="corrick") == sorted([plain.code, strong.code])
    assert listed(stores, size="xl") == [strong.code]
    assert listed(stores, rating=120) == [strong.code]
    assert listed(stores, length="2.5", edge="True") == [long_block.code]
    assert listed(stores, holder="ines") == [held.code]
    assert listed(stores, condition="quarantined") == [held.code]


def test_usable_and_not_usable_share_every_item_between_them(site: Site, stores: Client) -> None:
    good = ItemFactory(site=site)
    passed(good, clock.today(site))
    overdue = ItemFactory(site=site, accepted_on=date(2020, 1, 1))
    stopped = ItemFactory(site=site)
    passed(stopped, clock.today(site))
    quarantine(stopped, reason="damage-found", stamp=stamp())
    unlisted = ItemFactory(site=site)
    unlisted.due.delete()
    assert listed(stores, usable="yes") == [good.code]
    assert listed(stores, usable="overdue") == sorted([overdue.code, unlisted.code])
    assert listed(stores, usable="no") == sorted([overdue.code, stopped.code, unlisted.code])


def test_a_day_asks_who_is_in_date_that_long(site: Site, stores: Client) -> None:
    good = ItemFactory(site=site)
    passed(good, clock.today(site))
    last = good.due.__class__.objects.get(item=good).last_good_on
    assert listed(stores, good_on=last.isoformat(), usable="yes") == [good.code]
    beyond = (last + timedelta(days=1)).isoformat()
    assert listed(stores, good_on=beyond) == []
    assert listed(stores, good_on=beyond, usable="no") == []


def test_items_of_a_site_that_is_not_mine_are_not_listed(site: Site, client: Client) -> None:
    mine = ItemFactory(site=site)
    other = ItemFactory(site=SiteFactory())
    client.force_login(user_as(Role.STORES, site))
    assert listed(client) == [mine.code]
    assert client.get(reverse("inspections:item-detail", args=[other.code])).status_code == 404
    told = client.get(ADDRESS, {"q": other.code}).content.decode()
    assert f"No item at your sites has the tag {other.shown_code}" in told


def test_who_holds_no_role_may_not_look(site: Site, client: Client) -> None:
    client.force_login(UserFactory())
    assert client.get(ADDRESS).status_code == 403
