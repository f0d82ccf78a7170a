"""Goods in: particulars once, serials filled and read, then accepted, rejected or kept waiting."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from register import clock
from register.forms.deliveries import MOST_BYTES
from register.models import Delivery, Document, Item, Product, Role, Site, User
from tests.factories import ItemFactory, ProductFactory, SiteFactory, user_as

ADDRESS = "/deliveries/new/"


@pytest.fixture
def stores(client: Client, petra: User) -> Client:
    client.force_login(petra)
    return client


@pytest.fixture
def particulars(site: Site) -> dict[str, Any]:
    return {
        "product": ProductFactory(designation="Heron", maker="Halvard Textiles").pk,
        "site": site.pk,
        "received_on": clock.today(site).isoformat(),
        "delivery_note": "DN-40",
        "made": "2026-03",
        "size": "M",
        "use_class": "normal",
        "serials": "HT-0098\nHT-0099",
    }


def unread(serials: list[str], **sizes: str) -> dict[str, Any]:
    """The second step's fields, no label ticked yet."""
    fields: dict[str, Any] = {"piece-TOTAL_FORMS": len(serials), "piece-INITIAL_FORMS": 0}
    for at, serial in enumerate(serials):
        fields |= {f"piece-{at}-serial": serial, f"piece-{at}-size": sizes.get(serial, "M")}
    return fields


def labels(serials: list[str], **sizes: str) -> dict[str, Any]:
    """The second step's fields, every label ticked."""
    ticks = {f"piece-{at}-seen": "on" for at in range(len(serials))}
    return unread(serials, **sizes) | ticks


def received(client: Client, told: dict[str, Any], serials: list[str], **sizes: str) -> Delivery:
    answer = client.post(ADDRESS, {**told, **labels(serials, **sizes), "save": "yes"})
    errors = answer.context and (answer.context["form"].errors, answer.context["pieces"].errors)
    assert answer.status_code == 302, errors
    made: Delivery = Delivery.objects.get()
    return made


def test_a_range_fills_the_serials_and_keeps_all_that_was_typed(
    particulars: dict[str, Any], stores: Client
) -> None:
    told = {**particulars, "serials": "X-1", "first": "HT-0098", "count": "3", "fill": "yes"}
    form = stores.post(ADDRESS, told).context["form"]
    assert form["serials"].value().split() == ["X-1", "HT-0098", "HT-0099", "HT-0100"]
    assert form["delivery_note"].value() == "DN-40"
    assert Item.objects.count() == 0


@pytest.mark.parametrize(
    ("first", "count", "wrong"),
    [
        ("HT-", "3", "“HT-” does not end in digits, so that nothing can be counted on"),
        ("A99", "2", "2 serials from “A99” need more digits than it has"),
        ("A1", "", "Say how many there are."),
    ],
)
def test_a_range_that_cannot_be_is_told(
    first: str, count: str, wrong: str, particulars: dict[str, Any], stores: Client
) -> None:
    told = {**particulars, "first": first, "count": count, "fill": "yes"}
    answer = stores.post(ADDRESS, told)
    assert answer.context["wrong"] == wrong
    assert answer.context["form"]["serials"].value() == particulars["serials"]


def test_nothing_is_saved_before_each_label_was_read(
    particulars: dict[str, Any], stores: Client
) -> None:
    page = stores.post(ADDRESS, {**particulars, "check": "yes"})
    assert "Read each label" in page.content.decode()
    assert [f["serial"].value() for f in page.context["pieces"]] == ["HT-0098", "HT-0099"]
    pieces = unread(["HT-0098", "HT-0099"])
    page = stores.post(ADDRESS, {**particulars, **pieces, "save": "yes"})
    assert [form.errors for form in page.context["pieces"]] == [
        {"seen": ["Read this label and tick it."]}
    ] * 2
    assert (Item.objects.count(), Delivery.objects.count()) == (0, 0)


def test_pieces_are_received_with_their_tags_and_none_is_accepted(
    particulars: dict[str, Any], stores: Client
) -> None:
    sizes = {"HT-0099": "XL"}
    delivery = received(stores, particulars, ["HT-0098", "HT-0099"], **sizes)
    items = list(delivery.items.order_by("serial"))
    assert [(i.serial, i.size, i.condition, i.made_first_on) for i in items] == [
        ("HT-0098", "M", "received", date(2026, 3, 1)),
        ("HT-0099", "XL", "received", date(2026, 3, 1)),
    ]
    page = stores.get(reverse("inspections:delivery-detail", args=[delivery.pk])).content.decode()
    assert all(item.shown_code in page for item in items)
    assert f"/labels/?delivery={delivery.pk}" in page


