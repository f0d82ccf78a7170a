"""The acts of the register: what each changes, what each refuses, and the sentence it says."""

from __future__ import annotations

from datetime import date

import pytest

from register.actions.conditions import (
    destroy,
    let_go,
    quarantine,
    release,
    report_found,
    report_lost,
    send_away,
    take_back_from_service,
    withdraw,
)
from register.actions.custody import arrive, dispatch, hand_out, place_at
from register.actions.deliveries import Piece, accept, receive_delivery
from register.actions.documents import keep_document
from register.actions.kits import fill_part, make_kit, seal_kit, take_out_part, unseal_kit
from register.actions.marking import fresh_codes, replace_tag
from register.models import Delivery, Entry, Item, Movement, Site, Tag, User
from register.refusal import Refusal
from register.rules.lifespan import UNKNOWN_SPAN, read_span
from register.rules.tags import is_giveable
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    kit_of,
    stamp,
)


def delivery(site: Site, **particulars: object) -> Delivery:
    told = {"delivery_note": "DN 4471", "received_on": DAY, **particulars}
    return Delivery(site=site, product=ProductFactory(), **told)


def pieces(*serials: str) -> list[Piece]:
    return [Piece(serial=serial, made=read_span("2025-11")) for serial in serials]


def test_a_delivery_is_received_with_a_tag_each_and_nothing_is_accepted(site: Site) -> None:
    items = receive_delivery(delivery(site), pieces("A-1", "A-2", "A-3"), stamp=stamp())
    assert {item.condition for item in items} == {"received"}
    assert Tag.objects.filter(item__in=items).count() == 3
    assert Entry.objects.filter(thing_kind="item").count() == 3


@pytest.mark.parametrize(
    ("serials", "code"),
    [((), "nothing-delivered"), (("A-1", "a1"), "serial-twice"), (("", "B"), "serial-empty")],
)
def test_a_delivery_with_unsound_serials_is_refused_whole(
    site: Site, serials: tuple[str, ...], code: str
) -> None:
    with pytest.raises(Refusal) as refused:
        receive_delivery(delivery(site), pieces(*serials), stamp=stamp())
    assert refused.value.code == code
    assert Item.objects.count() == Delivery.objects.count() == 0


def test_a_serial_that_is_registered_already_is_refused_with_the_item_it_is(item: Item) -> None:
    same = Delivery(site=item.site, product=item.product, delivery_note="DN 1", received_on=DAY)
    with pytest.raises(Refusal, match=item.shown_code):
        receive_delivery(same, pieces(item.serial.lower()), stamp=stamp())


def test_a_piece_without_a_made_date_cannot_be_received(site: Site) -> None:
    undated = [Piece(serial="A-1", made=UNKNOWN_SPAN)]
    with pytest.raises(Refusal, match="date of manufacture"):
        receive_delivery(delivery(site), undated, stamp=stamp())


def test_accepting_sets_the_day_from_which_clocks_start(site: Site) -> None:
    items = receive_delivery(delivery(site), pieces("A-1", "A-2"), stamp=stamp())
    accept(items, on=DAY, stamp=stamp())
    assert set(Item.objects.values_list("condition", "accepted_on")) == {("in-service", DAY)}


def test_a_replaced_tag_still_leads_to_its_item_and_is_never_given_again(item: Item) -> None:
    old = item.code
    tag = replace_tag(item, because="worn", identity_proof="serial read", stamp=stamp())
    item.refresh_from_db()
    assert (item.code, tag.issue) == (tag.code, 2)
    assert Tag.objects.get(code=old).item == item
    assert Tag.objects.get(code=old).replaced_because == "worn"


def test_a_tag_is_not_replaced_without_proof_of_identity(item: Item) -> None:
    with pytest.raises(Refusal, match="how you know"):
        replace_tag(item, because="lost", identity_proof=" ", stamp=stamp())


def test_quarantine_keeps_its_reason_and_a_second_one_does_not_weaken_it(item: Item) -> None:
    quarantine(item, reason="arrested-a-fall", stamp=stamp())
    quarantine(item, reason="contaminated", stamp=stamp())
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == ("quarantined", "arrested-a-fall")
    assert Entry.objects.count() == 2


