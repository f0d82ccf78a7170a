"""Every list as a file: beside its page, with its need, its rows and its filters, and no more."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from django.test import Client
from django.urls import resolve, reverse
from python_calamine import CalamineWorkbook

from readiness.views.lists import EVERY
from register.access import NEEDS
from register.lists.listing import Listing
from register.models import Errand, Role
from tests.factories import ItemFactory, PersonFactory, SiteFactory, passed, user_as
from tests.test_pages import World, client_as, world

pytestmark = pytest.mark.django_db


def named(listing: Listing, there: World) -> dict[str, Any]:
    site = {"site": there.site.code} if "<slug:site>" in listing.address else {}
    return {"pk": there.examples["notice"]["pk"]} if "<int:pk>" in listing.address else site


def address(listing: Listing, there: World) -> str:
    name = f"{listing.page.split(':')[0]}:{listing.name}-file"
    return reverse(name, kwargs=named(listing, there))


def told(response: Any) -> list[dict[str, str]]:
    text = b"".join(response.streaming_content).decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_every_list_is_offered_on_its_page_and_asks_the_pages_need() -> None:
    """For each list a role that may: the page holds the link, and the file opens with its columns."""
    here, wrong = world("here"), []
    clients = {role: client_as(role, here.site) for role in Role}
    for one in EVERY:
        page = reverse(one.page, kwargs=named(one, here))
        client = clients[min(NEEDS[one.need])]
        if resolve(page).func.needs != one.need:  # type: ignore[attr-defined]
            wrong.append(f"{one.name}: another need than its page")
        if f"{address(one, here)}?as=xlsx" not in client.get(page).content.decode():
            wrong.append(f"{one.name}: not offered on its page")
        text = b"".join(client.get(address(one, here), {"as": "csv-plain"}).streaming_content)  # type: ignore[arg-type]
        heads = next(csv.reader(io.StringIO(text.decode())))
        if heads != [column.name for column in one.columns]:
            wrong.append(f"{one.name}: {heads}")
    assert wrong == []


def test_names_of_lists_and_of_their_columns_are_there_once() -> None:
    names = [one.name for one in EVERY]
    assert len(set(names)) == len(names)
    for one in EVERY:
        columns = [column.name for column in one.columns]
        assert len(set(columns)) == len(columns)
        assert all(str(column.title) for column in one.columns)


def test_a_file_holds_what_the_reader_sees_and_no_other_site() -> None:
    here, there = SiteFactory(code="here"), SiteFactory(code="there")
    mine, other = ItemFactory(site=here, serial="0007"), ItemFactory(site=there)
    client = Client()
    client.force_login(user_as(Role.STORES, here))
    found = told(client.get("/lists/equipment/", {"as": "csv-plain"}))
    assert [(row["tag"], row["serial"]) for row in found] == [(mine.shown_code, "0007")]
    assert other.shown_code not in {row["tag"] for row in found}


def test_a_file_is_chosen_by_the_filters_of_the_page_and_says_so() -> None:
    here = SiteFactory(code="here", name="Corrick Quay")
    good, bad = ItemFactory(site=here), ItemFactory(site=here)
    passed(good)
    client = Client()
    client.force_login(user_as(Role.STORES))
    asked = {"usable": "no", "site": "here", "as": "xlsx"}
    file = io.BytesIO(b"".join(client.get("/lists/equipment/", asked).streaming_content))  # type: ignore[arg-type]
    book = CalamineWorkbook.from_filelike(file)
    rows = book.get_sheet_by_name("Equipment").to_python()
    about = dict(book.get_sheet_by_name("About").to_python())
    assert bad.shown_code in {row[0] for row in rows}
    assert about["Chosen by"] == "Site: Corrick Quay; Use: Not usable"
    assert about["Rows"] == str(len(rows) - 1)
    assert "look at the tag" in about["Caution"]
    assert about["Column: Usable"] == (
        "yes or no (usable). At the moment this file was made. No means: do not use."
    )


def test_a_filter_that_cannot_be_read_gives_no_file_but_the_page_and_the_reason() -> None:
    client = Client()
    client.force_login(user_as(Role.STORES, SiteFactory()))
    response = client.get("/lists/equipment/", {"site": "nowhere", "as": "csv"}, follow=True)
    assert response.redirect_chain == [("/items/?site=nowhere", 302)]
    assert "The list was not taken away, because a filter cannot be read." in (
        response.content.decode()
    )


def test_a_long_list_is_made_in_the_background_for_who_asked() -> None:
    here = SiteFactory(code="here")
    PersonFactory(name="=Nadia", home_site=here)
    people = next(one for one in EVERY if one.name == "people")
    object.__setattr__(people, "at_once", 0)
    try:
        client = Client()
        client.force_login(user_as(Role.MANAGER, here))
        page = client.get("/lists/people/", {"q": "nadia", "as": "csv-plain"})
        assert "1 row is made into a file in the background" in page.content.decode()
        assert not Errand.objects.exists()
        client.post("/lists/people/?q=nadia&as=csv-plain", follow=True)
    finally:
        object.__setattr__(people, "at_once", 10_000)
    errand = Errand.objects.get()
    assert (errand.state, list(errand.sites.all())) == ("done", [here])
    assert [row["name"] for row in csv.DictReader(io.StringIO(errand.file.read().decode()))] == [
        "'=Nadia"
    ]


def test_the_page_of_columns_tells_every_column_of_what_one_may_open() -> None:
    client = Client()
    client.force_login(user_as(Role.WORKER, SiteFactory()))
    index = client.get("/lists/").content.decode()
    assert "?list=equipment" in index
    assert "?list=users" not in index
    assert "usable_until" in client.get("/lists/?list=equipment").content.decode()
    assert "first_password" not in client.get("/lists/?list=users").content.decode()