def test_the_same_serial_twice_is_alarmed_before_saving(
    particulars: dict[str, Any], stores: Client
) -> None:
    told = {**particulars, "serials": "HT-0098\nht 0098\nHT-0099", "check": "yes"}
    form = stores.post(ADDRESS, told).context["form"]
    assert form.errors["serials"] == ["Entered twice: HT-0098, ht 0098. Look at both labels."]
    assert form["serials"].value() == told["serials"]


def test_a_serial_registered_before_is_alarmed_before_saving_and_refused_after(
    particulars: dict[str, Any], site: Site, stores: Client
) -> None:
    known = ItemFactory(site=site, product_id=particulars["product"], serial="HT 0098")
    page = stores.post(ADDRESS, {**particulars, "check": "yes"}).content.decode()
    assert f"is {known.shown_code}. Look at both labels" in page
    serials = ["HT-0098", "HT-0099"]
    answer = stores.post(ADDRESS, {**particulars, **labels(serials), "save": "yes"})
    assert answer.context["form"].non_field_errors() == [
        f"Serial HT 0098 of Halvard Textiles Heron is registered already as {known.shown_code}."
        " Look at both labels: one of them is misread."
    ]
    assert Item.objects.count() == 1


def test_a_new_product_is_entered_with_its_first_delivery_or_not_at_all(
    particulars: dict[str, Any], stores: Client
) -> None:
    new = {"maker": "Norrhake", "designation": "Skua 3", "equipment_class": "retractable"}
    told = {**particulars, "product": "", **new}
    bad = stores.post(ADDRESS, {**told, **labels(["A-1", "A-1"]), "save": "yes"})
    assert bad.status_code == 200
    assert not Product.objects.filter(maker="Norrhake").exists()
    delivery = received(stores, told, ["A-1", "A-2"])
    assert str(delivery.product) == "Norrhake Skua 3"


def test_a_new_product_without_its_class_is_asked_for_it(
    particulars: dict[str, Any], stores: Client
) -> None:
    told = {**particulars, "product": "", "maker": "Norrhake", "designation": "Skua", "check": "y"}
    assert stores.post(ADDRESS, told).context["form"].errors == {
        "equipment_class": ["A new product needs this; else choose one above."]
    }


def test_a_declaration_is_kept_from_the_first_step_to_the_last(
    particulars: dict[str, Any], stores: Client
) -> None:
    file = SimpleUploadedFile("doc.pdf", b"%PDF-1.4 declared")
    told = {**particulars, "declaration_on": "2026-03-01"}
    page = stores.post(ADDRESS, {**told, "declaration": file, "check": "yes"})
    kept = page.context["form"]["kept"].value()
    assert f'name="kept" value="{kept}"' in page.content.decode()
    delivery = received(stores, {**told, "kept": kept}, ["HT-0098", "HT-0099"])
    assert delivery.declaration == Document.objects.get(sha256=kept)
    assert delivery.declaration_on == date(2026, 3, 1)


def test_a_file_too_large_for_a_declaration_is_not_kept(
    particulars: dict[str, Any], stores: Client
) -> None:
    file = SimpleUploadedFile("film.pdf", b"x" * (MOST_BYTES + 1))
    told = {**particulars, "declaration_on": "2026-03-01", "declaration": file, "check": "yes"}
    form = stores.post(ADDRESS, told).context["form"]
    assert form.errors == {"declaration": ["“film.pdf” is larger than 20 MB: is it this file?"]}
    assert Document.objects.count() == 0


def test_a_made_date_in_another_form_is_asked_again(
    particulars: dict[str, Any], stores: Client
) -> None:
    form = stores.post(ADDRESS, {**particulars, "made": "03/26", "check": "yes"}).context["form"]
    assert form.errors["made"] == [
        "Write the year, month, week or day as 2026, 2026-03, 2026-W11 or 2026-03-09."
    ]
    assert form["made"].value() == "03/26"


def lifting(particulars: dict[str, Any]) -> dict[str, Any]:
    return {**particulars, "product": ProductFactory(equipment_class="descender").pk}


