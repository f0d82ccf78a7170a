"""A safety notice from entry to the last item: what is held, why, by whom it is freed."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

import pytest

from inspections.actions.inspecting import Finding, correct_inspection, inspect
from inspections.actions.notice_items import acknowledge, close_match, read_label, reopen_match
from inspections.actions.notices import issue_notice, revise_notice, withdraw_notice
from inspections.actions.receiving import receive_delivery
from inspections.actions.using import accept_into_service, issue
from inspections.bound import notices_on
from inspections.conditions import usable_on, verdict_of
from inspections.due_copies import disagreements
from inspections.intake.apply import bring_in_workbook
from inspections.matching import wrong_matches
from inspections.models import Notice, NoticeMatch
from inspections.notice_board import holding_words, silent_since
from inspections.wording import verdict_sentence
from register.actions.deliveries import Piece
from register.actions.label_reading import Label
from register.actions.ledger import verify_ledger
from register.models import Delivery, Entry, Item, Product, Site, Stamp
from register.refusal import Refusal
from register.rules.lifespan import read_span
from register.rules.serials import serial_key
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    inspector,
    kit_of,
    passed,
    stamp,
)
from tests.inspections.test_intake_apply import workbook

pytestmark = pytest.mark.django_db
LATER = NOON + timedelta(days=1)
SEEN = "in the hand, by Petra"


@pytest.fixture
def product() -> Product:
    made: Product = ProductFactory(maker="Orla", designation="Heron 2")
    return made


def piece(
    site: Site, product: Product, serial: str = "A1000", made: str = "2023-05", **more: Any
) -> Item:
    """An item in date, of that serial and made date."""
    span = read_span(made)
    item: Item = ItemFactory(
        site=site,
        product=product,
        serial=serial,
        serial_key=serial_key(serial),
        made_first_on=span.first,
        made_last_on=span.last,
        made_precision=span.precision,
        **more,
    )
    passed(item)
    return item


def notice(**told: Any) -> Notice:
    rule = {
        "products": [["ORLA", "Heron-2"]],
        "serials": [["A0990", "A1010"]],
        "made_from_on": date(2023, 1, 1),
        "made_through_on": date(2023, 8, 31),
        "received_on": DAY,
    }
    particulars = {"issuer": "Orla", "reference": "N-7", "kind": "stop-use", "text": "stop"}
    return Notice(**{**particulars, **rule, **told})


def means(product: Product) -> dict[str, Any]:
    """The rule of a notice that means every piece of the product."""
    days = {"made_from_on": None, "made_through_on": None}
    return {"products": [[product.maker, product.designation]], "serials": [], **days}


def entered(**told: Any) -> Notice:
    return issue_notice(notice(**told), stamp=stamp())


def is_usable(item: Item, day: date = DAY) -> bool:
    """As the rules judge it, and as a list finds it: they must agree."""
    judged = verdict_of(Item.objects.select_related("product").get(pk=item.pk), day).usable
    listed = Item.objects.filter(usable_on(day), pk=item.pk).exists()
    assert judged == listed
    return judged


def sentence(item: Item) -> str:
    return verdict_sentence(verdict_of(item, DAY))


def match_of(item: Item) -> NoticeMatch:
    return NoticeMatch.objects.select_related("item", "notice").get(
        item=item, notice__revised_by=None
    )


def special(item: Item, at: datetime = LATER, **told: Any) -> Any:
    """A special inspection by an authorised person."""
    user = inspector()
    finding = Finding(
        kind="special", verdict="pass", performed_at=at, inspector=user.person, **told
    )
    return inspect(item, finding=finding, stamp=Stamp(by=user, at=at))


def test_certain_and_possible_matches_are_held_in_the_same_act(
    site: Site, product: Product
) -> None:
    certain, rough = piece(site, product), piece(site, product, "A1001", "2023")
    out, other = piece(site, product, "A1011"), piece(site, ProductFactory())
    version = site.facts_version
    entered()
    assert [is_usable(one) for one in (certain, rough, out, other)] == [False, False, True, True]
    assert sentence(certain) == "DO NOT USE: held by safety notice Orla N-7, stop use"
    assert sentence(rough).endswith(
        "(it may be one of those meant: made date known only to the year; read the label)"
    )
    assert Item.objects.get(pk=certain.pk).condition == "in-service"
    site.refresh_from_db()
    assert site.facts_version > version
    chains = Entry.objects.filter(act__verb="issue-notice").values_list("thing_kind", flat=True)
    assert list(chains) == ["notice"]


def test_a_notice_for_information_holds_nothing(site: Site, product: Product) -> None:
    item = piece(site, product)
    entered(kind="information")
    assert is_usable(item)


def test_a_use_until_notice_is_a_clock_good_through_its_day(site: Site, product: Product) -> None:
    item = piece(site, product)
    last = DAY + timedelta(days=9)
    held = entered(kind="use-until", deadline_on=last)
    assert [is_usable(item, last + timedelta(days=n)) for n in (0, 1)] == [True, False]
    withdraw_notice(held, because="the maker took it back", stamp=stamp())
    assert is_usable(item, last + timedelta(days=1))
    assert not list(disagreements())


def test_a_kit_is_out_with_the_part_that_a_notice_holds_and_names_it(site: Site) -> None:
    kit = kit_of(site)
    descender = kit.parts.get(role="descender").item
    assert is_usable(kit.item)
    entered(**means(descender.product))
    assert not is_usable(kit.item)
    assert f"descender {descender.shown_code} in this kit: held by safety notice" in sentence(
        kit.item
    )


def test_a_delivery_is_traced_on_receipt_before_anything_is_accepted(
    site: Site, product: Product
) -> None:
    notice = entered()
    delivery = Delivery(product=product, site=site, received_on=DAY, delivery_note="DN-1")
    pieces = [Piece(serial="A1000", made=read_span("2023-05"))]
    (item,) = receive_delivery(delivery, pieces, stamp=stamp())
    assert match_of(item).notice == notice
    assert NoticeMatch.objects.to_settle().get().item == item


def test_a_special_inspection_recorded_before_the_notice_lifts_nothing(
    site: Site, product: Product
) -> None:
    """Whatever the clock of the device said."""
    item, user = piece(site, product), inspector()
    ahead = NOON + timedelta(hours=6)
    finding = Finding(kind="special", verdict="pass", performed_at=ahead, inspector=user.person)
    inspect(item, finding=finding, stamp=Stamp(by=user, at=NOON - timedelta(hours=1)))
    entered(kind="inspect-first")
    with pytest.raises(Refusal, match="no special inspection"):
        close_match(match_of(item), outcome="special-passed", because="done", stamp=stamp(at=LATER))


def test_what_is_held_does_not_go_over_the_hatch(site: Site, product: Product) -> None:
    item = piece(site, product)
    entered()
    with pytest.raises(Refusal, match="held by safety notice Orla N-7"):
        issue(item, to=PersonFactory(), due_back_on=None, stamp=stamp())


def test_inspect_first_is_lifted_by_a_special_inspection_made_since(
    site: Site, product: Product
) -> None:
    item, sister = piece(site, product), piece(site, product, "A1001")
    special(item, NOON - timedelta(days=2))
    entered(kind="inspect-first", instructions="look at the cam")
    with pytest.raises(Refusal, match="no special inspection passed"):
        close_match(match_of(item), outcome="special-passed", because="done", stamp=stamp())
    special(item)
    close_match(match_of(item), outcome="special-passed", because="cam sound", stamp=stamp())
    assert (is_usable(item), is_usable(sister)) == (True, False)


@pytest.mark.parametrize("flaw", ["not-authorised", "another-kind"])
def test_a_pass_by_the_wrong_person_or_of_another_kind_lifts_nothing(
    flaw: str, site: Site, product: Product
) -> None:
    item = piece(site, product)
    entered(kind="inspect-first")
    user = inspector()
    person = PersonFactory() if flaw == "not-authorised" else user.person
    kind = "detailed" if flaw == "another-kind" else "special"
    finding = Finding(kind=kind, verdict="pass", performed_at=LATER, inspector=person)
    inspect(item, finding=finding, stamp=Stamp(by=user, at=LATER))
    with pytest.raises(Refusal, match="no special inspection"):
        close_match(match_of(item), outcome="special-passed", because="done", stamp=stamp())


def test_a_pass_that_is_corrected_holds_the_item_again(site: Site, product: Product) -> None:
    item = piece(site, product)
    entered(kind="inspect-first")
    seen = special(item)
    close_match(match_of(item), outcome="special-passed", because="sound", stamp=stamp())
    finding = Finding(
        kind="special", verdict="not-presented", performed_at=LATER, inspector=seen.inspector
    )
    correct_inspection(seen, finding=finding, reason="it was another", stamp=stamp(at=LATER))
    assert not is_usable(item)
    assert NoticeMatch.objects.to_settle().get().item == item


def test_after_its_special_inspection_an_item_still_ends_with_the_last_day(
    site: Site, product: Product
) -> None:
    item, last = piece(site, product), DAY + timedelta(days=9)
    entered(kind="inspect-first", deadline_on=last)
    special(item)
    close_match(match_of(item), outcome="special-passed", because="sound", stamp=stamp())
    assert [is_usable(item, last + timedelta(days=n)) for n in (0, 1)] == [True, False]


def test_what_is_withdrawn_for_a_notice_stays_held_should_it_ever_come_back(
    site: Site, product: Product
) -> None:
    item = piece(site, product)
    entered()
    close_match(match_of(item), outcome="withdrawn", because="recalled", stamp=stamp())
    assert Item.objects.get(pk=item.pk).condition == "withdrawn"
    assert not NoticeMatch.objects.to_settle().exists()
    assert NoticeMatch.objects.holding().get().item == item


def test_one_settled_in_error_is_held_again_at_once(site: Site, product: Product) -> None:
    item = piece(site, product)
    entered()
    close_match(match_of(item), outcome="not-ours", because="red gate", stamp=stamp())
    assert is_usable(item)
    with pytest.raises(Refusal, match="settled already"):
        close_match(match_of(item), outcome="not-ours", because="again", stamp=stamp())
    reopen_match(match_of(item), because="the gate is grey", stamp=stamp())
    assert not is_usable(item)


@pytest.mark.parametrize(
    ("made", "certainty", "usable"),
    [("2023-05", "certain", False), ("2023-10", "none", True), ("2023-W35", "possible", False)],
)
def test_a_label_that_was_read_decides_at_once(
    made: str, certainty: str, *, usable: bool, site: Site, product: Product
) -> None:
    item = piece(site, product, made="2023")
    entered()
    read_label(item, label=Label(made=read_span(made)), how=SEEN, stamp=stamp())
    assert match_of(item).certainty == certainty
    assert is_usable(item) is usable


def test_another_serial_read_on_the_label_holds_an_item_that_was_not_meant(
    site: Site, product: Product
) -> None:
    item = piece(site, product, "A0099")
    entered()
    assert is_usable(item)
    read_label(item, label=Label(serial="A0999"), how=SEEN, stamp=stamp())
    assert not is_usable(item)
    assert not list(wrong_matches())


def test_who_was_called_not_meant_is_asked_again_when_the_label_says_more(
    site: Site, product: Product
) -> None:
    item = piece(site, product, made="2023")
    entered()
    close_match(match_of(item), outcome="not-ours", because="looks newer", stamp=stamp())
    read_label(item, label=Label(made=read_span("2023-05")), how=SEEN, stamp=stamp())
    assert (match_of(item).certainty, match_of(item).outcome) == ("certain", "")
    assert not is_usable(item)


def test_a_serial_read_that_another_item_has_is_refused(site: Site, product: Product) -> None:
    item, other = piece(site, product), piece(site, product, "A1001")
    with pytest.raises(Refusal, match=other.shown_code):
        read_label(item, label=Label(serial="a-1001"), how=SEEN, stamp=stamp())
    with pytest.raises(Refusal, match="Enter what the label says"):
        read_label(item, label=Label(), how=SEEN, stamp=stamp())


def test_what_comes_later_is_held_when_it_is_accepted(site: Site, product: Product) -> None:
    held = entered(made_from_on=None, made_through_on=None)
    delivery = Delivery(site=site, product=product, delivery_note="DN-1", received_on=DAY)
    pieces = [Piece(serial=one, made=read_span("2026-01")) for one in ("A1000", "A2000")]
    items = receive_delivery(delivery, pieces, stamp=stamp())
    accept_into_service(items, on=DAY, stamp=stamp())
    assert [one.item.serial for one in held.matches.all()] == ["A1000"]


def test_what_a_workbook_brings_in_is_held_as_it_comes(site: Site) -> None:
    products = {"products": [["ORRIN & TULL", ""]], "made_from_on": None, "made_through_on": None}
    last = DAY + timedelta(days=9)
    entered(**products, serials=[])
    entered(**products, serials=[], reference="N-8", kind="use-until", deadline_on=last)
    content = workbook({}, {"Tag": "TW-2", "Serial": "0000399", "Maker": "Brack"})
    bring_in_workbook(content, "register.xlsx", stamp=stamp(), on=DAY, date_order="")
    ours, other = Item.objects.order_by("serial")
    assert (is_usable(ours), is_usable(other)) == (False, True)
    assert ours.due.last_good_on == last
    assert not list(disagreements())
    assert not list(wrong_matches())


def test_a_revision_takes_over_what_was_settled_but_not_what_was_called_not_meant(
    site: Site, product: Product
) -> None:
    ours, mistaken = piece(site, product), piece(site, product, "A1001")
    wider = piece(site, product, "A1020")
    old = entered(kind="inspect-first")
    special(ours)
    close_match(match_of(ours), outcome="special-passed", because="sound", stamp=stamp())
    close_match(match_of(mistaken), outcome="not-ours", because="red gate", stamp=stamp())
    new = revise_notice(
        old,
        notice(kind="inspect-first", serials=[["A0990", "A1020"]]),
        because="more serials",
        stamp=stamp(),
    )
    assert str(new) == "Orla N-7, version 2"
    assert [is_usable(one) for one in (ours, mistaken, wider)] == [True, False, False]
    with pytest.raises(Refusal, match="withdrawn or revised"):
        withdraw_notice(old, because="late", stamp=stamp())


def test_a_revision_that_asks_more_asks_everybody_again(site: Site, product: Product) -> None:
    item = piece(site, product)
    old = entered(kind="inspect-first")
    special(item)
    close_match(match_of(item), outcome="special-passed", because="sound", stamp=stamp())
    revise_notice(old, notice(kind="stop-use"), because="failures found", stamp=stamp())
    assert not is_usable(item)


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"serials": [["A1010", "A0990"]]}, "reversed"),
        ({"serials": [["A100", "200"]]}, "unlike"),
        ({"made_from_on": DAY, "made_through_on": DAY - timedelta(days=1)}, "days-reversed"),
        ({"sold_from_on": DAY, "sold_through_on": DAY - timedelta(days=1)}, "days-reversed"),
        ({"kind": "use-until"}, "deadline-missing"),
        ({"kind": "stop-use", "deadline_on": DAY}, "deadline-not-for-this-kind"),
        ({"kind": "use-until", "deadline_on": DAY - timedelta(days=1)}, "before-received"),
        ({"received_on": DAY + timedelta(days=2)}, "in-the-future"),
        ({"reference": " - "}, "reference-empty"),
        (
            {"products": [], "serials": [], "made_from_on": None, "made_through_on": None},
            "rule-empty",
        ),
    ],
)
def test_a_notice_that_cannot_be_right_is_refused_and_nothing_kept(
    told: dict[str, Any], code: str, site: Site
) -> None:
    with pytest.raises(Refusal) as refused:
        entered(**told)
    assert refused.value.code == code
    assert not Notice.objects.exists()


def test_a_reference_is_entered_once_an_issuer_however_it_is_spelt(site: Site) -> None:
    entered()
    with pytest.raises(Refusal, match="entered already"):
        entered(issuer="ORLA", reference="n 7")
    assert entered(issuer="Brack").pk


def test_the_holder_is_reminded_until_somebody_says_that_they_know(
    site: Site, product: Product
) -> None:
    item = piece(site, product)
    entered()
    in_time, late = NOON + timedelta(days=1), NOON + timedelta(days=3)
    assert not NoticeMatch.objects.filter(silent_since(in_time)).exists()
    assert NoticeMatch.objects.filter(silent_since(late)).exists()
    acknowledge(match_of(item), how="by phone", stamp=stamp())
    assert not NoticeMatch.objects.filter(silent_since(late)).exists()
    assert not is_usable(item)


def test_the_morning_page_tells_what_notices_hold(site: Site) -> None:
    kit = kit_of(site)
    assert holding_words([site]) == ""
    rope = kit.parts.get(role="rope").item
    entered(**means(rope.product))
    assert holding_words([site]) == (
        "1 open safety notice: 1 item is held, and with them kit RK-01."
    )


def test_matches_as_stored_agree_with_the_records_and_a_row_changed_by_hand_is_found(
    site: Site, product: Product
) -> None:
    item = piece(site, product)
    entered()
    assert not list(wrong_matches())
    Item.objects.filter(pk=item.pk).update(serial="A2000", serial_key="A2000")
    assert [one.item for one in wrong_matches()] == [item]


def test_every_act_on_a_notice_stands_in_a_sound_ledger(site: Site, product: Product) -> None:
    item = piece(site, product, made="2023")
    held = entered()
    acknowledge(match_of(item), how="by phone", stamp=stamp())
    read_label(item, label=Label(made=read_span("2023-05")), how=SEEN, stamp=stamp())
    close_match(match_of(item), outcome="withdrawn", because="recalled", stamp=stamp())
    withdraw_notice(held, because="done", stamp=stamp())
    assert not verify_ledger().misfits


def test_what_holds_many_items_is_asked_in_one_query(
    site: Site, product: Product, django_assert_num_queries: Any
) -> None:
    items = [piece(site, product, f"A1{n:03}") for n in range(5)]
    entered()
    with django_assert_num_queries(1):
        assert len(notices_on(items)) == 5
