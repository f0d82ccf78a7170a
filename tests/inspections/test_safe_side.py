"""Bad news holds whatever comes after it; good news needs the right person, the right look, and now."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.inspecting import Finding, Flaw, correct_inspection, inspect
from inspections.actions.using import (
    accept_into_service,
    issue,
    release_from_quarantine,
    take_back,
)
from inspections.conditions import usable_on, verdict_of
from inspections.due_copies import disagreements
from inspections.models import Arrest, Inspection
from register.actions.conditions import let_go, quarantine, report_lost, withdraw
from register.actions.custody import hand_out, put_back
from register.actions.kits import take_out_part
from register.models import Delivery, Item, Person, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    inspector,
    kit_of,
    passed,
    stamp,
)

HOUR = timedelta(hours=1)
DANGER = Flaw(grade="A", what="edge cut of 3 mm")


def looked(
    item: Item, by: User, verdict: str = "pass", at: datetime = NOON, **particulars: object
) -> Inspection:
    """A periodic examination by this inspector, recorded at once."""
    told = {"kind": "detailed", "performed_at": at, "inspector": by.person, **particulars}
    finding = Finding(verdict=verdict, **told)  # type: ignore[arg-type]
    return inspect(item, finding=finding, stamp=stamp(by, at=at))


def fallen(site: Site, *items: Item, wearer: Person | None = None, **more: object) -> Arrest:
    told = {"happened_at": NOON, "account": "A board turned.", "wearer": wearer, **more}
    fall = Fall(**told)  # type: ignore[arg-type]
    return record_arrest(site, items=items, fall=fall, stamp=stamp(at=NOON + HOUR))


def code_of(act: object, *args: object, **kwargs: object) -> str:
    """The code with which the act is refused."""
    with pytest.raises(Refusal) as refused:
        act(*args, **kwargs)  # type: ignore[operator]
    return refused.value.code


# Release


def test_a_pass_before_the_second_reason_releases_nothing(item: Item, huw: User) -> None:
    quarantine(item, reason="label-unreadable", stamp=stamp())
    looked(item, huw, at=NOON + HOUR)
    quarantine(item, reason="suspected-load", stamp=stamp(at=NOON + 2 * HOUR))
    late = stamp(huw, at=NOON + 3 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=late) == "no-pass-since"


def test_each_reason_needs_its_own_pass(site: Site, huw: User) -> None:
    kit = kit_of(site)
    quarantine(kit.item, reason="seal-broken", stamp=stamp())
    quarantine(kit.item, reason="suspected-load", stamp=stamp())
    looked(kit.item, huw, kind="kit-check", at=NOON + HOUR)
    late = stamp(huw, at=NOON + 3 * HOUR)
    assert code_of(release_from_quarantine, kit.item, stamp=late) == "no-pass-since"
    looked(kit.item, huw, kind="thorough-examination", at=NOON + 2 * HOUR)
    assert release_from_quarantine(kit.item, stamp=late).condition == "in-service"


def test_a_device_whose_clock_is_ahead_releases_nothing(item: Item, huw: User) -> None:
    finding = Finding(
        kind="detailed", verdict="pass", performed_at=NOON + 5 * HOUR, inspector=huw.person
    )
    inspect(item, finding=finding, stamp=stamp(huw))
    quarantine(item, reason="damage-found", stamp=stamp(at=NOON + HOUR))
    late = stamp(huw, at=NOON + 6 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=late) == "no-pass-since"


def test_what_arrested_a_fall_is_finished_whatever_its_first_reason_was(
    item: Item, huw: User
) -> None:
    quarantine(item, reason="label-unreadable", stamp=stamp())
    fallen(item.site, item)
    looked(item, huw, at=NOON + 2 * HOUR)
    late = stamp(huw, at=NOON + 3 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=late) == "finished-after-arrest"


def test_who_used_it_last_releases_nothing_though_it_was_handed_back(item: Item) -> None:
    owner, other = inspector(), inspector()
    passed(item, DAY)
    issue(item, to=owner.person, due_back_on=None, stamp=stamp())
    take_back(item, loaded="unsure", wrong="no", stamp=stamp(at=NOON + HOUR))
    looked(item, other, at=NOON + 2 * HOUR)
    late = NOON + 3 * HOUR
    assert code_of(release_from_quarantine, item, stamp=stamp(owner, at=late)) == "releaser-is-user"
    assert release_from_quarantine(item, stamp=stamp(other, at=late)).condition == "in-service"


def test_quarantine_is_no_way_round_acceptance(site: Site, huw: User) -> None:
    product = ProductFactory(equipment_class="descender")
    note = Delivery.objects.create(
        site=site, product=product, delivery_note="DN 1", received_on=DAY
    )
    item = ItemFactory(
        site=site, product=product, condition="received", accepted_on=None, delivery=note
    )
    quarantine(item, reason="damage-found", stamp=stamp())
    looked(item, huw, kind="after-event", at=NOON + HOUR)
    late = stamp(huw, at=NOON + 2 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=late) == "examine-first"


# Acceptance and issue


def test_an_examination_that_was_not_possible_lets_nothing_into_service(
    site: Site, huw: User
) -> None:
    product = ProductFactory(equipment_class="descender")
    item = ItemFactory(site=site, product=product, condition="received", accepted_on=None)
    looked(item, huw, "not-presented", kind="thorough-examination")
    assert code_of(accept_into_service, [item], on=DAY, stamp=stamp()) == "examine-first"


def test_nothing_is_accepted_ahead_of_its_day(site: Site) -> None:
    item = ItemFactory(site=site, condition="received", accepted_on=None)
    ahead = DAY + timedelta(days=40)
    assert code_of(accept_into_service, [item], on=ahead, stamp=stamp()) == "in-the-future"


def test_issue_judges_the_item_as_it_is_now_and_not_as_it_was_read(item: Item) -> None:
    passed(item, DAY)
    read_before = Item.objects.select_related("product", "site").get(pk=item.pk)
    quarantine(item, reason="damage-found", stamp=stamp())
    refused = code_of(issue, read_before, to=PersonFactory(), due_back_on=None, stamp=stamp())
    assert refused == "not-for-issue"
    item.refresh_from_db()
    assert item.custody == "stores"


def test_the_stored_copy_follows_first_use(site: Site) -> None:
    product = ProductFactory(life_from_first_use_months=120, life_from_made_months=None)
    item = ItemFactory(site=site, product=product, made_first_on=DAY - timedelta(days=3500))
    issue(item, to=PersonFactory(), due_back_on=None, stamp=stamp())
    assert list(disagreements()) == []


# What a look does


def test_a_danger_now_is_out_though_the_item_could_not_be_reached(item: Item, huw: User) -> None:
    looked(item, huw, "not-accessible", flaws=[DANGER])
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == ("quarantined", "damage-found")


def test_a_fail_of_what_is_not_located_is_kept_and_withdraws_it(item: Item, huw: User) -> None:
    report_lost(item, search_note="asked everybody", stamp=stamp())
    looked(item, huw, "fail", flaws=[DANGER])
    item.refresh_from_db()
    assert item.condition == "withdrawn"


def test_a_fail_of_what_has_left_is_kept(item: Item, huw: User) -> None:
    let_go(item, recipient="Wold Hire", stamp=stamp())
    assert looked(item, huw, "fail", flaws=[DANGER]).verdict == "fail"


def test_a_finding_kept_for_one_item_is_not_taken_for_another(item: Item, huw: User) -> None:
    first = looked(item, huw)
    other = ItemFactory(site=item.site)
    told = {"flaws": [DANGER], "id": first.pk}
    assert code_of(looked, other, huw, "fail", **told) == "recorded-for-another"


def test_a_wrong_fail_that_is_corrected_leaves_the_item_withdrawn(item: Item, huw: User) -> None:
    wrong = looked(item, huw, "fail", flaws=[DANGER])
    right = Finding(kind="detailed", verdict="pass", performed_at=NOON, inspector=huw.person)
    correct_inspection(wrong, finding=right, reason="another item", stamp=stamp(huw))
    item.refresh_from_db()
    assert item.condition == "withdrawn"
    assert not verdict_of(item, DAY).usable


def test_a_record_is_corrected_once_and_never_by_itself(item: Item, huw: User) -> None:
    wrong = looked(item, huw)
    itself = Finding(
        kind="detailed", verdict="pass", performed_at=NOON, inspector=huw.person, id=wrong.pk
    )
    told = {"reason": "typed twice", "stamp": stamp(huw)}
    assert code_of(correct_inspection, wrong, finding=itself, **told) == "recorded-already"


def test_who_has_left_inspects_nothing_that_counts(item: Item, huw: User) -> None:
    assert huw.person is not None
    huw.person.left_on = DAY
    huw.person.save()
    assert looked(item, huw).counts_not_because == "not-authorised"


def test_who_used_it_last_passes_nothing_though_it_was_handed_back(item: Item, huw: User) -> None:
    hand_out(item, to=huw.person, due_back_on=None, stamp=stamp())
    put_back(item, loaded="no", wrong="no", stamp=stamp())
    assert looked(item, huw, at=NOON + HOUR).counts_not_because == "holds-the-item"


@pytest.mark.parametrize(
    ("kind", "code"),
    [
        ("kit-check", "usable-restricted"),
        ("pre-use", "usable-restricted"),
        ("acceptance", "usable-restricted"),
        ("detailed", "usable"),
    ],
)
def test_only_a_look_as_strong_lifts_what_a_pass_was_restricted_to(
    item: Item, kind: str, code: str
) -> None:
    passed(item, DAY - timedelta(days=2), restricted_to="restraint only")
    passed(item, DAY - timedelta(days=1), kind=kind)
    assert verdict_of(item, DAY).code == code


# Kits


def test_a_kit_is_out_while_a_part_of_it_is_on_somebody(site: Site) -> None:
    kit = kit_of(site)
    part = kit.parts.get(role="rope").item
    Item.objects.filter(pk=part.pk).update(custody="person", holder=PersonFactory())
    verdict = verdict_of(kit.item, DAY)
    assert (verdict.usable, verdict.code) == (False, "kit-part")
    assert not Item.objects.filter(usable_on(DAY), pk=kit.item_id).exists()


def test_a_seal_without_a_number_is_no_seal(site: Site) -> None:
    kit = kit_of(site)
    kit.seal_number = ""
    kit.save()
    assert dict(verdict_of(kit.item, DAY).facts) == {"problem": "seal-missing"}
    assert not Item.objects.filter(usable_on(DAY), pk=kit.item_id).exists()


def test_a_bag_without_a_contents_card_is_no_kit(site: Site) -> None:
    bag = ItemFactory(site=site, product=ProductFactory(equipment_class="rescue-kit"))
    passed(bag, DAY, "thorough-examination", covers_periodic=True)
    passed(bag, DAY, "kit-check")
    assert not verdict_of(bag, DAY).usable
    assert not Item.objects.filter(usable_on(DAY), pk=bag.pk).exists()


def test_a_part_taken_out_is_usable_alone_while_its_kit_is_not(site: Site) -> None:
    kit = kit_of(site)
    part = take_out_part(kit, role="rope", stamp=stamp())
    assert (verdict_of(part, DAY).usable, verdict_of(kit.item, DAY).usable) == (True, False)


# Arrest


def test_without_harness_and_link_all_that_the_wearer_had_is_out(site: Site) -> None:
    faller = PersonFactory()
    harness, lanyard = (
        ItemFactory(
            site=site, product=ProductFactory(equipment_class=kind), custody="person", holder=faller
        )
        for kind in ("harness", "energy-absorbing-lanyard")
    )
    arrest = fallen(site, harness, wearer=faller)
    assert set(arrest.items.all()) == {harness, lanyard}


def test_what_was_handed_back_after_the_fall_is_out_too(site: Site) -> None:
    faller = PersonFactory()
    harness, earlier = ItemFactory(site=site), ItemFactory(site=site)
    for item, back in ((harness, NOON + HOUR / 2), (earlier, NOON - HOUR)):
        hand_out(item, to=faller, due_back_on=None, stamp=stamp(at=NOON - 2 * HOUR))
        put_back(item, loaded="no", wrong="no", stamp=stamp(at=back))
    assert list(fallen(site, wearer=faller).items.all()) == [harness]


def test_without_an_anchor_named_every_anchor_of_the_zone_is_out(site: Site) -> None:
    zone, elsewhere = ZoneFactory(site=site), ZoneFactory(site=site)
    product = ProductFactory(equipment_class="anchor")
    near, far = (
        ItemFactory(site=site, zone=place, product=product, custody="installed")
        for place in (zone, elsewhere)
    )
    harness = ItemFactory(site=site)
    fallen(site, harness, zone=zone)
    near.refresh_from_db()
    far.refresh_from_db()
    assert (near.condition, far.condition) == ("quarantined", "in-service")


def test_a_zone_of_another_site_is_refused(site: Site, item: Item) -> None:
    strange = ZoneFactory(site=SiteFactory())
    assert code_of(fallen, site, item, zone=strange) == "zone-of-another-site"


def test_a_tag_of_something_gone_does_not_keep_the_rest_in_use(site: Site) -> None:
    gone, left, worn = (ItemFactory(site=site) for _ in range(3))
    Item.objects.filter(pk=gone.pk).update(condition="destroyed", custody="destroyed")
    let_go(left, recipient="Wold Hire", stamp=stamp())
    withdraw(worn, ground="end of life", stamp=stamp())
    last = ItemFactory(site=site)
    fallen(site, gone, left, worn, last)
    last.refresh_from_db()
    assert last.condition == "quarantined"
