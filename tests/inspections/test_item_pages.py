"""The page of one item: what it shows, which acts it offers, and who may look."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from inspections.actions.inspecting import Finding, Flaw, correct_inspection, inspect
from inspections.actions.using import issue, take_back
from register import clock
from register.actions.conditions import quarantine, withdraw
from register.actions.documents import keep_document
from register.actions.holding import hold
from register.actions.marking import replace_tag
from register.models import Item, Role, Site, User
from tests.factories import (
    ItemFactory,
    PersonFactory,
    SiteFactory,
    inspector,
    kit_of,
    passed,
    stamp,
    user_as,
)

NOT_SHOWN = 404
NOT_ALLOWED = 403


@pytest.fixture
def stores(client: Client, petra: User) -> Client:
    client.force_login(petra)
    return client


def page_of(client: Client, item: Item) -> str:
    answer = client.get(item.get_absolute_url())
    assert answer.status_code == 200
    return answer.content.decode()


def words_of(client: Client, item: Item) -> set[str]:
    return {act.word for act in client.get(item.get_absolute_url()).context["acts"]}


def test_the_page_says_first_whether_the_item_can_be_used(item: Item, stores: Client) -> None:
    quarantine(item, reason="damage-found", note="cut in the left leg strap", stamp=stamp())
    page = page_of(stores, item)
    assert "DO NOT USE: in quarantine: damage found" in page
    assert "Quarantined: damage found" in page
    assert "“cut in the left leg strap”" in page


def test_every_clock_stands_there_with_its_source(item: Item, stores: Client) -> None:
    passed(item, clock.today(item.site))
    answer = stores.get(item.get_absolute_url())
    sentences = [sentence for sentence, _ in answer.context["clocks"]]
    assert sentences[0].startswith("Periodic examination: until ")
    assert all(source for _, source in answer.context["clocks"])


def test_a_superseded_inspection_stays_legible(item: Item, stores: Client) -> None:
    huw = inspector()
    told = {"kind": "detailed", "performed_at": stamp().at, "inspector": huw.person}
    flaw = Flaw(grade="C", what="fuzz on the stitching", place="left leg strap")
    wrong = inspect(item, finding=Finding(verdict="pass", flaws=[flaw], **told), stamp=stamp(huw))
    correct_inspection(
        wrong, finding=Finding(verdict="pass", **told), reason="wrong item", stamp=stamp(huw)
    )
    page = page_of(stores, item)
    assert "<del>Periodic examination: Pass" in page
    assert "Superseded: wrong item" in page
    assert "fuzz on the stitching, left leg strap" in page


def test_the_history_tells_each_act_in_words(item: Item, stores: Client, petra: User) -> None:
    passed(item, clock.today(item.site))
    ines = PersonFactory(name="Ines Carrow")
    now = stamp(petra, at=clock.now())
    issue(item, to=ines, due_back_on=None, stamp=now.again())
    take_back(item, loaded="no", wrong="unsure", stamp=now.again())
    old = item.shown_code
    tag = replace_tag(item, because="worn", identity_proof="serial", stamp=now.again())
    item.refresh_from_db()
    words = [line.words for line in stores.get(item.get_absolute_url()).context["history"]]
    assert set(words) == {
        "Issued to Ines Carrow",
        "Taken back",
        "Quarantined: returned, history not known",
        f"Tag {old} replaced by {tag}: worn",
    }


def test_an_old_tag_still_leads_to_the_item(item: Item, stores: Client) -> None:
    old = item.get_absolute_url()
    replace_tag(item, because="lost", identity_proof="serial", stamp=stamp())
    answer = stores.get(old)
    assert answer.status_code == 200
    assert answer.context["item"].pk == item.pk


def test_a_part_names_its_kit_and_a_bag_the_kit_it_is(site: Site, stores: Client) -> None:
    kit = kit_of(site)
    part = kit.parts.select_related("item").first().item
    assert f'rescue kit <a href="{kit.get_absolute_url()}">RK-01</a>' in page_of(stores, part)
    assert "This is the bag of rescue kit" in page_of(stores, kit.item)


def test_a_long_history_costs_no_more_queries(item: Item, stores: Client, petra: User) -> None:
    passed(item, clock.today(item.site))

    def queries() -> int:
        with CaptureQueriesContext(connection) as caught:
            page_of(stores, item)
        return len(caught)

    def hand_over() -> None:
        now = stamp(petra, at=clock.now())
        issue(item, to=PersonFactory(), due_back_on=None, stamp=now.again())
        take_back(item, loaded="no", wrong="no", stamp=now.again())

    hand_over()
    few = queries()
    for back in range(5):
        passed(item, clock.today(item.site) - timedelta(days=back))
        hand_over()
    assert queries() == few


def test_the_acts_are_those_the_role_may_do_here(
    item: Item, client: Client, huw: User, petra: User
) -> None:
    client.force_login(petra)
    assert words_of(client, item) == {
        "Enter an inspection from paper",
        "Quarantine",
        "Send to another site",
        "Send to the maker",
        "Change conditions of use",
        "Read the label",
        "State its dates",
        "Replace the tag",
        "Report lost",
        "Let go",
        "Print its record",
        "Withdraw for good",
    }
    client.force_login(user_as(Role.WORKER, item.site))
    assert words_of(client, item) == {"Quarantine"}
    quarantine(item, reason="damage-found", stamp=stamp())
    client.force_login(huw)
    assert words_of(client, item) >= {"Inspect", "Release from quarantine", "Withdraw for good"}


def test_a_withdrawn_item_offers_nothing_that_brings_it_back(item: Item, stores: Client) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    assert words_of(stores, item) & {"Quarantine", "Release from quarantine"} == set()
    assert "Destroy" in words_of(stores, item)


def test_an_item_of_another_site_is_not_shown(client: Client, site: Site) -> None:
    other = ItemFactory(site=SiteFactory())
    client.force_login(user_as(Role.STORES, site))
    assert client.get(other.get_absolute_url()).status_code == NOT_SHOWN
    assert client.get(reverse("inspections:item-change-use", args=[other.code])).status_code == 404


def test_release_needs_a_pass_after_the_quarantine(item: Item, client: Client, huw: User) -> None:
    client.force_login(huw)
    quarantine(item, reason="damage-found", stamp=stamp(at=clock.now()))
    address = reverse("inspections:item-release", args=[item.code])
    page = client.post(address, {"looked": "on"})
    assert page.status_code == 200
    assert "stays in quarantine until it passes one of" in page.content.decode()
    found = passed(item, clock.today(item.site) + timedelta(days=1))
    assert client.post(address, {"looked": "on"}).status_code == 302
    item.refresh_from_db()
    assert (item.condition, found.counts) == ("in-service", True)


def test_who_may_not_release_is_refused(item: Item, stores: Client) -> None:
    address = reverse("inspections:item-release", args=[item.code])
    assert stores.get(address).status_code == NOT_ALLOWED
    assert stores.post(address, {"looked": "on"}).status_code == NOT_ALLOWED


def test_harder_use_counts_the_dates_anew(item: Item, stores: Client) -> None:
    passed(item, date(2026, 3, 9))
    before = Item.objects.get(pk=item.pk).due.last_good_on
    address = reverse("inspections:item-change-use", args=[item.code])
    assert stores.post(address, {"use_class": "arduous"}).status_code == 302
    assert Item.objects.get(pk=item.pk).due.last_good_on < before


def test_a_file_about_an_item_is_handed_to_who_sees_the_item(
    item: Item, client: Client, petra: User
) -> None:
    about = {"name": "../report.pdf", "kind": "report", "stamp": stamp()}
    report = keep_document(b"%PDF-1.4 found sound", **about)
    report.items.add(item)
    other = ItemFactory(site=SiteFactory())
    client.force_login(petra)
    assert "../report.pdf" in page_of(client, item)
    address = reverse("inspections:item-document", args=[item.code, report.pk])
    answer = client.get(address)
    assert answer.content == b"%PDF-1.4 found sound"
    assert answer["Content-Disposition"] == 'attachment; filename="report.pdf"'
    assert answer["Content-Type"] == "application/octet-stream"
    elsewhere = reverse("inspections:item-document", args=[other.code, report.pk])
    assert client.get(elsewhere).status_code == NOT_SHOWN
    client.force_login(user_as(Role.STORES, other.site))
    assert client.get(address).status_code == NOT_SHOWN


def test_no_act_is_offered_that_evidence_forbids(item: Item, stores: Client) -> None:
    withdraw(item, ground="policy", stamp=stamp())
    assert words_of(stores, item) >= {"Destroy", "Let go"}
    hold([item], site=item.site, because="fall arrested", stamp=stamp())
    assert not words_of(stores, item) & {"Destroy", "Let go", "Send to the maker"}
    assert "Held as evidence" in page_of(stores, item)