def test_lifting_equipment_without_a_declaration_stays_received_until_it_comes(
    particulars: dict[str, Any], stores: Client
) -> None:
    delivery = received(stores, lifting(particulars), ["D-1", "D-2"])
    address = reverse("inspections:delivery-detail", args=[delivery.pk])
    assert "is examined thoroughly before first use" in stores.get(address).content.decode()
    accept = reverse("inspections:delivery-accept", args=[delivery.pk])
    page = stores.post(accept, {"which": "all"}, follow=True).content.decode()
    assert "before first use it has to pass: Thorough examination" in page
    assert set(delivery.items.values_list("condition", flat=True)) == {"received"}
    file = SimpleUploadedFile("doc.pdf", b"%PDF-1.4 declared later")
    declared = {"declaration": file, "declaration_on": clock.today(delivery.site).isoformat()}
    come = stores.post(reverse("inspections:delivery-declare", args=[delivery.pk]), declared)
    assert come.status_code == 302
    stores.post(accept, {"which": "all"})
    assert set(delivery.items.values_list("condition", flat=True)) == {"in-service"}


def test_the_chosen_are_accepted_and_the_others_wait(
    particulars: dict[str, Any], stores: Client
) -> None:
    delivery = received(stores, particulars, ["HT-0098", "HT-0099"])
    one, other = delivery.items.order_by("serial")
    accept = reverse("inspections:delivery-accept", args=[delivery.pk])
    stores.post(accept, {"which": "chosen"})
    assert delivery.items.filter(condition="in-service").count() == 0
    stores.post(accept, {"which": "chosen", "item": [one.pk]})
    assert list(delivery.items.order_by("serial").values_list("condition", flat=True)) == [
        "in-service",
        "received",
    ]
    assert one.pk != other.pk


def test_rejected_pieces_go_back_with_the_reason(
    particulars: dict[str, Any], stores: Client
) -> None:
    delivery = received(stores, particulars, ["HT-0098", "HT-0099"])
    one, other = delivery.items.order_by("serial")
    address = reverse("inspections:delivery-reject", args=[delivery.pk])
    page = stores.post(address, {"item": [one.pk], "because": " "}, follow=True)
    assert "Say why they are rejected." in page.content.decode()
    assert page.context["chosen"] == [str(one.pk)]
    stores.post(address, {"item": [one.pk], "because": "label sewn on upside down"})
    one.refresh_from_db()
    other.refresh_from_db()
    assert (one.condition, other.condition) == ("left", "received")


def test_who_may_not_receive_is_refused(
    particulars: dict[str, Any], site: Site, stores: Client
) -> None:
    delivery = received(stores, particulars, ["HT-0098"])
    stores.force_login(user_as(Role.SUPERVISOR, site))
    assert stores.get(ADDRESS).status_code == 403
    for page in ("inspections:delivery-reject", "inspections:delivery-declare"):
        assert stores.post(reverse(page, args=[delivery.pk])).status_code == 403
    accept = reverse("inspections:delivery-accept", args=[delivery.pk])
    assert stores.post(accept, {"which": "all"}).status_code == 403
    stores.force_login(user_as(Role.STORES, SiteFactory()))
    assert stores.get(reverse("inspections:delivery-detail", args=[delivery.pk])).status_code == 404
    assert stores.post(accept, {"which": "all"}).status_code == 404


def test_a_delivery_for_a_site_that_is_not_mine_is_refused(
    particulars: dict[str, Any], site: Site, client: Client
) -> None:
    client.force_login(user_as(Role.STORES, SiteFactory()))
    form = client.post(ADDRESS, {**particulars, "check": "yes"}).context["form"]
    assert list(form.errors) == ["site"]


def test_hired_pieces_carry_their_owner_and_the_end_of_their_hire(
    particulars: dict[str, Any], stores: Client
) -> None:
    told = {**particulars, "owner": "Lender", "hire_end_on": "2026-12-31"}
    received(stores, told, ["HT-0098", "HT-0099"])
    found = set(Item.objects.values_list("owner", "hire_end_on", "purchased_on"))
    assert found == {("Lender", date(2026, 12, 31), None)}


@pytest.mark.parametrize(
    ("told", "field"),
    [({"owner": "Lender"}, "hire_end_on"), ({"hire_end_on": "2026-12-31"}, "owner")],
)
def test_a_hire_without_its_owner_or_its_end_is_asked_for(
    told: dict[str, str], field: str, particulars: dict[str, Any], stores: Client
) -> None:
    answer = stores.post(ADDRESS, {**particulars, **told, "check": "yes"})
    assert field in answer.context["form"].errors
    assert not Item.objects.exists()
