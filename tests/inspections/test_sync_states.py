"""Two phones and an office in any interleaving: every event once, and nothing more usable than told.

The test keeps its own book of what each item may be, a few lines that know nothing of the register.
"""

from __future__ import annotations

import os
from datetime import datetime
from typing import Any

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from inspections.actions.finding import Finding
from inspections.actions.inspecting import inspect
from inspections.actions.using import release_from_quarantine
from inspections.conditions import verdict_of
from inspections.models import Inspection, RoundLine, SyncEvent
from inspections.sync.deciding import drop_event
from register.actions import conditions
from register.models import Item, Site, User
from register.refusal import Refusal
from tests.factories import DAY, NOON, ItemFactory, SiteFactory, inspector, stamp
from tests.inspections.sending import MINUTE, event, looked, sent

EXAMPLES = int(os.environ.get("TALLYHOOK_EXAMPLES", "12"))
TWO = st.integers(0, 1)
WRITTEN = st.sampled_from(["quarantine", "pass", "pass", "pass", "refer", "fail"])
BAD = frozenset({"quarantine", "refer", "fail"})


def written(what: str, by: User, item: Item, at: datetime) -> dict[str, Any]:
    if what == "quarantine":
        return event(by, "quarantine", at=at, item=item.code, reason="damage-found")
    return looked(by, item, what, at=at)


class TwoPhonesAndAnOffice(RuleBasedStateMachine):
    """A minute passes with every act; a phone knows only what it wrote and what it was answered."""

    @initialize()
    def begin(self) -> None:
        self.site: Site = SiteFactory()
        self.items: list[Item] = [ItemFactory(site=self.site) for _ in range(2)]
        self.people = [inspector(), inspector()]
        self.office = inspector()
        self.now: datetime = NOON
        self.queues: list[list[dict[str, Any]]] = [[], []]
        self.wrote: list[list[dict[str, Any]]] = [[], []]
        self.answers: dict[str, object] = {}
        self.book = ["in-service", "in-service"]  # the strictest that each item may be
        self.put_out_at: list[datetime | None] = [None, None]
        self.taken: dict[str, bool] = {}  # the id of each look that is to be on record

    def tick(self) -> datetime:
        self.now += MINUTE
        return self.now

    @rule(phone=TWO, item=TWO, what=WRITTEN, ahead=st.sampled_from([0, 0, -40, 30]))
    def write(self, phone: int, item: int, what: str, ahead: int) -> None:
        at = self.tick() + ahead * MINUTE
        one = written(what, self.people[phone], self.items[item], at)
        one["_"] = [item, what, at]
        self.queues[phone].append(one)
        self.wrote[phone].append(one)

    @rule(phone=TWO, order=st.randoms(use_true_random=False), is_lost=st.booleans())
    def send(self, phone: int, order: Any, *, is_lost: bool) -> None:
        """Some of the queue in any order; the answer may be lost, and then all is sent again."""
        queue = list(self.queues[phone])
        order.shuffle(queue)
        some = queue[: order.randint(0, len(queue))]
        self.post(phone, some)
        if not is_lost:
            self.queues[phone] = [one for one in self.queues[phone] if one not in some]

    @rule(phone=TWO)
    def restart(self, phone: int) -> None:
        """The phone has forgotten what it was answered."""
        self.queues[phone] = list(self.wrote[phone])

    @rule(item=TWO)
    def stop_in_the_office(self, item: int) -> None:
        at = self.tick()
        conditions.quarantine(self.items[item], reason="damage-found", stamp=stamp(self.office, at))
        self.goes_out(item, "quarantined", at)

    @rule(item=TWO)
    def release_in_the_office(self, item: int) -> None:
        """A look that came after, and all that phones sent is decided; else it is refused."""
        at = self.tick()
        finding = Finding(
            kind="after-event", verdict="pass", performed_at=at, inspector=self.office.person
        )
        try:
            with transaction.atomic():
                inspect(self.items[item], finding=finding, stamp=stamp(self.office, at))
                self.taken[str(finding.id)] = True
                release_from_quarantine(self.items[item], stamp=stamp(self.office, at))
        except Refusal:
            self.taken.pop(str(finding.id), None)
            return
        assert self.book[item] == "quarantined"
        self.book[item] = "in-service"

    @rule(item=TWO)
    def decide_in_the_office(self, item: int) -> None:
        for row in SyncEvent.objects.undecided().filter(item=self.items[item]):
            drop_event(row, because="Seen anew.", stamp=stamp(self.office, self.tick()))
            self.answers.pop(str(row.pk), None)

    @rule(item=TWO)
    def out_and_back(self, item: int) -> None:
        """Put out, decided and released in the office while phones know nothing of it."""
        self.stop_in_the_office(item)
        self.decide_in_the_office(item)
        self.release_in_the_office(item)

    def post(self, phone: int, some: list[dict[str, Any]]) -> None:
        at = self.tick()
        told = [{key: what for key, what in one.items() if key != "_"} for one in some]
        for one, answer in zip(some, sent(self.people[phone], *told, at=at), strict=True):
            assert self.answers.setdefault(one["id"], answer) == answer
            if one["id"] not in self.taken:
                self.enter(one, at)

    def enter(self, one: dict[str, Any], at: datetime) -> None:
        """What the event does to the book, when it comes in for the first time."""
        item, what, claimed_at = one["_"]
        if what in BAD:
            self.taken[one["id"]] = what != "quarantine"
            self.goes_out(item, "withdrawn" if what == "fail" else "quarantined", at)
            return
        before = self.put_out_at[item]
        is_clean = before is None or before < min(claimed_at, at)
        self.taken[one["id"]] = self.book[item] == "in-service" and is_clean

    def goes_out(self, item: int, how: str, at: datetime) -> None:
        if self.book[item] != "withdrawn":
            self.book[item] = how
        self.put_out_at[item] = at

    @invariant()
    def every_item_is_what_the_book_says(self) -> None:
        found = [Item.objects.get(pk=item.pk) for item in self.items]
        assert [item.condition for item in found] == self.book
        usable = [verdict_of(item, DAY).usable for item in found]
        assert usable == [item.condition == "in-service" for item in found]

    @invariant()
    def every_look_that_counts_is_on_record_once(self) -> None:
        looks = Inspection.objects.filter(item__in=self.items)
        recorded = {str(key) for key in looks.values_list("pk", flat=True)}
        assert recorded == {key for key, is_look in self.taken.items() if is_look}

    def teardown(self) -> None:
        """In the end everything is sent, by phones that remember nothing."""
        for phone in range(2):
            self.post(phone, list(reversed(self.wrote[phone])))
            self.post(phone, self.wrote[phone])
        self.every_item_is_what_the_book_says()
        self.every_look_that_counts_is_on_record_once()
        ids = sorted(one["id"] for wrote in self.wrote for one in wrote)
        assert sorted(str(row.pk) for row in SyncEvent.objects.filter(by__in=self.people)) == ids


