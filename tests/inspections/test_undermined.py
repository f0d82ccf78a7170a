"""What good news rested on is taken away, forgotten or carried elsewhere: the item is out."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.dating import state_dates
from inspections.actions.events import add_account
from inspections.actions.inspecting import Finding, correct_inspection, inspect
from inspections.actions.moving import arrive
from inspections.actions.undoing import agree_undo_withdrawal, ask_undo_withdrawal
from inspections.actions.using import release_from_quarantine
from inspections.conditions import usable_on, verdict_of
from inspections.models import Arrest, Authorisation, Inspection
from register.actions.conditions import let_go, quarantine, send_away, withdraw
from register.actions.custody import dispatch, hand_out
from register.actions.holding import hold
from register.models import Grant, Item, Kit, Site, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    inspector,
    kit_of,
    passed,
    stamp,
    user_as,
)

HOUR = timedelta(hours=1)


def code_of(act: object, *args: object, **kwargs: object) -> str:
    with pytest.raises(Refusal) as refused:
        act(*args, **kwargs)  # type: ignore[operator]
    return refused.value.code


def now(item: Item) -> Item:
    return Item.objects.select_related("product", "site").get(pk=item.pk)


def looked(item: Item, by: User, verdict: str = "pass", hours: int = 1) -> Inspection:
    at = NOON + hours * HOUR
    told = {"kind": "after-event", "performed_at": at, "inspector": by.person}
    return inspect(item, finding=Finding(verdict=verdict, **told), stamp=stamp(by, at=at))  # type: ignore[arg-type]


# A record that released an item is corrected


@pytest.mark.parametrize("verdict", ["not-presented", "not-accessible"])
def test_an_item_released_on_a_pass_that_never_was_is_quarantined_again(
    item: Item, huw: User, verdict: str
) -> None:
    passed(item, DAY - timedelta(days=5))
    quarantine(item, reason="dropped", stamp=stamp())
    wrong = looked(item, huw)
    release_from_quarantine(item, stamp=stamp(huw, at=NOON + 2 * HOUR))
    assert verdict_of(now(item), DAY).usable
    late = NOON + 3 * HOUR
    right = Finding(
        kind="after-event", verdict=verdict, performed_at=wrong.performed_at, inspector=huw.person
    )
    correct_inspection(wrong, finding=right, reason="Its twin.", stamp=stamp(huw, at=late))
    assert (now(item).condition, now(item).quarantine_reason) == ("quarantined", "dropped")


def test_a_correction_that_is_still_such_a_pass_leaves_the_item_in_service(
    item: Item, huw: User
) -> None:
    passed(item, DAY - timedelta(days=5))
    quarantine(item, reason="dropped", stamp=stamp())
    wrong = looked(item, huw)
    release_from_quarantine(item, stamp=stamp(huw, at=NOON + 2 * HOUR))
    right = Finding(
        kind="after-event",
        verdict="pass",
        performed_at=wrong.performed_at,
        inspector=huw.person,
        note="in the workshop",
    )
    late = stamp(huw, at=NOON + 3 * HOUR)
    correct_inspection(wrong, finding=right, reason="The place.", stamp=late)
    assert verdict_of(now(item), DAY).usable


# A withdrawal undone


@pytest.fixture
def oyelaran() -> User:
    return user_as("manager")


def test_a_withdrawal_undone_forgets_no_arrested_fall(
    item: Item, huw: User, oyelaran: User
) -> None:
    passed(item)
    quarantine(item, reason="arrested-a-fall", stamp=stamp())
    withdraw(item, ground="policy", stamp=stamp())
    late = NOON + HOUR
    ask_undo_withdrawal(item, because="Its twin.", stamp=stamp(huw, at=late))
    agree_undo_withdrawal(item, stamp=stamp(oyelaran, at=late))
    looked(item, huw, hours=2)
    last = stamp(inspector(), at=NOON + 3 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=last) == "finished-after-arrest"


def test_a_manager_with_a_second_role_is_not_competent_for_a_class_by_it(
    item: Item, oyelaran: User
) -> None:
    """Of the two, the competent one is authorised for the class."""
    withdraw(item, ground="policy", stamp=stamp())
    Grant.objects.create(user=oyelaran, role="competent-person")
    both = User.objects.get(pk=oyelaran.pk)
    ask_undo_withdrawal(item, because="Its twin.", stamp=stamp(both))
    other = user_as("manager")
    assert code_of(agree_undo_withdrawal, item, stamp=stamp(other)) == "not-authorised"
    Authorisation.objects.create(person=both.person, from_on=DAY, through_on=DAY)
    assert agree_undo_withdrawal(item, stamp=stamp(other)).condition == "quarantined"


# Who released it


def test_who_added_a_report_from_use_does_not_release_either(item: Item, huw: User) -> None:
    passed(item, DAY - timedelta(days=5))
    quarantine(item, reason="dropped", stamp=stamp(user_as("worker")))
    quarantine(item, reason="pre-use-check-failed", stamp=stamp(huw))
    looked(item, inspector())
    last = stamp(huw, at=NOON + 2 * HOUR)
    assert code_of(release_from_quarantine, item, stamp=last) == "releaser-reported-it"


# Evidence inside a bag


@pytest.mark.parametrize("act", [send_away, let_go])
def test_a_bag_does_not_carry_evidence_away(site: Site, act: object) -> None:
    kit = kit_of(site, "rope")
    rope = Item.objects.get(kit=kit)
    hold([rope], site=site, because="fall arrested", stamp=stamp())
    told = {"to": "Maker", "reference": "1"} if act is send_away else {"recipient": "Owner"}
    assert code_of(act, kit.item, stamp=stamp(), **told) == "held-as-evidence"


# What was in a fall


def fallen(site: Site, *items: Item, **told: object) -> Arrest:
    fall = Fall(**{"happened_at": NOON, "account": "A board turned.", **told})  # type: ignore[arg-type]
    return record_arrest(site, items=items, fall=fall, stamp=stamp(at=NOON + 3 * HOUR))


def test_what_the_wearer_had_then_is_out_wherever_it_went_since(site: Site) -> None:
    wearer = PersonFactory()
    mine = ItemFactory(site=site)
    hand_out(mine, to=wearer, due_back_on=None, stamp=stamp(at=NOON - HOUR))
    dispatch(mine, to=SiteFactory(), stamp=stamp(at=NOON + HOUR))
    fallen(site, wearer=wearer)
    assert now(mine).condition == "quarantined"


def test_a_kit_named_later_is_out_with_all_that_is_in_it(site: Site, item: Item) -> None:
    kit = kit_of(site, "rope")
    arrest = fallen(site, item)
    add_account(arrest, text="RK-01 too.", items=[kit.item], stamp=stamp(at=NOON + 4 * HOUR))
    assert Item.objects.get(kit=kit).condition == "quarantined"
    assert not Kit.objects.get(pk=kit.pk).seal_intact
    assert set(arrest.hold.items.all()) >= {kit.item, Item.objects.get(kit=kit)}


# Conditions of use inside a kit


def test_a_kit_with_a_part_passed_only_for_one_use_is_restricted_like_it(site: Site) -> None:
    kit = kit_of(site, "rope")
    rope = now(Item.objects.get(kit=kit))
    passed(rope, DAY, "detailed", restricted_to="restraint only")
    verdict = verdict_of(now(kit.item), DAY)
    assert (verdict.code, dict(verdict.facts)["restricted_to"]) == (
        "usable-restricted",
        "restraint only",
    )


# Dates


def test_first_use_is_never_stated_later_than_the_first_issue(item: Item) -> None:
    hand_out(item, to=PersonFactory(), due_back_on=None, stamp=stamp(at=NOON - timedelta(days=9)))
    told = {"owner": "", "hire_end_on": None, "proof_test_months": None, "because": "They say."}
    later = {"first_used_on": DAY - timedelta(days=1), "stamp": stamp()}
    assert code_of(state_dates, item, **told, **later) == "used-earlier"
    state_dates(item, **told, first_used_on=date(2025, 6, 1), stamp=stamp())


def test_lists_never_offer_an_anchor_that_has_just_arrived(site: Site) -> None:
    """It was found sound where it hung before."""
    other = SiteFactory()
    anchor = ItemFactory(site=site, product=ProductFactory(equipment_class="anchor"))
    passed(anchor, DAY - timedelta(days=5), "installation")
    dispatch(anchor, to=other, stamp=stamp())
    arrive(anchor, at=other, stamp=stamp())
    assert verdict_of(now(anchor), DAY).code == "clock-unknown"
    assert not Item.objects.filter(usable_on(DAY)).exists()
