"""Rescue kits: made up, filled, sealed, opened, hung, and what the list says of them."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from register import clock
from register.actions.conditions import quarantine
from register.models import Item, Kit, Role, Site, User
from tests.factories import (
    ItemFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    kit_of,
    stamp,
    user_as,
)

ACTS = ("kit-fill", "kit-take-out", "kit-seal", "kit-unseal", "kit-place")


@pytest.fixture
def stores(client: Client, petra: User) -> Client:
    client.force_login(petra)
    return client


def address(act: str, kit: Kit) -> str:
    return reverse(f"register:{act}", args=[kit.name])


def says(client: Client, kit: Kit) -> str:
    sentence: str = client.get(kit.get_absolute_url()).context["sentence"]
    return sentence


def test_a_kit_is_made_filled_and_sealed(site: Site, stores: Client) -> None:
    bag = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-kit"))
    rope = ItemFactory(site=site, product=ProductFactory(equipment_class="rope"))
    told = {"bag": bag.code, "name": "RK-9", "roles": "descender\n rope  50 m \n"}
    assert stores.post(reverse("register:kit-new"), told).status_code == 302
    kit = Kit.objects.get(name="RK-9")
    assert list(kit.parts.values_list("role", flat=True)) == ["descender", "rope 50 m"]
    seal = stores.post(address("kit-seal", kit), {"number": "S-77"})
    assert seal.context["form"].non_field_errors() == [
        "Kit RK-9 lacks descender, rope 50 m. Fill it first."
    ]
    assert seal.context["form"]["number"].value() == "S-77"
    descender = ItemFactory(site=site, product=ProductFactory(equipment_class="descender"))
    for role, item in (("rope 50 m", rope), ("descender", descender)):
        filled = stores.post(address("kit-fill", kit), {"role": role, "item": item.shown_code})
        assert filled.status_code == 302
    assert stores.post(address("kit-seal", kit), {"number": "S-77"}).status_code == 302
    kit.refresh_from_db()
    assert (kit.seal_number, kit.seal_intact) == ("S-77", True)


@pytest.mark.parametrize(
    ("told", "field", "sentence"),
    [
        ({"roles": "sling\nSling"}, "roles", "“Sling” stands there twice. Number the parts."),
        ({"name": "a/b"}, "name", "Choose a name without a slash that is not “new”."),
        ({"bag": "harness"}, "bag", None),
    ],
)
def test_a_kit_that_cannot_be_made_keeps_the_form(
    told: dict[str, str], field: str, sentence: str | None, site: Site, stores: Client
) -> None:
    bag = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-kit"))
    given = {"bag": bag.code, "name": "RK-9", "roles": "rope", **told}
    form = stores.post(reverse("register:kit-new"), given).context["form"]
    assert list(form.errors) == [field]
    assert sentence is None or form.errors[field] == [sentence]
    assert {name: form[name].value() for name in given} == given
    assert Kit.objects.count() == 0


def test_a_harness_is_no_bag(item: Item, stores: Client) -> None:
    given = {"bag": item.code, "name": "RK-9", "roles": "rope"}
    form = stores.post(reverse("register:kit-new"), given).context["form"]
    assert form.non_field_errors() == [f"{item.shown_code} is not of the class rescue kit."]


def test_a_name_given_before_is_refused(site: Site, stores: Client) -> None:
    kit_of(site)
    bag = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-kit"))
    given = {"bag": bag.code, "name": "RK-01", "roles": "rope"}
    form = stores.post(reverse("register:kit-new"), given).context["form"]
    assert form.errors == {"name": ["There is a kit RK-01 already."]}


def test_an_opened_seal_or_a_missing_part_puts_the_kit_out(site: Site, stores: Client) -> None:
    kit = kit_of(site, on=clock.today(site))
    assert says(stores, kit).startswith("OK to use until ")
    stores.post(address("kit-unseal", kit), {"kind": "broken", "reason": "tape gone"})
    assert says(stores, kit) == "DO NOT USE: the seal is broken"
    stores.post(address("kit-take-out", kit), {"role": "rope"})
    assert says(stores, kit) == "DO NOT USE: a required part is missing"
    page = stores.get(kit.get_absolute_url()).content.decode()
    assert "tape gone" in page
    assert "<b>Missing</b>" in page


def test_a_part_out_of_use_is_named_on_the_list(site: Site, stores: Client) -> None:
    kit = kit_of(site, on=clock.today(site))
    part = kit.parts.get(role="rope").item
    quarantine(part, reason="damage-found", stamp=stamp())
    [(_, sentence)] = stores.get(reverse("inspections:kit-list")).context["rows"]
    assert sentence == (
        f"DO NOT USE: rope {part.shown_code} in this kit: in quarantine: damage found"
    )


def test_a_kit_hangs_in_a_zone_of_its_own_site(site: Site, stores: Client) -> None:
    kit = kit_of(site)
    zone, elsewhere = ZoneFactory(site=site), ZoneFactory()
    wrong = stores.post(address("kit-place", kit), {"zone": elsewhere.pk, "place": "by the hatch"})
    assert list(wrong.context["form"].errors) == ["zone"]
    stores.post(address("kit-place", kit), {"zone": zone.pk, "place": "by the hatch"})
    kit.item.refresh_from_db()
    assert (kit.item.zone, kit.item.place) == (zone, "by the hatch")


def test_five_kits_cost_as_many_queries_as_one(site: Site, stores: Client) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert stores.get(reverse("inspections:kit-list")).status_code == 200
        return len(caught)

    kit_of(site)
    few = queries()
    for number in range(2, 6):
        kit_of(site, name=f"RK-0{number}")
    assert queries() == few


@pytest.mark.parametrize("act", ACTS)
def test_a_kit_of_another_site_is_not_found(act: str, site: Site, client: Client) -> None:
    kit = kit_of(SiteFactory())
    client.force_login(user_as(Role.STORES, site))
    assert client.get(address(act, kit)).status_code == 404
    assert client.post(address(act, kit), {"number": "S-9"}).status_code == 404
    assert client.get(kit.get_absolute_url()).status_code == 404


@pytest.mark.parametrize("act", ACTS)
def test_a_worker_sees_a_kit_and_may_not_touch_it(act: str, site: Site, client: Client) -> None:
    kit = kit_of(site)
    client.force_login(user_as(Role.WORKER, site))
    assert client.get(kit.get_absolute_url()).context["acts"] == []
    assert client.get(address(act, kit)).status_code == 403
    assert client.get(reverse("register:kit-new")).status_code == 403
