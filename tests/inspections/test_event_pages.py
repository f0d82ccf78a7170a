"""The pages of events: recorded with one press, told in full, and let go by two people."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Arrest, Event
from register import clock
from register.actions.conditions import withdraw
from register.models import Item, Site, User
from tests.factories import (
    ItemFactory,
    PersonFactory,
    ProductFactory,
    ZoneFactory,
    inspector,
    kit_of,
    stamp,
    user_as,
)


@pytest.fixture
def supervisor(client: Client, site: Site) -> User:
    user = user_as("supervisor", site)
    client.force_login(user)
    return user


def told(site: Site, **changed: object) -> dict[str, object]:
    at = clock.now() - timedelta(days=1)
    common = {"site": site.code, "on": at.date().isoformat(), "at": "10:12"}
    return {**common, "kind": "flood", "account": "The store stood under water.", **changed}


def post(client: Client, page: str, *args: object, **sent: object) -> str:
    address = reverse(f"inspections:{page}", args=args)
    return client.post(address, sent, follow=True).content.decode()


def out(*items: Item) -> set[Item]:
    keys = [item.pk for item in items]
    return set(Item.objects.filter(pk__in=keys, condition="quarantined"))


def test_a_crate_a_kit_a_zone_and_a_person_are_taken_out_whole(
    client: Client, supervisor: User, site: Site
) -> None:
    zone, person, kit = ZoneFactory(site=site), PersonFactory(home_site=site), kit_of(site)
    inside = [part.item for part in kit.parts.all()]
    crated, zoned = ItemFactory(site=site, place="Crate 2"), ItemFactory(site=site, zone=zone)
    held = ItemFactory(site=site, holder=person, custody="person")
    other = ItemFactory(site=site)
    sent = told(site, whole_place="crate 2", zone=zone.pk, whole_zone="on")
    page = post(client, "event-new", **sent, held_by=person.pk, whole_kit=kit.pk)
    everything = {crated, zoned, held, kit.item, *inside}
    assert out(*everything, other) == everything
    assert f"Still out: {len(everything)} of {len(everything)}" in page
    assert "The store stood under water." in page


def test_of_a_zone_a_load_test_takes_the_anchors_alone(
    client: Client, supervisor: User, site: Site
) -> None:
    zone = ZoneFactory(site=site)
    anchor = ItemFactory(site=site, zone=zone, product=ProductFactory(equipment_class="anchor"))
    harness = ItemFactory(site=site, zone=zone)
    post(client, "event-new", **told(site, kind="load-test", zone=zone.pk, whole_zone="on"))
    assert out(anchor, harness) == {anchor}


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"kind": ""}, "Choose one under “What happened”."),
        ({"on": "2999-01-01"}, "1 Jan 2999 at 10:12 is in the future"),
        ({"codes": ""}, "Name the tags, or choose a kit, a person, a zone or a place"),
        ({"whole_zone": "on"}, "Choose the zone of which everything is to be taken out."),
        ({"codes": "H7K-????"}, "is mistyped: compare with the tag"),
    ],
)
def test_bad_input_is_told_and_nothing_is_recorded(
    client: Client, supervisor: User, item: Item, changed: dict[str, str], sentence: str
) -> None:
    page = post(client, "event-new", **told(item.site, codes=item.code) | changed)
    assert sentence in page
    assert "The store stood under water." in page
    assert not Event.objects.exists()
    assert not out(item)


def test_the_list_says_how_much_of_each_event_is_still_out(
    client: Client, supervisor: User, site: Site, django_assert_max_num_queries: object
) -> None:
    item, fine = ItemFactory(site=site), ItemFactory(site=site)
    for _ in range(3):
        post(client, "event-new", **told(site, codes=f"{item.code}\n{fine.code}"))
    Item.objects.filter(pk=fine.pk).update(condition="in-service", out_since_at=None)
    with django_assert_max_num_queries(8):  # type: ignore[operator]
        page = client.get(reverse("inspections:event-list")).content.decode()
    assert page.count('<td data-label="Items" class="num">2</td>') == 3
    assert page.count('<td data-label="Still out" class="num">1</td>') == 3


def test_later_words_stand_beside_the_first(client: Client, supervisor: User, item: Item) -> None:
    post(client, "event-new", **told(item.site, codes=item.code))
    event, more = Event.objects.get(), ItemFactory(site=item.site)
    page = post(client, "event-account", event.pk, text="It was river water.", items=more.code)
    assert "The store stood under water." in page
    assert "It was river water." in page
    assert out(more) == {more}


@pytest.fixture
def arrest(client: Client, supervisor: User, item: Item) -> Arrest:
    """A harness held a fall; its zone is named."""
    zone = ZoneFactory(site=item.site)
    post(client, "arrest-new", **told(item.site, codes=item.code, zone=zone.pk))
    return Arrest.objects.get()


def test_the_others_on_the_line_and_the_kit_are_told_on_the_first_page(
    client: Client, supervisor: User, item: Item
) -> None:
    site = item.site
    neighbour, kit = PersonFactory(name="Ines Carrow", home_site=site), kit_of(site)
    theirs = ItemFactory(site=site, holder=neighbour, custody="person")
    zone = ZoneFactory(site=site)
    sent = told(site, codes=item.code, zone=zone.pk, others="Ines Carrow", rescue_kit=kit.pk)
    page = post(client, "arrest-new", **sent)
    assert out(item, theirs, kit.item) == {item, theirs, kit.item}
    assert "On the same line" in page
    assert "Used in the rescue" in page


def test_what_is_known_later_is_filled_in_once(
    client: Client, arrest: Arrest, supervisor: User
) -> None:
    PersonFactory(name="Ines Carrow", home_site=arrest.site)
    sent = {"free_fall_m": "1.5", "first_aid": "yes", "rescuers": "Ines Carrow", "task": "Rodding"}
    page = post(client, "arrest-particulars", arrest.pk, **sent)
    for words in ("about 1.5 m", "Ines Carrow", "Rodding"):
        assert words in page
    address = reverse("inspections:arrest-particulars", args=[arrest.pk])
    form = client.get(address).content.decode()
    assert 'name="free_fall_m"' not in form
    assert 'name="suspended_minutes"' in form
    assert "Write nothing about injuries or health" in form or "first_aid" not in form


def test_two_people_let_the_evidence_go_on_its_page(
    client: Client, arrest: Arrest, item: Item, huw: User, oyelaran: User
) -> None:
    client.force_login(huw)
    page = client.get(item.get_absolute_url()).content.decode()
    assert "<b>Held as evidence</b>" in page
    page = post(client, "event-release", arrest.pk, because="The insurer has seen it.")
    assert "Asked. A second person has to agree." in page
    assert (
        "Ask for the release"
        in client.get(reverse("inspections:event-release", args=[arrest.pk])).content.decode()
    )
    client.force_login(oyelaran)
    address = reverse("inspections:event-release", args=[arrest.pk])
    assert "The insurer has seen it." in client.get(address).content.decode()
    assert "The evidence is released." in post(client, "event-release", arrest.pk, agreed="on")
    assert "<b>Held as evidence</b>" not in client.get(item.get_absolute_url()).content.decode()


def test_two_people_undo_a_withdrawal_on_its_page(
    client: Client, item: Item, oyelaran: User
) -> None:
    withdraw(item, ground="policy", stamp=stamp())
    client.force_login(inspector(on=clock.today(item.site)))
    assert "Asked." in post(client, "item-undo", item.code, because="Its twin was meant.")
    client.force_login(oyelaran)
    page = client.get(reverse("inspections:item-undo", args=[item.code])).content.decode()
    assert "Its twin was meant." in page
    page = post(client, "item-undo", item.code, agreed="")
    assert "Read “I have read the reason and looked into it, and I agree” and tick it." in page
    post(client, "item-undo", item.code, agreed="on")
    assert out(item) == {item}
