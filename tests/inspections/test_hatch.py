"""The hatch: a scan goes out or comes back, and the line says which."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from inspections.models import Due
from register import clock
from register.models import Item, Movement, Person, Role, Site
from register.wording import shown_day
from tests.factories import ItemFactory, PersonFactory, SiteFactory, passed, user_as

ADDRESS = "/hatch/"
LONG_AGO = date(2020, 1, 1)  # out of date whenever the tests run


@pytest.fixture
def stores(client: Client, petra: object) -> Client:
    client.force_login(petra)
    return client


@pytest.fixture
def ines(site: Site) -> Person:
    person: Person = PersonFactory(name="Ines Carrow", home_site=site)
    return person


@pytest.fixture
def harness(site: Site) -> Item:
    """A harness that is usable for months from today."""
    made: Item = ItemFactory(site=site, size="M", serial="0412-7")
    passed(made, clock.today(site))
    return made


def scan(client: Client, code: str, **told: str) -> dict[str, object]:
    """The newest line after this scan at the issue side."""
    given = {"way": "issue", "person": "Ines Carrow", "due_back_on": "", "code": code, **told}
    answer = client.post(ADDRESS, given, follow=True)
    assert answer.redirect_chain
    newest: dict[str, object] = answer.context["results"][0]
    return newest


def give_back(client: Client, code: str, loaded: str, wrong: str) -> dict[str, object]:
    given = {"way": "return", "code": code, "loaded": loaded, "wrong": wrong}
    newest: dict[str, object] = client.post(ADDRESS, given, follow=True).context["results"][0]
    return newest


def test_a_usable_item_goes_out_with_the_day_it_is_ok_until(
    harness: Item, ines: Person, stores: Client
) -> None:
    until = shown_day(Due.objects.get(item=harness).last_good_on)
    assert scan(stores, harness.shown_code.lower()) == {
        "code": harness.shown_code,
        "url": harness.get_absolute_url(),
        "answer": f"M · OK until {until}",
        "why": f"Harness M, {harness.product}, serial 0412-7: issued to Ines Carrow.",
        "usable": True,
    }
    harness.refresh_from_db()
    assert (harness.holder, harness.custody) == (ines, "person")


def test_the_person_and_the_day_stay_for_the_next_scan(
    harness: Item, ines: Person, stores: Client
) -> None:
    back = (clock.today(harness.site) + timedelta(days=5)).isoformat()
    scan(stores, harness.code, due_back_on=back)
    page = stores.get(ADDRESS)
    assert page.context["form"]["person"].value() == "Ines Carrow"
    assert page.context["form"]["due_back_on"].value() == back
    stores.post(ADDRESS, {"way": "issue", "next": "yes"})
    page = stores.get(ADDRESS)
    assert page.context["form"]["person"].value() == ""
    assert len(page.context["results"]) == 1


def test_a_tag_read_twice_is_issued_once(harness: Item, ines: Person, stores: Client) -> None:
    first = scan(stores, harness.code)
    assert scan(stores, harness.code) == first
    assert Movement.objects.filter(item=harness, kind="issued").count() == 1


def test_the_newest_scan_stands_on_top(site: Site, ines: Person, stores: Client) -> None:
    codes = [ItemFactory(site=site).shown_code for _ in range(3)]
    for code in codes:
        scan(stores, code)
    results = stores.get(ADDRESS).context["results"]
    assert [line["code"] for line in results] == codes[::-1]


def test_an_item_not_usable_through_the_return_day_is_not_for_issue(
    harness: Item, ines: Person, stores: Client
) -> None:
    late = Due.objects.get(item=harness).last_good_on + timedelta(days=1)
    line = scan(stores, harness.code, due_back_on=late.isoformat())
    assert (line["answer"], line["usable"]) == ("M · NOT for issue", False)
    assert f"NOT for issue until {shown_day(late)}" in str(line["why"])
    harness.refresh_from_db()
    assert harness.holder is None


def test_an_item_out_of_date_is_not_for_issue_and_says_why(
    site: Site, ines: Person, stores: Client
) -> None:
    made = ItemFactory(site=site, accepted_on=LONG_AGO)
    due = shown_day(Due.objects.get(item=made).last_good_on)
    line = scan(stores, made.code)
    assert line["why"] == (
        f"{made.shown_code}: NOT for issue, periodic examination was due by {due}."
    )


def test_a_mistyped_code_is_told_as_mistyped(harness: Item, ines: Person, stores: Client) -> None:
    wrong = harness.code[:-1] + ("2" if harness.code[-1] != "2" else "3")
    line = scan(stores, wrong)
    assert (line["code"], line["answer"], line["usable"]) == (wrong, "Mistyped", False)
    assert "not found" not in str(line["why"])


def test_a_serial_serves_where_only_one_item_has_it(
    harness: Item, ines: Person, stores: Client
) -> None:
    assert scan(stores, "0412 7")["code"] == harness.shown_code
    ItemFactory(site=harness.site, serial="77-1")
    ItemFactory(site=harness.site, serial="77/1")
    assert scan(stores, "771")["answer"] == "Several items"


def test_a_person_unknown_or_unclear_keeps_the_form(
    harness: Item, ines: Person, stores: Client
) -> None:
    PersonFactory(name="Ines Baker", home_site=harness.site)
    given = {"way": "issue", "person": "ines", "due_back_on": "2030-01-02", "code": harness.code}
    answer = stores.post(ADDRESS, given)
    form = answer.context["form"]
    assert form.errors["person"] == [
        "“ines” may be Ines Baker, Ines Carrow. Type more of the name."
    ]
    assert (form["code"].value(), form["due_back_on"].value()) == (harness.code, "2030-01-02")
    assert Item.objects.get(pk=harness.pk).holder is None


def test_no_and_no_puts_it_back_in_stores(harness: Item, ines: Person, stores: Client) -> None:
    scan(stores, harness.code)
    line = give_back(stores, harness.code, "no", "no")
    assert (line["answer"], line["usable"]) == ("Back in stores", True)
    assert "from Ines Carrow" in str(line["why"])
    harness.refresh_from_db()
    assert (harness.custody, harness.condition, harness.holder) == ("stores", "in-service", None)


@pytest.mark.parametrize(
    ("loaded", "wrong", "reason"),
    [
        ("yes", "no", "suspected-load"),
        ("no", "yes", "damage-found"),
        ("unsure", "no", "returned-unsure"),
        ("no", "unsure", "returned-unsure"),
    ],
)
def test_yes_or_do_not_know_puts_it_in_quarantine(
    loaded: str, wrong: str, reason: str, harness: Item, ines: Person, stores: Client
) -> None:
    scan(stores, harness.code)
    line = give_back(stores, harness.code, loaded, wrong)
    assert (line["answer"], line["usable"]) == ("DO NOT USE", False)
    harness.refresh_from_db()
    assert (harness.condition, harness.quarantine_reason) == ("quarantined", reason)


def test_a_scan_without_answers_asks_both_questions_and_keeps_the_code(
    harness: Item, ines: Person, stores: Client
) -> None:
    scan(stores, harness.code)
    answer = stores.post(ADDRESS, {"way": "return", "code": harness.code, "loaded": "no"})
    assert answer.context["form"].errors == {"wrong": ["Ask: No, Yes or Don’t know."]}
    assert answer.context["asked"]["item"] == harness
    assert harness.code in answer.content.decode()
    assert Movement.objects.filter(item=harness, kind="returned").count() == 0


def test_the_questions_have_no_answer_until_somebody_gives_one(stores: Client) -> None:
    form = stores.get(ADDRESS, {"way": "return"}).context["form"]
    assert (form["loaded"].value(), form["wrong"].value()) == (None, None)
    assert "checked" not in str(form["loaded"]) + str(form["wrong"])


def test_an_item_of_another_site_is_not_known_here(
    harness: Item, ines: Person, client: Client
) -> None:
    other = ItemFactory(site=SiteFactory())
    client.force_login(user_as(Role.SUPERVISOR, harness.site))
    assert scan(client, other.code)["answer"] == "Not known here"
    other.refresh_from_db()
    assert other.holder is None


def test_a_worker_may_not_open_the_hatch(site: Site, client: Client) -> None:
    client.force_login(user_as(Role.WORKER, site))
    assert client.get(ADDRESS).status_code == 403
    assert client.post(ADDRESS, {"way": "issue", "code": "x"}).status_code == 403
