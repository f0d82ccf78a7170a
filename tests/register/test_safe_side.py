"""In doubt an item stays out: what keeps it out survives second reasons, losses and journeys."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from django.urls import reverse

from register.actions.conditions import (
    let_go,
    quarantine,
    report_found,
    report_lost,
    send_away,
    take_back_from_service,
)
from register.actions.custody import arrive, dispatch, hand_out, put_back
from register.actions.kits import fill_part, take_out_part
from register.models import Entry, Item, Site
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    kit_of,
    stamp,
    user_as,
)

LATER = NOON + timedelta(hours=3)


def test_a_second_reason_stands_beside_the_first_and_its_moment_counts(item: Item) -> None:
    quarantine(item, reason="seal-broken", stamp=stamp())
    quarantine(item, reason="arrested-a-fall", stamp=stamp(at=LATER))
    quarantine(item, reason="seal-broken", stamp=stamp(at=NOON))
    item.refresh_from_db()
    assert (item.quarantine_reason, item.quarantined_also_for, item.quarantined_at) == (
        "seal-broken",
        ["arrested-a-fall"],
        LATER,
    )


def test_lost_and_found_again_it_is_still_what_arrested_a_fall(item: Item) -> None:
    quarantine(item, reason="arrested-a-fall", stamp=stamp())
    report_lost(item, search_note="asked everybody", stamp=stamp())
    found = report_found(item, site=item.site, where="in a van", stamp=stamp())
    assert (found.quarantine_reason, found.quarantined_also_for) == (
        "found-after-loss",
        ["arrested-a-fall"],
    )


def test_back_from_the_maker_it_is_still_what_arrested_a_fall(item: Item) -> None:
    quarantine(item, reason="arrested-a-fall", stamp=stamp())
    send_away(item, to="Orrin & Tull", reference="R-1", stamp=stamp())
    back = take_back_from_service(item, certificate="unrepaired", stamp=stamp())
    assert (back.quarantine_reason, back.quarantined_also_for) == (
        "back-from-service",
        ["arrested-a-fall"],
    )


def test_what_is_quarantined_while_lost_can_still_be_reported_found(item: Item) -> None:
    report_lost(item, search_note="asked everybody", stamp=stamp())
    quarantine(item, reason="suspected-load", stamp=stamp())
    found = report_found(item, site=item.site, where="in a van", stamp=stamp())
    assert (found.condition, found.quarantined_also_for) == ("quarantined", ["found-after-loss"])


def test_bad_news_about_what_has_left_is_kept_and_refuses_nothing(item: Item) -> None:
    let_go(item, recipient="Wold Hire", stamp=stamp())
    assert quarantine(item, reason="damage-found", stamp=stamp()).condition == "left"
    assert Entry.objects.filter(thing_kind="item", thing_id=str(item.pk)).count() == 2


def test_found_at_another_site_it_hangs_in_no_zone_and_is_bound_for_nowhere(site: Site) -> None:
    item = ItemFactory(site=site, zone=ZoneFactory(site=site), place="hook 3")
    there = SiteFactory()
    dispatch(item, to=there, stamp=stamp())
    report_lost(item, search_note="never came", stamp=stamp())
    found = report_found(item, site=there, where="in a crate", stamp=stamp())
    assert (found.site, found.zone, found.place, found.bound_for) == (there, None, "", None)


def test_nothing_is_handed_to_who_has_left(item: Item) -> None:
    gone = PersonFactory(left_on=DAY)
    with pytest.raises(Refusal) as refused:
        hand_out(item, to=gone, due_back_on=None, stamp=stamp())
    assert refused.value.code == "has-left"


@pytest.mark.django_db
def test_first_use_is_on_the_day_of_the_site_and_not_of_greenwich() -> None:
    item = ItemFactory(site=SiteFactory(time_zone="Pacific/Auckland"))
    late = datetime(2026, 3, 9, 20, tzinfo=UTC)  # the morning of the 10th there
    hand_out(item, to=PersonFactory(), due_back_on=None, stamp=stamp(at=late))
    item.refresh_from_db()
    assert item.first_used_on == DAY + timedelta(days=1)


def test_a_part_that_came_back_over_the_hatch_is_not_handed_out_from_its_kit(site: Site) -> None:
    part = kit_of(site).parts.get(role="rope").item
    put_back(part, loaded="no", wrong="no", stamp=stamp())
    with pytest.raises(Refusal) as refused:
        hand_out(part, to=PersonFactory(), due_back_on=None, stamp=stamp())
    assert refused.value.code == "fixed-in-place"


def test_a_part_taken_off_the_card_stays_where_it_really_is(site: Site) -> None:
    kit = kit_of(site)
    part = kit.parts.get(role="rope").item
    report_lost(part, search_note="not in the bag", stamp=stamp())
    assert take_out_part(kit, role="rope", stamp=stamp()).custody == "not-located"


def test_a_lost_part_does_not_travel_with_its_kit(site: Site) -> None:
    kit, there = kit_of(site), SiteFactory()
    part = kit.parts.get(role="rope").item
    report_lost(part, search_note="not in the bag", stamp=stamp())
    dispatch(kit.item, to=there, stamp=stamp())
    arrive(kit.item, at=there, stamp=stamp())
    part.refresh_from_db()
    assert part.site == site


def test_an_item_fills_one_part_and_a_kit_none(site: Site) -> None:
    kit = kit_of(site)
    rope = kit.parts.get(role="rope").item
    take_out_part(kit, role="descender", stamp=stamp())
    with pytest.raises(Refusal, match="another part"):
        fill_part(kit, role="descender", item=rope, stamp=stamp())
    bag = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-kit"))
    with pytest.raises(Refusal, match="a kit itself"):
        fill_part(kit, role="descender", item=bag, stamp=stamp())


def test_the_facts_of_the_site_that_loses_a_part_are_newer_too(site: Site) -> None:
    kit, before = kit_of(site), SiteFactory()
    part = ItemFactory(site=before, product=ProductFactory(equipment_class="rope"))
    take_out_part(kit, role="rope", stamp=stamp())
    fill_part(kit, role="rope", item=part, stamp=stamp())
    assert Site.objects.get(pk=before.pk).facts_version == 1


def test_who_waits_for_it_stops_what_is_on_its_way(client: Client, site: Site) -> None:
    there = SiteFactory()
    item = dispatch(ItemFactory(site=site), to=there, stamp=stamp())
    client.force_login(user_as("worker", there))
    address = reverse("register:item-quarantine", args=[item.code])
    told = {"reason": "damage-found", "note": "strap cut through the bag"}
    assert client.post(address, told).status_code == 302
    item.refresh_from_db()
    assert item.condition == "quarantined"
