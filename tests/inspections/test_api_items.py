"""Items, kits, what is due and notices over the API: the same facts as on the pages."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection
from django.test.utils import CaptureQueriesContext

from inspections.conditions import verdict_of
from inspections.wording import verdict_sentence
from register import clock
from register.actions.conditions import quarantine, withdraw
from register.actions.custody import hand_out
from register.actions.marking import replace_tag
from register.models import Item, Role, Site, User
from register.rules.tags import shown
from tests.api_callers import Asker, asker
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    kit_of,
    passed,
    stamp,
    user_as,
)

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture
def system(petra: User) -> Asker:
    return asker(petra)


def read(system: Asker, path: str) -> dict[str, Any]:
    answer = system.get(path)
    assert answer.status_code == 200, answer.content
    told: dict[str, Any] = answer.json()
    return told


def verdict(system: Asker, item: Item) -> dict[str, Any]:
    return read(system, f"/items/{item.code}/verdict")


def test_a_usable_item_is_usable_through_its_last_good_day(system: Asker, item: Item) -> None:
    passed(item)
    told = verdict(system, item)
    assert (told["usable"], told["on"], told["what_to_do"]) == (True, DAY.isoformat(), None)
    assert told["through_on"] == item.due.last_good_on.isoformat()
    assert told["sentence"] == verdict_sentence(verdict_of(item, DAY))


def test_an_item_is_usable_on_its_last_good_day_and_not_on_the_next(
    system: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    passed(item)
    last = item.due.last_good_on - DAY
    monkeypatch.setattr(clock, "reading", lambda: NOON + last)
    renewed = asker(user_as(Role.STORES), through_on=DAY + last + timedelta(days=9))
    assert verdict(renewed, item)["usable"] is True
    monkeypatch.setattr(clock, "reading", lambda: NOON + last + timedelta(days=1))
    told = verdict(renewed, item)
    assert (told["usable"], told["through_on"], told["code"]) == (False, None, "clock-passed")


def test_an_item_that_is_out_says_why_and_what_to_do(system: Asker, item: Item) -> None:
    quarantine(item, reason="damage-found", note="", stamp=stamp())
    told = verdict(system, item)
    assert (told["usable"], told["code"]) == (False, "quarantined")
    assert told["sentence"].startswith("DO NOT USE: in quarantine")
    assert told["what_to_do"]


def test_a_pass_for_one_use_alone_is_told_with_that_use(system: Asker, item: Item) -> None:
    passed(item, restricted_to="positioning")
    told = verdict(system, item)
    assert (told["usable"], told["code"], told["only_for"]) == (
        True,
        "usable-restricted",
        "positioning",
    )


def test_a_tag_is_read_however_it_is_written_and_an_old_one_leads_to_the_item(
    system: Asker, item: Item
) -> None:
    for text in (item.code, shown(item.code), item.code.lower()):
        told = read(system, f"/items/{text}/verdict")
        assert (told["tag"], told["is_replaced"]) == (item.code, False)
    old = item.code
    new = replace_tag(item, because="worn", identity_proof="serial", stamp=stamp()).code
    told = read(system, f"/items/{old}/verdict")
    assert (told["tag"], told["is_replaced"]) == (new, True)


def test_a_mistyped_tag_is_told_as_such(system: Asker, item: Item) -> None:
    wrong = item.code[:-1] + ("X" if item.code[-1] != "X" else "Y")
    answer = system.get(f"/items/{wrong}")
    assert (answer.status_code, answer.json()["code"]) == (404, "tag-mistyped")


def test_every_item_of_the_list_has_the_verdict_of_its_own_page(system: Asker, site: Site) -> None:
    made = [ItemFactory(site=site) for _ in range(3)]
    passed(made[0])
    withdraw(made[1], ground="end of life", note="", stamp=stamp())
    for told in read(system, "/items")["items"]:
        one = verdict(system, Item.objects.get(code=told["tag"]))
        assert {name: one[name] for name in told["verdict"]} == told["verdict"]


def test_the_list_asks_as_many_questions_for_many_items_as_for_few(
    system: Asker, site: Site
) -> None:
    def questions() -> int:
        with CaptureQueriesContext(connection) as asked:
            read(system, "/items")
        return len(asked)

    for _ in range(2):
        passed(ItemFactory(site=site))
    questions()  # the first of a token notes its use
    few = questions()
    for _ in range(10):
        passed(ItemFactory(site=site))
    assert questions() == few


def test_items_are_filtered_as_on_the_page(system: Asker, site: Site) -> None:
    rope = ItemFactory(site=site, product=ProductFactory(equipment_class="rope", max_user_kg=100))
    harness = ItemFactory(site=site, serial="AB-007")
    quarantine(harness, reason="damage-found", note="", stamp=stamp())
    found = {
        query: {one["tag"] for one in read(system, f"/items?{query}")["items"]}
        for query in (
            f"site={site.code}",
            "equipment_class=rope",
            "condition=quarantined",
            "usable=no",
            "usable=yes",
            "serial=ab007",
            "serial=...",
            "rated_at_least_kg=100",
            f"in_date_through={DAY.isoformat()}",
        )
    }
    both, only_rope, only_harness = {rope.code, harness.code}, {rope.code}, {harness.code}
    assert list(found.values()) == [
        *(both, only_rope, only_harness, only_harness, only_rope),
        *(only_harness, set(), only_rope, both),
    ]


def test_who_holds_an_item_is_told_only_where_that_may_be_read(item: Item, site: Site) -> None:
    passed(item)
    holder = PersonFactory(home_site=site)
    hand_out(item, to=holder, due_back_on=None, stamp=stamp())
    for role, needs, name in (
        (Role.STORES, ("item.see", "person.see"), str(holder)),
        (Role.STORES, ("item.see",), None),
        (Role.WORKER, ("item.see", "person.see"), None),
    ):
        told = read(asker(user_as(role, site), *needs), f"/items/{item.code}")
        assert told["holder"] == name


def test_figures_name_their_unit_and_moments_their_zone(system: Asker, site: Site) -> None:
    item = ItemFactory(site=site, product=ProductFactory(max_user_kg=140, length_m="1.75"))
    passed(item)
    told = read(system, f"/items/{item.code}")
    assert (told["max_user_kg"], told["length_m"]) == (140, 1.75)
    (one,) = read(system, f"/items/{item.code}/inspections")["inspections"]
    assert one["performed_at"] == f"{DAY.isoformat()}T10:00:00Z"


def test_inspections_are_told_the_latest_first_page_by_page(system: Asker, item: Item) -> None:
    for days in range(5):
        passed(item, DAY - timedelta(days=days))
    seen, after = [], ""
    while after is not None:
        page = read(system, f"/items/{item.code}/inspections?limit=2&after={after}")
        seen += [one["performed_on"] for one in page["inspections"]]
        after = page["next"]
    assert seen == sorted(seen, reverse=True)
    assert len(set(seen)) == 5


def test_a_kit_is_told_part_by_part_with_the_verdict_on_each(system: Asker, site: Site) -> None:
    kit = kit_of(site)
    part = kit.parts.exclude(item=None).first()
    assert part
    assert part.item
    quarantine(part.item, reason="damage-found", note="", stamp=stamp())
    told = read(system, f"/kits/{kit.name}")
    assert (told["seal_intact"], told["verdict"]["usable"]) == (True, False)
    parts = {one["role"]: one["verdict"]["usable"] for one in told["parts"]}
    assert parts == {"descender": False, "rope": True}
    (listed,) = read(system, "/kits")["kits"]
    assert listed == {name: value for name, value in told.items() if name != "parts"}


def test_what_is_not_known_comes_before_the_overdue_and_both_before_the_due(
    system: Asker, site: Site
) -> None:
    due, overdue, unknown = (ItemFactory(site=site) for _ in range(3))
    passed(due, DAY - timedelta(days=170))
    passed(overdue, DAY - timedelta(days=500))
    unknown.due.delete()
    ItemFactory(site=site)  # accepted lately: not due within six weeks
    seen, after = [], ""
    while after is not None:
        page = read(system, f"/due?limit=1&after={after}")
        seen += page["due"]
        after = page["next"]
    assert [one["tag"] for one in seen] == [unknown.code, overdue.code, due.code]
    assert [one["is_overdue"] for one in seen] == [True, True, False]


def test_only_sites_where_it_may_be_read_are_told_of_what_is_due(site: Site) -> None:
    worker = asker(user_as(Role.WORKER, site))
    assert worker.get("/due").status_code == 403
