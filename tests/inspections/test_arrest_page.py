"""After an arrested fall: everything named is out, and the page says what must follow."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.models import Arrest
from register import clock
from register.models import Item, Person, Site, User
from tests.factories import (
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    kit_of,
    user_as,
)


@pytest.fixture
def supervisor(client: Client, site: Site) -> User:
    """Signed in at Corrick Quay."""
    user = user_as("supervisor", site)
    client.force_login(user)
    return user


@pytest.fixture
def worn(site: Site) -> list[Item]:
    """A harness and the anchor it hung on."""
    anchor = ProductFactory(equipment_class="anchor")
    return [ItemFactory(site=site), ItemFactory(site=site, product=anchor, custody="installed")]


def told(site: Site, **changed: object) -> dict[str, object]:
    """The form as filled in an hour after the fall, with some of it changed."""
    at = clock.now().astimezone() - timedelta(days=1)
    told = {"site": site.code, "on": at.date().isoformat(), "at": "10:12", "account": "He slipped."}
    zone = site.zones.first() or ZoneFactory(site=site)
    return {**told, "zone": zone.pk, **changed}


def post(client: Client, **sent: object) -> str:
    return client.post(reverse("inspections:arrest-new"), sent, follow=True).content.decode()


def test_everything_named_is_out_at_once(
    client: Client, supervisor: User, site: Site, worn: list[Item]
) -> None:
    page = post(client, **told(site, codes="\n".join(item.shown_code for item in worn)))
    states = Item.objects.filter(pk__in=[item.pk for item in worn]).values_list(
        "condition", "quarantine_reason"
    )
    assert set(states) == {("quarantined", "arrested-a-fall")}
    assert "Still out: 2 of 2" in page
    assert "Re-check cover before anyone goes back up." in page
    assert "Take the whole system, including the anchor, out of use." in page
    assert "10:12" in page
    assert Arrest.objects.get().account == "He slipped."


def test_with_no_tags_everything_on_issue_to_the_person_is_out(
    client: Client, supervisor: User, site: Site
) -> None:
    faller: Person = PersonFactory(home_site=site)
    held = ItemFactory(site=site, holder=faller, custody="person")
    assert "Still out: 1 of 1" in post(client, **told(site, wearer=faller.pk))
    held.refresh_from_db()
    assert held.quarantine_reason == "arrested-a-fall"


def test_a_rescue_kit_that_was_used_loses_its_seal(
    client: Client, supervisor: User, site: Site
) -> None:
    kit = kit_of(site)
    post(client, **told(site, codes=kit.item.code))
    kit.refresh_from_db()
    assert not kit.seal_intact


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"on": "2999-01-01"}, "1 Jan 2999 at 10:12 is in the future"),
        ({"codes": "H7K-????"}, "is mistyped: compare with the tag"),
        ({"codes": ""}, "Name the tags, the anchor included, or the person who fell."),
        ({"account": ""}, "Fill in “What happened”."),
        ({"zone": ""}, "Choose the zone, or name the anchor among the tags"),
    ],
)
def test_bad_input_is_told_and_nothing_typed_is_lost(
    client: Client,
    supervisor: User,
    site: Site,
    worn: list[Item],
    changed: dict[str, str],
    sentence: str,
) -> None:
    sent = told(site, codes=worn[0].code, account="He slipped off the third rung.") | changed
    page = post(client, **sent)
    assert sentence in page
    assert (sent["account"] or worn[0].code) in page
    assert not Arrest.objects.exists()


def test_a_tag_of_a_site_that_is_not_theirs_is_named_and_kept(
    client: Client, supervisor: User, site: Site
) -> None:
    other = ItemFactory(site=SiteFactory(name="Holm Tower"))
    page = post(client, **told(site, codes=other.code))
    assert f"{other.shown_code} is on no register of your sites" in page
    assert "Holm Tower" not in page


def test_an_arrest_of_another_site_is_not_shown(client: Client, site: Site) -> None:
    now = clock.now()
    arrest = Arrest.objects.create(site=site, happened_at=now, recorded_at=now)
    client.force_login(user_as("supervisor", SiteFactory()))
    assert client.get(reverse("inspections:arrest-detail", args=[arrest.pk])).status_code == 404


def test_an_auditor_records_no_arrest(client: Client, site: Site) -> None:
    client.force_login(user_as("auditor", site))
    assert client.get(reverse("inspections:arrest-new")).status_code == 403


def test_without_its_tag_the_anchor_is_every_one_of_the_zone(
    client: Client, supervisor: User, site: Site, worn: list[Item]
) -> None:
    harness, anchor = worn
    anchor.zone = ZoneFactory(site=site)
    anchor.save()
    post(client, **told(site, codes=harness.code, zone=anchor.zone.pk))
    anchor.refresh_from_db()
    assert anchor.quarantine_reason == "arrested-a-fall"


def test_who_fell_is_told_to_those_who_act_on_it_and_to_nobody_else(
    client: Client, site: Site
) -> None:
    faller: Person = PersonFactory(name="Dougal Wray", home_site=site)
    held = ItemFactory(site=site, holder=faller, custody="person")
    now = clock.now()
    arrest = Arrest.objects.create(
        site=site, happened_at=now, recorded_at=now, wearer=faller, account="He slipped."
    )
    arrest.items.add(held)
    told_to = set()
    for role in ("supervisor", "competent-person", "manager"):
        client.force_login(user_as(role, site))
        page = client.get(reverse("inspections:arrest-detail", args=[arrest.pk])).content.decode()
        if "Dougal Wray" in page and "He slipped." in page:
            told_to.add(role)
    assert told_to == {"supervisor", "competent-person", "manager"}
    for role in ("worker", "stores-controller", "auditor", "planner"):
        client.force_login(user_as(role, site))
        page = client.get(reverse("inspections:arrest-detail", args=[arrest.pk])).content.decode()
        assert "Dougal" not in page
        assert "slipped" not in page
        assert ("What happened" in page) == (role in {"stores-controller", "auditor"})
        assert held.shown_code in page