@pytest.mark.django_db
def test_phones_and_office_in_any_interleaving_keep_to_the_strictest_reading() -> None:
    counts = settings(max_examples=EXAMPLES, stateful_step_count=14, deadline=None)
    run_state_machine_as_test(TwoPhonesAndAnOffice, settings=counts)


def a_morning(site: Site, items: list[Item], people: list[User], extra: list[str]) -> list[Any]:
    """A round of one phone with its looks and signature, and what the other phone has to say."""
    huw, other = people
    begin = event(
        huw, "round-begin", site=site.code, kind="detailed", items=[one.code for one in items]
    )
    looks = [
        looked(huw, item, verdict, at=NOON + n * MINUTE, round=begin["id"])
        for n, (item, verdict) in enumerate(zip(items, ["pass", "refer", "fail"], strict=True))
    ]
    told = {"round": begin["id"], "stated": True, "looks": [one["id"] for one in looks]}
    sign = event(huw, "round-sign", **told)
    more = [
        written(what, other, items[n % 3], NOON + (n + 1) * MINUTE) for n, what in enumerate(extra)
    ]
    return [(huw, one) for one in [begin, *looks, sign]] + [(other, one) for one in more]


def end_state(items: list[Item], events: list[Any]) -> object:
    """All that may not depend on the order: conditions, reasons, lines, and that each is here once.

    What became of a pass may: it is kept where the item was out already when it came.
    """
    rows = [Item.objects.get(pk=item.pk) for item in items]
    found = [
        (
            row.condition,
            sorted({row.quarantine_reason, *row.quarantined_also_for}),
            verdict_of(row, DAY).usable,
        )
        for row in rows
    ]
    lines = sorted(RoundLine.objects.values_list("item", "state"))
    outcomes = {str(row.pk): row.outcome for row in SyncEvent.objects.all()}
    passes = {one["id"] for _by, one in events if one["body"].get("verdict") == "pass"}
    final = [(key, outcomes[key]) for key in sorted(outcomes) if key not in passes]
    return found, lines, final, {outcomes[key] for key in passes} <= {"applied", "kept"}


@pytest.mark.django_db
@settings(
    max_examples=EXAMPLES,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    extra=st.lists(st.sampled_from(["quarantine", "pass", "refer"]), max_size=3),
    order=st.randoms(use_true_random=False),
)
def test_the_end_is_the_same_in_every_order_and_with_any_repeats(
    extra: list[str], order: Any
) -> None:
    point = transaction.savepoint()
    site, people = SiteFactory(), [inspector(), inspector()]
    items = [ItemFactory(site=site) for _ in range(3)]
    events = a_morning(site, items, people, extra)
    ends = []
    for shuffled in (False, True):
        inner = transaction.savepoint()
        arriving = [*events, *order.choices(events, k=4)] if shuffled else events
        if shuffled:
            order.shuffle(arriving)
        for n, (by, one) in enumerate(arriving):
            sent(by, one, at=NOON + (10 + n) * MINUTE)
        ends.append(end_state(items, events))
        transaction.savepoint_rollback(inner)
    transaction.savepoint_rollback(point)
    assert ends[0] == ends[1]