def test_quarantine_never_brings_a_withdrawn_item_back(item: Item) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    assert quarantine(item, reason="damage-found", stamp=stamp()).condition == "withdrawn"


def test_a_withdrawn_item_never_returns_to_service(item: Item) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    with pytest.raises(Refusal) as refused:
        release(item, on=DAY, evidence="", stamp=stamp())
    assert refused.value.code == "withdrawn-stays-withdrawn"


def test_only_a_withdrawn_item_is_destroyed_before_another_person(item: Item, petra: User) -> None:
    witness = PersonFactory()
    with pytest.raises(Refusal):
        destroy(item, method="cut", witness=witness, stamp=stamp(petra))
    withdraw(item, ground="failed inspection", stamp=stamp())
    with pytest.raises(Refusal, match="somebody other"):
        destroy(item, method="cut", witness=petra.person, stamp=stamp(petra))
    gone = destroy(item, method="cut", witness=witness, stamp=stamp(petra))
    assert (gone.condition, gone.custody) == ("destroyed", "destroyed")


def test_what_was_lost_comes_back_into_quarantine(item: Item) -> None:
    report_lost(item, search_note="asked everybody, searched both vans", stamp=stamp())
    found = report_found(item, site=item.site, where="in a van", stamp=stamp())
    assert (found.condition, found.quarantine_reason) == ("quarantined", "found-after-loss")


def test_a_withdrawn_item_that_was_lost_is_still_withdrawn_when_found(item: Item) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    report_lost(item, search_note="not on the shelf", stamp=stamp())
    assert report_found(item, site=item.site, where="shelf", stamp=stamp()).condition == "withdrawn"


def test_what_comes_back_from_the_maker_waits_in_quarantine(item: Item) -> None:
    send_away(item, to="Orrin & Tull", reference="R-1", stamp=stamp())
    back = take_back_from_service(item, certificate="C-9", stamp=stamp())
    assert (back.condition, back.quarantine_reason) == ("quarantined", "back-from-service")


def test_an_item_leaves_only_to_somebody(item: Item) -> None:
    with pytest.raises(Refusal, match="who takes it over"):
        let_go(item, recipient="", stamp=stamp())
    assert let_go(item, recipient="Wold Hire", stamp=stamp()).custody == "owner"


def test_on_its_way_an_item_is_at_no_site_until_scanned_in(item: Item) -> None:
    skelhope = SiteFactory(code="skelhope")
    sent = dispatch(item, to=skelhope, stamp=stamp())
    assert (sent.custody, sent.bound_for) == ("in-transit", skelhope)
    there = arrive(item, at=skelhope, stamp=stamp())
    assert (there.custody, there.site, there.bound_for) == ("site", skelhope, None)


def test_a_kit_takes_its_contents_along(site: Site) -> None:
    kit, there = kit_of(site), SiteFactory()
    dispatch(kit.item, to=there, stamp=stamp())
    arrive(kit.item, at=there, stamp=stamp())
    assert set(Item.objects.filter(part_of__kit=kit).values_list("site", flat=True)) == {there.pk}


def test_an_item_on_issue_is_not_issued_to_another_person(item: Item) -> None:
    ines, tomasz = PersonFactory(name="Ines Carrow"), PersonFactory()
    hand_out(item, to=ines, due_back_on=None, stamp=stamp())
    with pytest.raises(Refusal, match="on issue to Ines Carrow"):
        hand_out(item, to=tomasz, due_back_on=None, stamp=stamp())
    assert item.movements.get().kind == Movement.Kind.ISSUED


def test_a_zone_of_another_site_is_refused(item: Item) -> None:
    with pytest.raises(Refusal, match="not a zone of"):
        place_at(item, zone=ZoneFactory(), place="hook 3", stamp=stamp())


