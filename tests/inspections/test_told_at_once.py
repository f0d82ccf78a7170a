"""A fall, a notice, an item stopped by a stranger: who is told at once, and what they are not told."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.notices import issue_notice, match_items
from inspections.models import Notice
from register.models import Document, Item, Message, Postbox, Role, Site, User
from tests.factories import DAY, NOON, ItemFactory, PersonFactory, SiteFactory, stamp, user_as

pytestmark = pytest.mark.django_db


def told(kind: str) -> dict[User, Message]:
    return {one.user: one for one in Message.objects.filter(kind=kind)}


def notice(site: Site, **rule: object) -> Notice:
    document = Document.objects.create(
        sha256="n", kind="report", name="n.pdf", size=1, kept_at=NOON, file="n.pdf"
    )
    return Notice(
        issuer="Halvard Textiles",
        reference="SN-7",
        kind="stop-use",
        received_on=DAY,
        document=document,
        text="stop",
        **rule,
    )


def test_a_fall_is_told_to_who_answers_for_the_site_and_names_nobody(item: Item) -> None:
    site = item.site
    manager, inspector = user_as(Role.MANAGER), user_as(Role.COMPETENT, site)
    worker, elsewhere = user_as(Role.WORKER, site), user_as(Role.MANAGER, SiteFactory())
    wearer = PersonFactory(name="Tomasz Bielak")
    fall = Fall(
        happened_at=NOON - timedelta(hours=1), account="He slipped, leg hurt.", wearer=wearer
    )
    record_arrest(site, items=[item], fall=fall, stamp=stamp())
    found = told("arrest")
    assert set(found) == {manager, inspector}
    assert worker not in found
    assert elsewhere not in found
    text = found[manager].text
    assert "A fall was arrested at Corrick Quay on 9 Mar 2026, 11:00." in text
    assert f"- {item.shown_code} harness {item.serial}" in text
    assert "/arrests/" in text
    for private in ("Tomasz", "Bielak", "slipped", "leg"):
        assert private not in text + found[manager].subject


def test_a_fall_that_is_refused_is_told_to_nobody(site: Site) -> None:
    user_as(Role.MANAGER)
    with pytest.raises(Exception, match="Name what was between"):
        record_arrest(site, items=[], fall=Fall(happened_at=NOON, account="-"), stamp=stamp())
    assert not Message.objects.exists()


def test_a_notice_is_told_with_the_count_at_ones_own_sites_and_to_holders(item: Item) -> None:
    other = ItemFactory(product=item.product, site=SiteFactory(name="Skelhope"))
    holder = user_as(Role.WORKER, item.site)
    Item.objects.filter(pk=item.pk).update(holder=holder.person, custody="person")
    stores, supervisor = user_as(Role.STORES), user_as(Role.SUPERVISOR, item.site)
    unmeant = user_as(Role.SUPERVISOR, SiteFactory())
    products = [[item.product.maker, item.product.designation]]
    issue_notice(notice(item.site, products=products), stamp=stamp())
    found = told("notice")
    assert set(found) == {stores, supervisor, holder}
    assert unmeant not in found
    assert "- Corrick Quay: 1\n- Skelhope: 1" in found[stores].text
    assert "Skelhope" not in found[supervisor].text
    assert "You hold 1 of them yourself. Stop using it" in found[holder].text
    assert other.site.name not in found[holder].text


def test_what_comes_in_later_and_is_meant_is_told_once_a_day(item: Item) -> None:
    stores = user_as(Role.STORES)
    products = [[item.product.maker, item.product.designation]]
    issue_notice(notice(item.site, products=products), stamp=stamp())
    later = stamp(at=NOON + timedelta(days=1))
    for _ in range(2):
        match_items([ItemFactory(product=item.product, site=item.site)], stamp=later.again())
    assert Message.objects.filter(user=stores, kind="notice").count() == 2


def test_a_notice_that_means_nothing_here_is_no_news(item: Item) -> None:
    user_as(Role.STORES)
    issue_notice(notice(item.site, products=[["Another", "Model"]]), stamp=stamp())
    assert not Message.objects.exists()


def test_an_item_stopped_without_a_login_is_told_to_stores_and_manager(item: Item) -> None:
    manager, stores = user_as(Role.MANAGER, item.site), user_as(Role.STORES, item.site)
    supervisor = user_as(Role.SUPERVISOR, item.site)
    address = reverse("inspections:tag", args=[item.code, item.tags.get().secret])
    Client().post(address, {"reason": "damage-found", "note": "torn by Huw"})
    item.refresh_from_db()
    assert item.condition == "quarantined"
    found = told("tag-stop")
    assert set(found) == {manager, stores}
    assert supervisor not in found
    assert item.shown_code in found[manager].subject
    assert "Huw" not in found[manager].text


def test_an_item_stopped_by_somebody_signed_in_is_no_news(item: Item, client: Client) -> None:
    user_as(Role.MANAGER, item.site)
    client.force_login(user_as(Role.WORKER, item.site))
    client.post(
        reverse("inspections:tag", args=[item.code]), {"reason": "damage-found", "note": ""}
    )
    item.refresh_from_db()
    assert item.condition == "quarantined"
    assert not Message.objects.exists()


def test_each_is_told_in_their_own_language(item: Item) -> None:
    manager = user_as(Role.MANAGER)
    Postbox.objects.create(user=manager, language="pl")
    record_arrest(item.site, items=[item], fall=Fall(happened_at=NOON, account="-"), stamp=stamp())
    assert "szelki" in told("arrest")[manager].text
