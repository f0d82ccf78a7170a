"""The pack agrees with the register on every item and every day of its life, and names nobody idly."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from inspections.actions.finding import Finding
from inspections.actions.rounds import Plan, begin_round, look_in_round, stop_in_round
from inspections.conditions import states_of, verdicts_of
from inspections.models import Inspection
from inspections.packs.making import days_of, mark_of, site_pack
from inspections.rules.clocks import Clock
from inspections.rules.phone_verdict import (
    GOOD_FOR,
    Known,
    Pack,
    PackItem,
    PackSpell,
    phone_verdict,
)
from inspections.rules.spells import spells
from inspections.rules.verdict import ItemState, KitPart, usable
from register.actions.conditions import quarantine
from register.clock import now
from register.models import Item, Role, Site, User
from register.rules.conditions import Condition
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

db = pytest.mark.django_db
NEAR = st.integers(-3, 6).map(lambda n: DAY + timedelta(days=n))
NAMES = st.sampled_from(["detailed", "life-from-made", "defect", "hire", "storage"])
CLOCKS = st.lists(st.builds(Clock, NAMES, st.one_of(NEAR, NEAR, st.none())), max_size=4).map(tuple)
STATES = st.builds(
    ItemState,
    condition=st.sampled_from(["in-service"] * 6 + ["quarantined", "withdrawn", "received"]),
    custody=st.sampled_from(["stores"] * 6 + ["transit", "kit"]),
    clocks=CLOCKS,
)
KITS = st.builds(
    lambda kit, parts: ItemState(
        condition=kit.condition, custody=kit.custody, clocks=kit.clocks, kit_parts=tuple(parts)
    ),
    STATES,
    st.lists(st.builds(KitPart, st.sampled_from(["rope", "pulley"]), STATES), max_size=3),
)


@given(state=st.one_of(STATES, KITS))
def test_the_spells_are_the_registers_own_verdict_on_every_day(state: ItemState) -> None:
    last = DAY + timedelta(days=5)
    found = spells(state, DAY, last)
    for n in range(6):
        day = DAY + timedelta(days=n)
        standing = [one.verdict for one in found if one.from_on <= day][-1]
        assert standing == usable(state, day)


def a_store_full(site: Site) -> list[Item]:
    """Items that end within the life of a pack, that are out, that are parts, and that are sound."""
    fresh = [ItemFactory(site=site, holder=PersonFactory(), custody="person") for _ in range(2)]
    passed(fresh[0], DAY - timedelta(days=1))
    soon = ItemFactory(site=site)
    passed(soon, DAY, good_until_on=DAY + timedelta(days=1))
    hired = ItemFactory(site=site, hire_end_on=DAY + timedelta(days=2))
    passed(hired, DAY)
    ItemFactory(site=site, accepted_on=None)
    out = ItemFactory(site=site)
    quarantine(out, reason="damage-found", stamp=stamp())
    kit = kit_of(site)
    first = kit.parts.first()
    assert first is not None
    assert first.item is not None
    passed(first.item, DAY, good_until_on=DAY + timedelta(days=2))
    return list(Item.objects.with_product())


def phone_of(pack: dict[str, Any], code: str) -> tuple[Pack, PackItem]:
    """As a phone reads it."""
    item = pack["items"][code]
    made, until = (datetime.fromisoformat(pack[name]) for name in ("made_at", "good_until_at"))
    told = tuple(
        PackSpell(date.fromisoformat(day), ok, date.fromisoformat(to) if to else None, why)
        for day, ok, to, why, _said, _do in item["spells"]
    )
    parts = tuple(part for _role, part, required in item.get("card", []) if required and part)
    return Pack(made, until, pack["site"]["zone"]), PackItem(code, told, parts)


@db
def test_a_phone_says_of_every_item_what_the_register_says_on_each_day(
    site: Site, huw: User
) -> None:
    items = a_store_full(site)
    pack: dict[str, Any] = site_pack(site, huw, NOON, names=True)
    differing = []
    for hours in range(0, int(GOOD_FOR.total_seconds()) // 3600, 6):
        at = NOON + timedelta(hours=hours)
        verdicts = verdicts_of(items, at.date())
        for item in items:
            there, mine = phone_of(pack, item.code)
            said = phone_verdict(there, mine, Known(), code=item.code, at=at)
            told = verdicts[item.pk]
            if (said.usable, said.code) != (told.usable, told.code):
                differing.append((item.code, at, said, told))
            if told.usable and said.through != told.through:
                differing.append((item.code, at, said, told))
    assert differing == []
    assert {spell[3] for one in pack["items"].values() for spell in one["spells"]} >= {
        *("usable", "clock-passed", "clock-unknown", "quarantined", "kit-part"),
    }


@db
def test_what_a_pass_would_give_is_what_the_register_gives_after_it(site: Site, huw: User) -> None:
    items = [one for one in a_store_full(site) if one.condition == Condition.IN_SERVICE][:4]
    pack: dict[str, Any] = site_pack(site, huw, NOON, names=True)
    for n, day in enumerate(pack["days"]):
        for item in items:
            for kind, lasts in pack["items"][item.code]["if_passed"].items():
                plain = kind.removesuffix("+periodic")
                on = date.fromisoformat(day)
                told = {"covers_periodic": plain != kind}
                made = passed(item, on, plain, **told)
                first = min(c.last_day or date.min for c in states_of([item])[item.pk].clocks)
                Inspection.objects.filter(pk=made.pk).delete()
                assert lasts[n] == (None if first == date.min else first.isoformat())


@db
def test_the_queries_of_a_pack_do_not_grow_with_the_items(
    site: Site, huw: User, django_assert_max_num_queries: Any
) -> None:
    for n in range(3):
        kit_of(site, name=f"RK-{n}")
        ItemFactory(site=site, holder=PersonFactory(), custody="person")
    with django_assert_max_num_queries(22):
        site_pack(site, huw, NOON, names=True)


@db
def test_it_says_nothing_of_another_sites_items(site: Site, huw: User) -> None:
    ours, theirs = ItemFactory(site=site), ItemFactory(site=SiteFactory())
    pack: dict[str, Any] = site_pack(site, huw, NOON, names=True)
    assert ours.code in pack["items"]
    assert theirs.code not in pack["items"]


def fetched(user: User, site: Site, **headers: str) -> Any:
    client = Client()
    client.force_login(user)
    return client.get(reverse("readiness:pack", args=[site.code]), headers=headers)


@db
def test_a_worker_gets_it_without_who_holds_what(site: Site) -> None:
    holder = PersonFactory(name="Morag Dunnet")
    ItemFactory(site=site, holder=holder, custody="person")
    worker, boss = user_as(Role.WORKER, site), user_as(Role.SUPERVISOR, site)
    assert "Morag Dunnet" not in fetched(worker, site).content.decode()
    assert "Morag Dunnet" in fetched(boss, site).content.decode()


@db
def test_the_same_pack_is_not_sent_twice_and_a_changed_one_is(site: Site, huw: User) -> None:
    item = ItemFactory(site=site)
    first = fetched(huw, site)
    assert first.status_code == 200
    again = fetched(huw, site, if_none_match=first["ETag"])
    assert (again.status_code, again.content) == (304, b"")
    quarantine(item, reason="damage-found", stamp=stamp(huw, now()))
    assert fetched(huw, site, if_none_match=first["ETag"]).status_code == 200


@db
def test_its_mark_is_another_on_another_day_and_for_another_right(site: Site, huw: User) -> None:
    mark = mark_of(site, huw, NOON, names=True)
    assert mark == mark_of(site, huw, NOON + timedelta(hours=1), names=True)
    assert mark != mark_of(site, huw, NOON + timedelta(days=1), names=True)
    assert mark != mark_of(site, inspector(), NOON, names=True)
    assert mark != mark_of(site, huw, NOON, names=False)


@db
def test_it_carries_what_an_inspector_needs(site: Site, huw: User) -> None:
    item = ItemFactory(site=site, product=ProductFactory(equipment_class="harness"))
    pack: dict[str, Any] = fetched(huw, site).json()
    version = pack["checklists"]["of_class"]["harness"]
    assert pack["checklists"]["by_hash"][version]["parts"]
    assert pack["items"][item.code]["if_passed"]["detailed"]
    assert pack["sheets"]["tasks"] == []
    assert pack["people"] == {}
    assert "not-in-pack" in pack["phrases"]


@db
def test_it_carries_the_round_as_far_as_it_was_gone(site: Site, huw: User) -> None:
    good, bad, rest = (ItemFactory(site=site) for _ in range(3))
    plan = Plan(site=site, kind="detailed", chosen="zone 3", id=uuid4())
    told = stamp(huw)
    found = begin_round(plan, inspector=huw.person, items=[good, bad, rest], stamp=told)
    look = Finding(kind="detailed", verdict="pass", performed_at=NOON, inspector=huw.person)
    look_in_round(found, good, finding=look, stamp=stamp(huw))
    stop_in_round(found, bad, verdict="fail", look=uuid4(), stamp=stamp(huw))
    pack: dict[str, Any] = site_pack(site, huw, NOON, names=True)
    (packed,) = pack["rounds"]
    assert packed["chosen"] == "zone 3"
    lines = {line[0]: line[2:4] + line[6:] for line in packed["lines"]}
    assert lines == {
        good.code: ["seen", True, "pass", False],
        bad.code: ["out", True, "fail", True],
        rest.code: ["expected", True, "", False],
    }


@db
def test_it_carries_what_is_needed_to_close_a_kit_and_to_take_a_piece_on(
    site: Site, huw: User
) -> None:
    kit = kit_of(site)
    there = ItemFactory(bound_for=site, custody="transit")
    pack: dict[str, Any] = site_pack(site, huw, NOON, names=True)
    bag = pack["items"][kit.item.code]
    assert (bag["sealed"], bag["seal"]) == (kit.seal_intact, kit.seal_number)
    assert pack["items"][there.code]["site"] == there.site.name
    assert "site" not in bag
    product = kit.item.product
    assert [product.pk, str(product), product.equipment_class] in pack["products"]


@db
def test_its_days_are_those_of_the_site() -> None:
    far = SiteFactory(time_zone="Pacific/Auckland")
    days = days_of(far, datetime(2026, 3, 9, 20, tzinfo=UTC))
    assert (days.first, days.last) == (date(2026, 3, 10), date(2026, 3, 13))
