"""Acts that ask whether an item is usable, and the one sentence when it is not."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.actions.using import issue, release_from_quarantine, take_back
from inspections.conditions import overdue_on, standing_facts, usable_on, verdict_of, verdicts_of
from inspections.models import Defect, Due
from register.actions.conditions import quarantine
from register.models import Entry, Item
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    inspector,
    kit_of,
    passed,
    stamp,
)

WEEK = timedelta(days=7)


def finding(verdict: str, by: object, **particulars: object) -> Finding:
    told = {"kind": "detailed", "performed_at": NOON, "inspector": by, **particulars}
    return Finding(verdict=verdict, **told)  # type: ignore[arg-type]


def test_an_item_is_usable_through_its_due_day_and_not_after(item: Item) -> None:
    passed(item, DAY)
    due_on = Due.objects.get(item=item).last_good_on
    assert verdict_of(item, due_on).usable
    assert not verdict_of(item, due_on + timedelta(days=1)).usable


def test_a_pass_by_an_authorised_inspector_moves_the_clock(item: Item) -> None:
    huw = inspector()
    before = Due.objects.get(item=item).last_good_on
    inspection = inspect(item, finding=finding("pass", huw.person), stamp=stamp(huw))
    assert inspection.counts
    assert Due.objects.get(item=item).last_good_on > before


def test_a_pass_by_somebody_not_authorised_is_kept_and_moves_no_clock(item: Item) -> None:
    other = PersonFactory()
    before = Due.objects.get(item=item).last_good_on
    inspection = inspect(item, finding=finding("pass", other), stamp=stamp())
    assert (inspection.counts, inspection.counts_not_because) == (False, "not-authorised")
    assert Due.objects.get(item=item).last_good_on == before


def test_a_fail_withdraws_when_authorised_and_quarantines_from_anyone_else(site: object) -> None:
    flaw = Flaw(grade="A", what="edge cut of 3 mm", place="left leg strap")
    conditions = []
    for who in (inspector().person, PersonFactory()):
        item = ItemFactory(site=site)
        inspect(item, finding=finding("fail", who, flaws=[flaw]), stamp=stamp())
        item.refresh_from_db()
        conditions.append(item.condition)
        assert not verdict_of(item, DAY).usable
    assert conditions == ["withdrawn", "quarantined"]


def test_the_same_finding_sent_twice_is_recorded_once(item: Item, huw: object) -> None:
    told = finding("pass", inspector().person)
    first = inspect(item, finding=told, stamp=stamp())
    assert inspect(item, finding=told, stamp=stamp()) == first
    assert item.inspections.count() == 1


def test_an_inspection_in_the_future_is_refused(item: Item) -> None:
    late = finding("pass", inspector().person, performed_at=NOON + timedelta(days=2))
    with pytest.raises(Refusal, match="in the future"):
        inspect(item, finding=late, stamp=stamp())


def test_an_item_cannot_pass_with_a_defect_that_is_a_danger_now(item: Item) -> None:
    flaw = Flaw(grade="A", what="gate does not close")
    with pytest.raises(Refusal):
        inspect(item, finding=finding("pass", inspector().person, flaws=[flaw]), stamp=stamp())
    assert item.inspections.count() == 0


def test_issue_refuses_what_is_not_usable_through_the_expected_return(item: Item) -> None:
    passed(item, DAY)
    due_on = Due.objects.get(item=item).last_good_on
    ines = PersonFactory(name="Ines Carrow")
    with pytest.raises(Refusal, match="OK only until"):
        issue(item, to=ines, due_back_on=due_on + WEEK, stamp=stamp())
    assert issue(item, to=ines, due_back_on=due_on, stamp=stamp()).holder == ines


@pytest.mark.parametrize(
    ("loaded", "wrong", "condition", "reason"),
    [
        ("no", "no", "in-service", ""),
        ("yes", "no", "quarantined", "suspected-load"),
        ("no", "yes", "quarantined", "damage-found"),
        ("no", "unsure", "quarantined", "returned-unsure"),
    ],
)
def test_yes_or_dont_know_to_either_question_is_quarantine(
    item: Item, loaded: str, wrong: str, condition: str, reason: str
) -> None:
    take_back(item, loaded=loaded, wrong=wrong, stamp=stamp())
    item.refresh_from_db()
    assert (item.condition, item.quarantine_reason) == (condition, reason)


def test_a_quarantined_item_is_released_only_on_a_pass_performed_since(item: Item) -> None:
    huw = inspector()
    quarantine(item, reason="damage-found", stamp=stamp())
    with pytest.raises(Refusal, match="stays in quarantine"):
        release_from_quarantine(item, stamp=stamp(huw))
    later = NOON + timedelta(hours=1)
    looked = finding("pass", huw.person, performed_at=later)
    inspect(item, finding=looked, stamp=stamp(huw, at=later))
    released = release_from_quarantine(item, stamp=stamp(huw, at=later))
    assert released.condition == "in-service"


def test_what_arrested_a_fall_is_not_released_where_its_maker_says_that_ends_it(item: Item) -> None:
    quarantine(item, reason="arrested-a-fall", stamp=stamp())
    with pytest.raises(Refusal, match="arrested a fall"):
        release_from_quarantine(item, stamp=stamp(inspector()))


def test_the_condition_in_sql_and_the_rule_agree_item_by_item(site: object) -> None:
    fine, out, overdue = (ItemFactory(site=site) for _ in range(3))
    passed(fine, DAY)
    passed(out, DAY)
    quarantine(out, reason="damage-found", stamp=stamp())
    passed(overdue, DAY - timedelta(days=400))
    kit, broken = kit_of(site), kit_of(site, name="RK-02")
    broken.seal_intact = False
    broken.save()
    rotten = kit_of(site, name="RK-03")
    quarantine(rotten.parts.first().item, reason="damage-found", stamp=stamp())
    empty = kit_of(site, name="RK-04")
    empty.parts.update(item=None)
    for day in (DAY, DAY + timedelta(days=100), DAY + timedelta(days=400)):
        items = list(Item.objects.select_related("product"))
        by_rule = {pk for pk, verdict in verdicts_of(items, day).items() if verdict.usable}
        by_query = set(Item.objects.filter(usable_on(day)).values_list("pk", flat=True))
        assert by_rule == by_query
    assert Item.objects.filter(usable_on(DAY)).filter(pk=kit.item_id).exists()
    assert list(Item.objects.filter(overdue_on(DAY))) == [overdue]


def test_verdicts_take_a_fixed_number_of_queries(
    site: object, django_assert_num_queries: object
) -> None:
    kit_of(site)
    for count in (1, 10):
        for _ in range(count):
            passed(ItemFactory(site=site), DAY)
        items = list(Item.objects.select_related("product"))
        with django_assert_num_queries(5):  # type: ignore[operator]
            verdicts_of(items, DAY)


def test_a_kit_joined_to_its_item_is_judged_as_one_that_is_asked_for(
    site: object, django_assert_num_queries: object
) -> None:
    kit = kit_of(site)
    kit.parts.filter(role="rope").update(item=None)
    asked = [Item.objects.select_related("product").get(pk=kit.item_id)]
    joined = [Item.objects.select_related("product", "as_kit").get(pk=kit.item_id)]
    with django_assert_num_queries(4):  # type: ignore[operator]
        found = verdicts_of(joined, DAY)
    assert found == verdicts_of(asked, DAY)
    assert found[kit.item_id].code == "kit-problem"


def test_every_defect_of_an_inspection_keeps_its_day(item: Item) -> None:
    seen = passed(item, DAY)
    days = [DAY + timedelta(days=9), DAY + timedelta(days=4)]
    for day in (*days, None):
        grade = "B" if day else "C"
        Defect.objects.create(inspection=seen, grade=grade, what="fuzz", danger_by_on=day)
    [fact] = standing_facts([item])[item.pk]
    assert sorted(fact.danger_by) == sorted(days)
    assert (fact.kind, fact.verdict, fact.counts) == ("detailed", "pass", True)
    assert verdict_of(item, DAY).through == days[1]


def test_each_act_leaves_one_entry_in_the_chain_of_its_item(item: Item, petra: object) -> None:
    quarantine(item, reason="damage-found", stamp=stamp(petra))
    [entry] = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk))
    assert entry.facts == {"from": "in-service", "to": "quarantined", "reason": "damage-found"}
    assert entry.act.at == datetime(2026, 3, 9, 12, tzinfo=UTC)
