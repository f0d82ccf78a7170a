"""People: found, entered, changed, and what they hold."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from register.models import Entry, Person, Role, Site, User
from tests.factories import ItemFactory, PersonFactory, SiteFactory, passed, user_as


@pytest.fixture
def manager(client: Client, oyelaran: User) -> Client:
    client.force_login(oyelaran)
    return client


def test_people_are_found_by_a_part_of_their_name_or_employer(manager: Client) -> None:
    ines = PersonFactory(name="Ines Carrow", employer="Tarn & Wold")
    PersonFactory(name="Bo Marsh", employer="Ridge Ltd")
    for words in ("carr", "wold", "  ines   carrow "):
        page = manager.get(reverse("register:person-list"), {"q": words}).context["page"]
        assert list(page) == [ines]


def test_somebody_is_entered_without_their_name_in_the_ledger(site: Site, manager: Client) -> None:
    told = {"name": " Ines  Carrow", "employer": "Tarn & Wold", "home_site": site.pk}
    assert manager.post(reverse("register:person-new"), told).status_code == 302
    ines = Person.objects.get(name="Ines Carrow")
    [entry] = Entry.objects.filter(thing_kind="person", thing_id=str(ines.pk))
    assert entry.facts == {"home_site": "corrick", "left_on": None}
    assert "Ines" not in entry.body


def test_the_same_name_at_one_employer_is_refused_and_the_form_kept(manager: Client) -> None:
    PersonFactory(name="Ines Carrow", employer="Tarn & Wold")
    told = {"name": "ines carrow", "employer": "tarn & wold"}
    form = manager.post(reverse("register:person-new"), told).context["form"]
    assert form.non_field_errors()[0].startswith("ines carrow is entered already")
    assert form["employer"].value() == "tarn & wold"


def test_a_leaver_is_noted(site: Site, manager: Client) -> None:
    ines = PersonFactory(name="Ines Carrow", home_site=site)
    told = {"name": "Ines Carrow", "employer": "", "home_site": site.pk, "left_on": "2026-05-01"}
    assert manager.post(reverse("register:person-edit", args=[ines.pk]), told).status_code == 302
    ines.refresh_from_db()
    assert ines.left_on is not None
    assert ines.left_on.isoformat() == "2026-05-01"


def test_what_somebody_holds_stands_there_with_its_verdict(site: Site, manager: Client) -> None:
    ines = PersonFactory(name="Ines Carrow", home_site=site)
    item = ItemFactory(site=site, holder=ines, custody="person")
    ItemFactory(site=site)
    answer = manager.get(reverse("inspections:person-detail", args=[ines.pk]))
    assert [row.pk for row in answer.context["table"].shown_items] == [item.pk]
    assert "periodic examination" in answer.content.decode()


def test_ten_held_items_cost_as_many_queries_as_one(site: Site, manager: Client) -> None:
    ines = PersonFactory(name="Ines Carrow", home_site=site)
    address = reverse("inspections:person-detail", args=[ines.pk])

    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            assert manager.get(address).status_code == 200
        return len(caught)

    passed(ItemFactory(site=site, holder=ines, custody="person"))
    few = queries()
    for _ in range(9):
        passed(ItemFactory(site=site, holder=ines, custody="person"))
    assert queries() == few


def test_people_of_another_site_are_not_found(site: Site, client: Client) -> None:
    other = PersonFactory(home_site=SiteFactory())
    client.force_login(user_as(Role.SUPERVISOR, site))
    assert client.get(reverse("inspections:person-detail", args=[other.pk])).status_code == 404
    assert client.get(reverse("register:person-edit", args=[other.pk])).status_code == 404


def test_the_stores_controller_sees_people_and_does_not_change_them(
    site: Site, client: Client, petra: User
) -> None:
    client.force_login(petra)
    person = PersonFactory(home_site=site)
    assert client.get(reverse("register:person-list")).status_code == 200
    assert client.get(reverse("register:person-new")).status_code == 403
    assert client.post(reverse("register:person-edit", args=[person.pk]), {}).status_code == 403
    page = client.get(reverse("inspections:person-detail", args=[person.pk])).content.decode()
    assert "/edit/" not in page


def test_a_worker_does_not_see_people(site: Site, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, site))
    assert client.get(reverse("register:person-list")).status_code == 403