def test_changing_the_contents_of_a_kit_breaks_its_seal(site: Site) -> None:
    kit = kit_of(site)
    taken = take_out_part(kit, role="rope", stamp=stamp())
    kit.refresh_from_db()
    assert (kit.seal_intact, kit.contents_version) == (False, 2)
    with pytest.raises(Refusal, match="lacks rope"):
        seal_kit(kit, number="S-2", on=DAY, stamp=stamp())
    fill_part(kit, role="rope", item=taken, stamp=stamp())
    assert seal_kit(kit, number="S-2", on=DAY, stamp=stamp()).seal_intact


def test_a_seal_number_is_used_once(site: Site) -> None:
    first, second = kit_of(site), kit_of(site, name="RK-02")
    seal_kit(first, number="S-7", on=DAY, stamp=stamp())
    with pytest.raises(Refusal, match="used before"):
        seal_kit(second, number="S-7", on=DAY, stamp=stamp())


def test_an_opened_seal_says_why(site: Site) -> None:
    kit = unseal_kit(kit_of(site), kind="opened", reason="drill", stamp=stamp())
    assert kit.seal_events.get().reason == "drill"
    assert not kit.seal_intact


def test_a_part_cannot_be_in_two_kits_or_on_issue(site: Site, item: Item) -> None:
    kit, other = kit_of(site), kit_of(site, name="RK-02")
    take_out_part(kit, role="rope", stamp=stamp())
    with pytest.raises(Refusal, match="take it out first"):
        fill_part(kit, role="rope", item=other.parts.get(role="rope").item, stamp=stamp())
    hand_out(item, to=PersonFactory(), due_back_on=None, stamp=stamp())
    with pytest.raises(Refusal, match="get it back first"):
        fill_part(kit, role="rope", item=item, stamp=stamp())


def test_only_a_bag_of_the_class_rescue_kit_becomes_a_kit(item: Item) -> None:
    with pytest.raises(Refusal, match="not of the class"):
        make_kit(item, name="RK-09", roles=["rope"], stamp=stamp())


def test_the_same_file_is_kept_once(db: None) -> None:
    first = keep_document(b"%PDF-1.7", name="a.pdf", kind="declaration", stamp=stamp())
    assert keep_document(b"%PDF-1.7", name="b.pdf", kind="report", stamp=stamp()) == first


def test_the_made_date_of_a_month_counts_from_its_first_day(site: Site) -> None:
    [item] = receive_delivery(delivery(site), pieces("A-1"), stamp=stamp())
    assert (item.made_first_on, item.made_last_on) == (date(2025, 11, 1), date(2025, 11, 30))


def test_fresh_codes_are_sound_and_not_taken(item: Item) -> None:
    codes = fresh_codes(50)
    assert len(set(codes)) == 50
    assert all(is_giveable(code) for code in codes)
    assert item.code not in codes


def test_every_site_that_an_act_touches_has_newer_facts(item: Item) -> None:
    there = SiteFactory()
    before = {site.pk: site.facts_version for site in (item.site, there)}
    dispatch(item, to=there, stamp=stamp())
    after = dict(Site.objects.values_list("pk", "facts_version"))
    assert all(after[pk] > version for pk, version in before.items())


def test_acceptance_of_a_handful_is_one_act(site: Site) -> None:
    items = [ItemFactory(site=site, condition="received") for _ in range(5)]
    accept(items, on=DAY, stamp=stamp())
    assert Entry.objects.values("act").distinct().count() == 1


def test_a_withdrawn_item_does_not_come_back_from_service(item: Item) -> None:
    withdraw(item, ground="end of life", stamp=stamp())
    with pytest.raises(Refusal) as refused:
        take_back_from_service(item, certificate="C-9", stamp=stamp())
    assert refused.value.code == "not-in-that-condition"
    assert Item.objects.get(pk=item.pk).condition == "withdrawn"


def test_a_quarantined_item_is_not_accepted_like_a_new_one(item: Item) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    with pytest.raises(Refusal) as refused:
        accept([item], on=DAY, stamp=stamp())
    assert refused.value.code == "not-in-that-condition"
    assert Item.objects.get(pk=item.pk).condition == "quarantined"
