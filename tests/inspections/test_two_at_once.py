"""Two crews at the same thing at the same moment: one comes first, the other is told, nothing hangs.

SQLite lets one writer in at a time, so that only PostgreSQL can show a lock that is missing.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.inspecting import Finding, correct_inspection, inspect
from inspections.actions.using import issue
from register.actions.conditions import quarantine
from register.actions.kits import fill_part, take_out_part
from register.models import Item
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

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("emptied_tables"),
    pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one writer"),
]


def at_once(*acts: Callable[[], object]) -> list[str]:
    """What came of each act, all of them begun together: 'done' or the code of its refusal."""
    gate = threading.Barrier(len(acts))

    def run(act: Callable[[], object]) -> str:
        try:
            gate.wait()
            act()
        except Refusal as refusal:
            return refusal.code
        finally:
            connection.close()
        return "done"

    with ThreadPoolExecutor(len(acts)) as pool:
        return sorted(pool.map(run, acts))


def ready() -> Item:
    item = ItemFactory()
    passed(item, DAY)
    return item


def given(item: Item) -> Callable[[], object]:
    to = PersonFactory()
    return lambda: issue(item, to=to, due_back_on=None, stamp=stamp())


def test_one_item_goes_to_one_of_two_people() -> None:
    item = ready()
    assert at_once(given(item), given(item)) == ["done", "issued-elsewhere"]


def test_what_is_stopped_while_it_is_issued_ends_stopped() -> None:
    item = ready()
    at_once(given(item), lambda: quarantine(item, reason="damage-found", stamp=stamp()))
    item.refresh_from_db()
    assert item.condition == "quarantined"


def test_a_part_is_filled_by_one_of_two_items() -> None:
    kit = kit_of(ready().site)
    first = take_out_part(kit, role="rope", stamp=stamp())
    second = ItemFactory(site=first.site, product=first.product)
    fills = [
        lambda item=item: fill_part(kit, role="rope", item=item, stamp=stamp())
        for item in (first, second)
    ]
    assert at_once(*fills) == ["done", "part-filled"]


def test_an_arrest_waits_for_nobody_in_a_circle() -> None:
    items = [ready() for _ in range(4)]
    site = items[0].site
    kit = kit_of(site)
    told = Fall(happened_at=NOON, account="Held.")
    fall = lambda: record_arrest(site, items=[*items, kit.item], fall=told, stamp=stamp())  # noqa: E731
    emptied = lambda: take_out_part(kit, role="rope", stamp=stamp())  # noqa: E731
    found = at_once(fall, emptied, *(given(item) for item in items))
    assert set(found) <= {"done", "not-for-issue"}
    keys = [item.pk for item in items]
    states = Item.objects.filter(pk__in=keys).values_list("condition", flat=True)
    assert set(states) == {"quarantined"}


def test_a_record_is_corrected_by_one_of_two() -> None:
    item, huw = ready(), inspector()

    def finding() -> Finding:
        return Finding(kind="detailed", verdict="pass", performed_at=NOON, inspector=huw.person)

    wrong = inspect(item, finding=finding(), stamp=stamp(huw))
    right = lambda: correct_inspection(wrong, finding=finding(), reason="mistyped", stamp=stamp())  # noqa: E731
    assert at_once(right, right) == ["done", "superseded-already"]
