"""A round through its acts: bad news at once, good news with the signature, nothing twice."""

from __future__ import annotations

import uuid
from datetime import datetime, timedelta
from itertools import permutations
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.actions.finding import Finding, Flaw
from inspections.actions.inspecting import correct_inspection
from inspections.actions.round_ends import drop_round, note_stray, sign_round, take_on_in_round
from inspections.actions.rounds import Plan, begin_round, look_in_round, stop_in_round
from inspections.as_known import as_known
from inspections.conditions import verdict_of
from inspections.models import Authorisation, Due, Inspection, Round, RoundLine
from inspections.round_board import lines_of, others_at, tally_of, unsigned_for_long
from inspections.round_wording import tally_sentence
from register.actions.conditions import withdraw
from register.models import Entry, Item, Product, Role, Site, User
from register.refusal import Refusal
from register.rules.conditions import Condition
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    ProductFactory,
    SiteFactory,
    inspector,
    passed,
    stamp,
    user_as,
)
from tests.inspections.test_round_lines import CASES

pytestmark = pytest.mark.django_db
LONG_AGO = DAY - timedelta(days=170)
MINUTE = timedelta(minutes=1)


@pytest.fixture
def items(site: Site) -> list[Item]:
    """Five harnesses that fall due in a few days."""
    made = [ItemFactory(site=site) for _ in range(5)]
    for item in made:
        passed(item, LONG_AGO)
    return made


def begun(by: User, site: Site, items: list[Item], at: datetime = NOON) -> Round:
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    return begin_round(plan, inspector=by.person, items=items, stamp=stamp(by, at))


def told(verdict: str = "pass", at: datetime = NOON, **facts: Any) -> Finding:
    flaws = [Flaw(grade="A", what="edge cut")] if verdict == "fail" else []
    facts = {"flaws": flaws, "inspector": None, **facts}
    return Finding(kind="detailed", verdict=verdict, performed_at=at, **facts)


def look(found: Round, item: Item, by: User, verdict: str = "pass", **facts: Any) -> RoundLine:
    return look_in_round(found, item, finding=told(verdict, **facts), stamp=stamp(by))


def sign(found: Round, by: User, at: datetime = NOON + 9 * MINUTE) -> Round:
    return sign_round(found, stated=True, stamp=stamp(by, at))


def last_good(item: Item) -> object:
    return Due.objects.get(item=item).last_good_on


