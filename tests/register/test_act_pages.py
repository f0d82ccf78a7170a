"""The pages of the acts on one item: done, refused with the sentence, or not allowed."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from register.actions.conditions import send_away, withdraw
from register.models import Item, Role, Site, User
from tests.factories import (
    ItemFactory,
    PersonFactory,
    SiteFactory,
    kit_of,
    stamp,
    user_as,
)

ACTS = (
    "item-quarantine",
    "item-withdraw",
    "item-destroy",
    "item-report-lost",
    "item-report-found",
    "item-send-away",
    "item-back",
    "item-let-go",
    "item-transfer",
    "item-retag",
)


@pytest.fixture
def stores(client: Client, petra: User) -> Client:
    client.force_login(petra)
    return client


def address(act: str, item: Item) -> str:
    return reverse(f"register:{act}", args=[item.code])


def done(client: Client, act: str, item: Item, **told: object) -> Item:
    """The item after the act was done."""
    answer = client.post(address(act, item), told)
    errors = answer.context["form"].errors if answer.context else ""
    assert answer.status_code == 302, errors
    return Item.objects.get(pk=item.pk)


def refused(client: Client, act: str, item: Item, **told: object) -> list[str]:
    """What the form says, the item unchanged and all that was typed still there."""
    before = Item.objects.filter(pk=item.pk).values().get()
    answer = client.post(address(act, item), told)
    assert answer.status_code == 200
    assert Item.objects.filter(pk=item.pk).values().get() == before
    form = answer.context["form"]
    for name, value in told.items():
        assert str(form[name].value()) == str(value)
    return [error for errors in form.errors.values() for error in errors]


@pytest.mark.parametrize("act", ACTS)
def test_each_act_has_a_page_that_changes_nothing(act: str, item: Item, stores: Client) -> None:
    before = Item.objects.filter(pk=item.pk).values().get()
    assert stores.get(address(act, item)).status_code == 200
    assert Item.objects.filter(pk=item.pk).values().get() == before


@pytest.mark.parametrize("act", ACTS)
def test_an_item_of_another_site_is_not_found(act: str, site: Site, client: Client) -> None:
    other = ItemFactory(site=SiteFactory())
    client.force_login(user_as(Role.STORES, site))
    assert client.get(address(act, other)).status_code == 404
    assert client.post(address(act, other), {"reason": "damage-found"}).status_code == 404


@pytest.mark.parametrize("act", sorted(set(ACTS) - {"item-quarantine", "item-report-found"}))
def test_a_worker_may_only_stop_or_find_an_item(act: str, item: Item, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, item.site))
    assert client.get(address(act, item)).status_code == 403
    assert client.post(address(act, item), {"x": "y"}).status_code == 403


def test_anyone_stops_an_item_at_once(item: Item, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, item.site))
    stopped = done(client, "item-quarantine", item, reason="damage-found", note="cut")
    assert (stopped.condition, stopped.quarantine_reason) == ("quarantined", "damage-found")


def test_a_quarantine_without_a_reason_is_asked_for_one(item: Item, stores: Client) -> None:
    assert refused(stores, "item-quarantine", item, note="cut") == ["Choose one under “Why”."]


def test_a_withdrawn_item_is_destroyed_before_somebody_else(
    item: Item, stores: Client, petra: User
) -> None:
    assert done(stores, "item-withdraw", item, ground="end of life").condition == "withdrawn"
    told = {"method": "webbing cut through"}
    assert refused(stores, "item-destroy", item, witness=petra.person_id, **told) == [
        "The witness must be somebody other than who destroys it."
    ]
    other = PersonFactory()
    assert done(stores, "item-destroy", item, witness=other.pk, **told).condition == "destroyed"


def test_an_item_in_service_is_withdrawn_before_it_is_destroyed(item: Item, stores: Client) -> None:
    told = {"method": "sawn", "witness": PersonFactory().pk}
    assert refused(stores, "item-destroy", item, **told) == [
        f"{item.shown_code} cannot be destroyed yet (in service). Withdraw it first."
    ]


def test_lost_and_found_ends_in_quarantine(item: Item, stores: Client) -> None:
    lost = done(stores, "item-report-lost", item, search_note="both vans, asked Morag")
    assert (lost.condition, lost.custody) == ("not-located", "not-located")
    found = done(stores, "item-report-found", item, site=item.site_id, where="behind the seat")
    assert (found.condition, found.quarantine_reason) == ("quarantined", "found-after-loss")


def test_what_was_not_lost_cannot_be_found(item: Item, stores: Client) -> None:
    assert refused(stores, "item-report-found", item, site=item.site_id, where="here") == [
        f"{item.shown_code} is not “not located” in the register, but “in service”."
    ]


def test_away_and_back_ends_in_quarantine(item: Item, stores: Client) -> None:
    assert done(stores, "item-send-away", item, to="Halvard", reference="R-1").condition == "away"
    back = done(stores, "item-back", item, certificate="SC-77")
    assert (back.condition, back.quarantine_reason) == ("quarantined", "back-from-service")


def test_an_item_away_is_not_sent_a_second_time(item: Item, stores: Client) -> None:
    send_away(item, to="Halvard", reference="", stamp=stamp())
    assert refused(stores, "item-send-away", item, to="Halvard", reference="") == [
        f"{item.shown_code} is already in this condition: away for service."
    ]


def test_an_item_leaves_for_somebody_named(item: Item, stores: Client) -> None:
    assert done(stores, "item-let-go", item, recipient="the hirer").condition == "left"


def test_an_item_goes_to_another_site_and_a_kit_part_does_not(item: Item, stores: Client) -> None:
    there = SiteFactory()
    sent = done(stores, "item-transfer", item, to=there.pk)
    assert (sent.custody, sent.bound_for) == ("in-transit", there)
    part = kit_of(item.site).parts.first().item
    assert refused(stores, "item-transfer", part, to=there.pk) == [
        f"{part.shown_code} is in kit RK-01: send the kit."
    ]


def test_a_new_tag_needs_the_serial_read_from_the_item(item: Item, stores: Client) -> None:
    [wrong] = refused(stores, "item-retag", item, because="worn", serial="HT-99999")
    assert wrong.startswith("“HT-99999” is not the serial of")
    tagged = done(stores, "item-retag", item, because="worn", serial=item.serial.lower())
    assert tagged.code != item.code
    assert list(tagged.tags.values_list("issue", flat=True)) == [2, 1]


def test_the_serial_to_be_read_is_not_shown_beside_the_question(item: Item, stores: Client) -> None:
    assert item.serial not in stores.get(address("item-retag", item)).content.decode()


def test_a_withdrawn_item_is_not_brought_back_by_any_page(item: Item, stores: Client) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    stores.post(address("item-quarantine", item), {"reason": "damage-found"})
    stores.post(address("item-report-lost", item), {"search_note": "everywhere"})
    stores.post(address("item-report-found", item), {"site": item.site_id, "where": "van"})
    stores.post(address("item-back", item), {"certificate": "SC-1"})
    assert Item.objects.get(pk=item.pk).condition == "withdrawn"
