"""Facts that start or end clocks: how they come in, what is refused, and what follows at once."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.dating import LIMITS, state_dates, state_limits
from inspections.conditions import verdict_of
from inspections.models import Due
from register import clock
from register.actions.custody import arrive, dispatch, place_at
from register.models import Entry, Item, Role, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    ItemFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    passed,
    stamp,
    user_as,
)

PLAIN: dict[str, Any] = {
    "owner": "",
    "hire_end_on": None,
    "first_used_on": None,
    "proof_test_months": None,
    "because": "hire note 4471",
}


def dated(item: Item, **told: Any) -> Item:
    return state_dates(item, **{**PLAIN, **told}, stamp=stamp())


def limited(item: Item, because: str = "instructions 08/2024", **limits: int) -> None:
    told = {name: limits.get(name) for name in LIMITS}
    state_limits(item.product, limits=told, because=because, stamp=stamp())


@pytest.fixture
def anchor(site: Site) -> Item:
    made: Item = ItemFactory(
        site=site,
        product=ProductFactory(equipment_class="anchor"),
        custody="installed",
        zone=ZoneFactory(site=site),
        place="AN-1",
    )
    passed(made, DAY, "installation")
    return made


def test_a_hired_item_is_out_on_the_day_after_its_hire(item: Item) -> None:
    passed(item)
    dated(item, owner="Lender", hire_end_on=DAY + timedelta(days=9))
    due = Due.objects.get(item=item)
    assert (due.clock, due.last_good_on) == ("hire", DAY + timedelta(days=9))
    item.refresh_from_db()
    assert verdict_of(item, DAY + timedelta(days=9)).usable
    assert dict(verdict_of(item, DAY + timedelta(days=10)).facts)["clock"] == "hire"
    assert Entry.objects.filter(act__verb="state-dates").count() == 1


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({}, "nothing-changed"),
        ({"owner": "Lender", "because": " "}, "reason-missing"),
        ({"first_used_on": date(2024, 12, 31)}, "used-before-made"),
        ({"first_used_on": DAY + timedelta(days=1)}, "in-the-future"),
        ({"proof_test_months": 12}, "no-anchor"),
    ],
)
def test_what_cannot_be_is_refused(item: Item, told: dict[str, Any], code: str) -> None:
    with pytest.raises(Refusal) as refused:
        dated(item, **told)
    assert refused.value.code == code
    assert not Entry.objects.filter(act__verb="state-dates").exists()


def test_an_anchor_that_its_base_material_wants_tested_is_out_without_a_test(anchor: Item) -> None:
    dated(anchor, proof_test_months=1)
    assert Due.objects.get(item=anchor).clock == "installation"
    anchor.refresh_from_db()
    assert not verdict_of(anchor, DAY + timedelta(days=40)).usable


def test_an_anchor_put_up_elsewhere_is_out_until_it_is_inspected_there(anchor: Item) -> None:
    assert verdict_of(anchor, DAY).usable
    later = stamp(at=stamp().at + timedelta(days=2))
    place_at(anchor, zone=ZoneFactory(site=anchor.site), place="AN-9", stamp=later)
    anchor.refresh_from_db()
    assert dict(verdict_of(anchor, DAY + timedelta(days=2)).facts)["missing"] == "moved"
    passed(anchor, DAY + timedelta(days=2), "installation")
    assert verdict_of(anchor, DAY + timedelta(days=2)).usable


def test_to_name_the_same_place_again_moves_nothing(anchor: Item) -> None:
    assert anchor.zone is not None
    later = stamp(at=stamp().at + timedelta(days=2))
    place_at(anchor, zone=anchor.zone, place="AN-1", stamp=later)
    anchor.refresh_from_db()
    assert anchor.fixed_on is None


def test_an_anchor_at_another_site_was_taken_down(anchor: Item) -> None:
    there = SiteFactory()
    later = stamp(at=stamp().at + timedelta(days=3))
    dispatch(anchor, to=there, stamp=later)
    arrive(anchor, at=there, zone=ZoneFactory(site=there), stamp=later.again())
    anchor.refresh_from_db()
    assert anchor.fixed_on == DAY + timedelta(days=3)
    assert not verdict_of(anchor, DAY + timedelta(days=3)).usable


def test_the_makers_limits_count_every_piece_anew(item: Item, site: Site) -> None:
    other = ItemFactory(site=site, product=item.product)
    for each in (item, other):
        passed(each)
    limited(item, life_from_made_months=15)
    for each in (item, other):
        due = Due.objects.get(item=each)
        assert (due.clock, due.last_good_on) == ("life-from-made", date(2026, 4, 1))
    assert Entry.objects.filter(thing_kind="product", act__verb="state-limits").count() == 1


def test_a_maker_who_asks_for_less_than_the_scheme_changes_nothing(item: Item) -> None:
    passed(item)
    before = Due.objects.get(item=item).last_good_on
    limited(item, periodic_months=24)
    assert Due.objects.get(item=item).last_good_on == before


def test_limits_need_their_source(item: Item) -> None:
    with pytest.raises(Refusal, match="known from"):
        limited(item, because="", periodic_months=3)


def test_the_page_of_an_item_keeps_its_dates(client: Client, petra: User, item: Item) -> None:
    client.force_login(petra)
    address = reverse("inspections:item-dates", args=[item.code])
    assert "proof tests" not in client.get(address).content.decode()
    told = {"owner": "Lender", "hire_end_on": "2026-05-01", "because": "hire note"}
    assert client.post(address, told).status_code == 302
    item.refresh_from_db()
    assert (item.owner, item.hire_end_on) == ("Lender", date(2026, 5, 1))
    assert "Its dates were stated" in client.get(item.get_absolute_url()).content.decode()
    again = client.post(address, {**told, "because": "x"})
    assert "Nothing differs" in again.content.decode()
    assert 'value="Lender"' in again.content.decode()


def test_the_page_of_a_product_keeps_what_its_maker_says(
    client: Client, petra: User, item: Item
) -> None:
    client.force_login(petra)
    address = reverse("inspections:product-limits", args=[item.product_id])
    assert client.post(address, {"service_months": "12", "because": "p. 3"}).status_code == 302
    item.product.refresh_from_db()
    assert item.product.service_months == 12


def test_stores_of_one_site_change_no_limit_that_holds_everywhere(
    client: Client, item: Item
) -> None:
    client.force_login(user_as(Role.STORES, item.site))
    address = reverse("inspections:product-limits", args=[item.product_id])
    assert client.get(address).status_code == 200
    assert client.post(address, {"service_months": "12", "because": "p. 3"}).status_code == 403


def test_an_anchor_is_put_up_on_its_page_and_inspected_there_before_use(
    client: Client, site: Site, petra: User
) -> None:
    anchor = ItemFactory(site=site, product=ProductFactory(equipment_class="anchor"))
    today = clock.today(site)
    passed(anchor, today - timedelta(days=9), "installation")
    client.force_login(petra)
    assert reverse("inspections:item-place", args=[anchor.code]) in str(
        client.get(anchor.get_absolute_url()).content
    )
    zone = ZoneFactory(site=site)
    told = {"zone": zone.pk, "place": "AN-1", "put_up_on": today - timedelta(days=2)}
    address = reverse("inspections:item-place", args=[anchor.code])
    assert client.post(address, told).status_code == 302
    anchor.refresh_from_db()
    assert (anchor.zone, anchor.fixed_on) == (zone, told["put_up_on"])
    assert anchor.due.last_good_on is None
    passed(anchor, today, "installation")
    assert verdict_of(anchor, today).usable
    early = {**told, "place": "AN-2", "put_up_on": today - timedelta(days=30)}
    page = client.post(address, early).content.decode()
    assert "before" in page
    anchor.refresh_from_db()
    assert anchor.place == "AN-1"