def test_a_pass_counts_only_when_the_round_is_signed(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, before = begun(huw, site, items), last_good(items[0])
    line = look(found, items[0], huw)
    assert line.inspection is not None
    assert line.inspection.counts_not_because == "unsigned"
    assert last_good(items[0]) == before
    sign(found, huw)
    assert last_good(items[0]) != before
    assert Inspection.objects.get(pk=line.inspection.pk).counts


def test_each_item_keeps_its_own_time_whenever_the_round_is_signed(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    for n, item in enumerate(items):
        look(found, item, huw, at=NOON + n * MINUTE)
    sign(found, huw)
    times = Inspection.objects.filter(round_line__round=found).values_list(
        "performed_at", flat=True
    )
    assert sorted(times) == [NOON + n * MINUTE for n in range(5)]


def test_at_an_earlier_moment_the_unsigned_pass_was_not_known_to_count(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw)
    sign(found, huw)
    then, now = NOON + 5 * MINUTE, NOON + 10 * MINUTE
    assert as_known(items[0], then).verdict.through != as_known(items[0], now).verdict.through


def test_a_fail_is_out_at_once_and_withdrawn_by_the_signature(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    line = stop_in_round(found, items[0], verdict="fail", look=uuid.uuid4(), stamp=stamp(huw))
    assert Item.objects.get(pk=items[0].pk).condition == Condition.QUARANTINED
    with pytest.raises(Refusal, match="not written down"):
        sign(found, huw)
    assert line is not None
    look(found, items[0], huw, "fail", id=line.look)
    assert Item.objects.get(pk=items[0].pk).condition == Condition.QUARANTINED
    sign(found, huw)
    assert Item.objects.get(pk=items[0].pk).condition == Condition.WITHDRAWN
    assert RoundLine.objects.filter(round=found, item=items[0]).count() == 1


def test_a_fail_that_is_never_signed_keeps_the_item_out(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw, "fail")
    look(found, items[1], huw)
    drop_round(found, because="phone lost", stamp=stamp(huw))
    assert Item.objects.get(pk=items[0].pk).condition == Condition.QUARANTINED
    looks = Inspection.objects.filter(round_line__round=found)
    assert set(looks.values_list("counts", "counts_not_because")) == {(False, "round-dropped")}
    with pytest.raises(Refusal, match="closed"):
        sign(found, huw)


def test_on_the_list_never_becomes_inspected(site: Site, huw: User, items: list[Item]) -> None:
    found, before = begun(huw, site, items), [last_good(item) for item in items]
    look(found, items[0], huw)
    sign(found, huw)
    assert [last_good(item) for item in items[1:]] == before[1:]
    states = found.lines.filter(item__in=items[1:]).values_list("state", flat=True)
    assert set(states) == {"not-presented"}
    assert Inspection.objects.filter(item__in=items[1:], performed_on=DAY).count() == 0


def test_the_same_look_sent_twice_is_one_line_and_one_record(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, one = begun(huw, site, items), told()
    for _ in range(2):
        look_in_round(found, items[0], finding=one, stamp=stamp(huw))
    assert Inspection.objects.filter(pk=one.id).count() == 1
    assert found.lines.count() == 5
    with pytest.raises(Refusal, match="look at it anew"):
        look_in_round(found, items[1], finding=one, stamp=stamp(huw))


def test_a_second_look_in_the_round_is_a_line_of_its_own(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw)
    look(found, items[0], huw, "fail")
    tally = tally_of(lines_of(found))
    assert (tally.done, tally.out, tally.listed) == (1, 1, 5)
    assert found.lines.count() == 6


def test_what_was_not_presented_may_still_turn_up_but_not_the_other_way_round(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw, "not-presented")
    look(found, items[0], huw)
    assert found.lines.get(item=items[0]).state == "seen"
    with pytest.raises(Refusal, match="it was there"):
        look(found, items[0], huw, "not-presented")


@pytest.mark.parametrize("order", list(permutations(range(3))))
def test_the_order_of_the_looks_changes_nothing(
    site: Site, huw: User, items: list[Item], order: tuple[int, ...]
) -> None:
    found = begun(huw, site, items)
    verdicts = ("pass", "fail", "not-presented")
    for n in order:
        look(found, items[n], huw, verdicts[n], at=NOON + n * MINUTE)
    sign(found, huw)
    conditions = [Item.objects.get(pk=item.pk).condition for item in items[:3]]
    assert conditions == ["in-service", "withdrawn", "in-service"]
    tally = tally_of(lines_of(found))
    assert (tally.done, tally.out, tally.not_presented, tally.not_seen) == (2, 1, 3, 0)


def test_who_is_not_authorised_keeps_the_look_and_it_never_counts(
    site: Site, items: list[Item]
) -> None:
    ivo = user_as(Role.COMPETENT, site)
    found = begun(ivo, site, items)
    look(found, items[0], ivo)
    look(found, items[1], ivo, "fail")
    sign(found, ivo)
    reasons = set(
        Inspection.objects.filter(round_line__round=found).values_list("counts_not_because")
    )
    assert reasons == {("not-authorised",)}
    assert Item.objects.get(pk=items[1].pk).condition == Condition.QUARANTINED


def test_a_right_that_ended_before_the_signature_lets_nothing_count(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw)
    Authorisation.objects.filter(person=huw.person).update(through_on=DAY - timedelta(days=1))
    sign(found, huw)
    assert not Inspection.objects.filter(round_line__round=found, counts=True).exists()


def test_a_corrected_look_is_not_brought_back_by_the_signature(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    line = look(found, items[0], huw)
    assert line.inspection is not None
    right = told("refer", flaws=[Flaw(grade="C", what="fuzz")], inspector=huw.person)
    correct_inspection(line.inspection, finding=right, reason="wrong item", stamp=stamp(huw))
    sign(found, huw)
    assert not Inspection.objects.get(pk=line.inspection.pk).counts
    assert not verdict_of(Item.objects.get(pk=items[0].pk), DAY).usable


def test_an_item_withdrawn_meanwhile_cannot_pass_and_one_passed_before_stays_withdrawn(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw)
    for item in items[:2]:
        withdraw(item, ground="policy", stamp=stamp(huw, NOON + MINUTE))
    with pytest.raises(Refusal, match="withdrawn for good"):
        look(found, items[1], huw, at=NOON + 2 * MINUTE)
    sign(found, huw)
    assert Item.objects.get(pk=items[0].pk).condition == Condition.WITHDRAWN


def test_only_its_inspector_signs_and_only_what_was_seen(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, nia = begun(huw, site, items), inspector(site)
    with pytest.raises(Refusal, match="Nothing was looked at"):
        sign(found, huw)
    look(found, items[0], huw)
    with pytest.raises(Refusal, match="nobody else can sign"):
        sign(found, nia)
    with pytest.raises(Refusal, match="tick it"):
        sign_round(found, stated=False, stamp=stamp(huw))
    assert not Round.objects.get(pk=found.pk).signed_at
    assert sign(found, huw).signed_at == sign(found, huw, NOON + 20 * MINUTE).signed_at


def test_bad_news_in_the_round_of_another_still_takes_the_item_out(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, nia = begun(huw, site, items), inspector(site)
    look_id = uuid.uuid4()
    assert stop_in_round(found, items[0], verdict="fail", look=look_id, stamp=stamp(nia)) is None
    assert Item.objects.get(pk=items[0].pk).condition == Condition.QUARANTINED
    with pytest.raises(Refusal, match="begin your own"):
        look(found, items[1], nia)


def test_two_inspectors_at_one_crate_are_told_and_both_looks_stand(
    site: Site, huw: User, items: list[Item]
) -> None:
    nia = inspector(site)
    mine, theirs = begun(huw, site, items), begun(nia, site, items[:2])
    name = nia.person.name
    assert others_at(mine, [items[0].pk])[items[0].pk].startswith(f"It is on the list of {name}")
    look(theirs, items[0], nia, at=NOON + MINUTE)
    assert others_at(mine, [items[0].pk])[items[0].pk] == f"{name} looked at it at 12:01: pass."
    assert items[2].pk not in others_at(mine, [items[2].pk])
    look(mine, items[0], huw)
    for found, by in ((mine, huw), (theirs, nia)):
        sign(found, by)
    assert items[0].inspections.filter(performed_on=DAY, counts=True).count() == 2


def test_a_round_begun_twice_with_one_id_is_one_round(
    site: Site, huw: User, items: list[Item]
) -> None:
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    for _ in range(2):
        begin_round(plan, inspector=huw.person, items=items, stamp=stamp(huw))
    assert RoundLine.objects.count() == 5
    with pytest.raises(Refusal, match="begin your own"):
        begin_round(plan, inspector=inspector().person, items=items, stamp=stamp())


def test_a_round_needs_somebody_who_can_sign_it_and_items_of_its_site(
    site: Site, huw: User
) -> None:
    plan = Plan(site=site, kind="detailed", id=uuid.uuid4())
    with pytest.raises(Refusal, match="linked to no person"):
        begin_round(plan, inspector=None, items=[], stamp=stamp(huw))
    with pytest.raises(Refusal, match="is not at"):
        begin_round(plan, inspector=huw.person, items=[ItemFactory()], stamp=stamp(huw))


def test_an_item_on_no_record_is_taken_on_in_quarantine_once(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, product, look_id = begun(huw, site, items), ProductFactory(), uuid.uuid4()
    for _ in range(2):
        line = take_on_in_round(
            found, product, serial="X-1", text="OLD 7", look=look_id, stamp=stamp(huw)
        )
    assert line.item is not None
    taken = Item.objects.get(pk=line.item.pk)
    assert (taken.condition, taken.quarantine_reason) == ("quarantined", "age-not-established")
    assert product.items.count() == 1
    assert taken.tags.count() == 1
    assert not verdict_of(taken, DAY).usable
    assert tally_of(lines_of(found)).unknown == 1


def test_two_pieces_without_a_serial_are_two_items(site: Site, huw: User) -> None:
    found, product = begun(huw, site, []), ProductFactory()
    for _ in range(2):
        take_on_in_round(found, product, serial="", text="", look=uuid.uuid4(), stamp=stamp(huw))
    assert product.items.values("serial_key").distinct().count() == 2


def test_a_serial_that_is_known_is_not_taken_on_and_no_new_product_stays_behind(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, known = begun(huw, site, items), items[0]
    with pytest.raises(Refusal, match="registered already"):
        take_on_in_round(
            found, known.product, serial=known.serial, text="", look=uuid.uuid4(), stamp=stamp(huw)
        )
    new = Product(maker=known.product.maker, designation=known.product.designation)
    new.equipment_class = "harness"
    with pytest.raises(Refusal, match="entered already"):
        take_on_in_round(found, new, serial="", text="", look=uuid.uuid4(), stamp=stamp(huw))
    assert found.lines.count() == 5


def test_a_code_of_no_one_and_an_item_of_another_site_stand_as_that(
    site: Site, huw: User, items: list[Item]
) -> None:
    found, far = begun(huw, site, items), ItemFactory(site=SiteFactory())
    note_stray(found, text="ABC", item=None, look=uuid.uuid4(), stamp=stamp(huw))
    note_stray(found, text=far.code, item=far, look=uuid.uuid4(), stamp=stamp(huw))
    tally = tally_of(lines_of(found))
    assert (tally.unknown, tally.elsewhere, tally.done) == (1, 1, 0)
    with pytest.raises(Refusal, match="booked in here first"):
        look(found, far, huw)


def test_a_round_left_open_for_over_a_day_is_named(site: Site, huw: User) -> None:
    found = begun(huw, site, [])
    day = timedelta(hours=24)
    assert unsigned_for_long([site], NOON + day) == []
    assert unsigned_for_long([site], NOON + day + MINUTE) == [found]


def test_the_acts_stand_in_the_ledger_of_the_round_and_of_its_items(
    site: Site, huw: User, items: list[Item]
) -> None:
    found = begun(huw, site, items)
    look(found, items[0], huw)
    sign(found, huw)
    verbs = (
        Entry.objects.filter(thing_kind="round").order_by("seq").values_list("act__verb", flat=True)
    )
    assert list(verbs) == ["begin-round", "look-in-round", "sign-round"]
    signed = Entry.objects.filter(act__verb="sign-round", thing_kind="item")
    assert signed.count() == len(items)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_the_acts_do_what_the_cases_of_the_rules_say(
    site: Site, huw: User, case: dict[str, Any]
) -> None:
    made = {key: ItemFactory(site=site) for key in "abcz"}
    found, refused = begun(huw, site, [made[key] for key in case["listed"]]), 0
    for key, verdict in case["acts"]:
        try:
            look(found, made[key], huw, verdict)
        except Refusal:
            refused += 1
    assert refused == case.get("refused", 0)
    assert tally_sentence(tally_of(lines_of(found))) == case["tally"]
    if case["acts"]:
        sign(found, huw)
        assert tally_sentence(tally_of(lines_of(found))) == case["signed"]


def test_signing_asks_no_more_for_what_was_not_seen(site: Site, huw: User) -> None:
    asked = []
    for size in (2, 30):
        found = begun(huw, site, [ItemFactory(site=site) for _ in range(size)])
        first = found.lines.first()
        assert first
        assert first.item
        look(found, first.item, huw)
        with CaptureQueriesContext(connection) as queries:
            sign(found, huw)
        asked.append(len(queries))
    assert asked[1] <= asked[0] + 1  # one statement more for the ledger's heads
