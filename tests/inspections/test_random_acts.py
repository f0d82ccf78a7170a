"""Whatever is done in whatever order by whomever: out stays out until a look that counts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.events import Happened, record_event
from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.actions.undoing import (
    agree_release_of_hold,
    agree_undo_withdrawal,
    ask_release_of_hold,
    ask_undo_withdrawal,
)
from inspections.actions.using import issue, release_from_quarantine, take_back
from inspections.conditions import out_since
from register.actions import conditions
from register.models import Item, User
from register.refusal import Refusal
from tests.factories import (
    NOON,
    ItemFactory,
    ProductFactory,
    SiteFactory,
    inspector,
    stamp,
    user_as,
)

MINUTE = timedelta(minutes=1)
WHO = st.sampled_from([0, 0, 1, 1, 2, 3, 4])  # the first two are authorised for everything
REASONS = st.sampled_from(["damage-found", "identity-in-doubt", "dropped", "seal-broken"])
SELDOM = st.sampled_from([False] * 5 + [True])
LOOKS = st.sampled_from(["after-event"] * 3 + ["pre-use", "detailed", "kit-check", "sighting"])
VERDICTS = st.sampled_from(["pass"] * 7 + ["fail", "refer", "not-presented"])


def while_it_is(*conditions: str, custody: str = "") -> Callable[[Any], Any]:
    """The rule is drawn only then; that it is refused otherwise is tested road by road."""
    return precondition(
        lambda self: self.seen.condition in conditions or (self.seen.custody == custody)
    )


class LifeOfAnItem(RuleBasedStateMachine):
    """One anchor, five people, one act a minute. The test keeps its own book beside the register."""

    @initialize()
    def begin(self) -> None:
        site = SiteFactory()
        self.item = ItemFactory(site=site, product=ProductFactory(equipment_class="anchor"))
        self.people = [
            *(inspector(), inspector(), user_as("competent-person")),
            *(user_as("manager"), user_as("stores-controller")),
        ]
        self.now: datetime = NOON
        self.bad_news_at: datetime | None = None
        self.passed_at: datetime | None = None
        self.is_destroyed = False
        self.seen = self.read()

    def done(self, act: Callable[..., Any], *args: Any, by: User, **told: Any) -> Any:
        """Whether the act was done, a minute later; a refusal is an answer too."""
        self.now += MINUTE
        try:
            return act(*args, stamp=stamp(by, at=self.now), **told) or True
        except Refusal:
            return None
        finally:
            self.seen = self.read()

    def out(self, done: Any) -> None:
        if done:
            self.bad_news_at = self.now

    def read(self) -> Item:
        return Item.objects.select_related("product", "site").get(pk=self.item.pk)

    @rule(who=WHO, reason=REASONS)
    def stop(self, who: int, reason: str) -> None:
        by = self.people[who]
        self.out(self.done(conditions.quarantine, self.read(), reason=reason, by=by))

    @rule(who=WHO, ago=st.integers(0, 30), fell=st.booleans())
    def happen(self, who: int, ago: int, *, fell: bool) -> None:
        at, by, item = self.now - ago * MINUTE, self.people[who], self.read()
        if fell:
            told: dict[str, Any] = {"fall": Fall(happened_at=at, account="Held.")}
            act: Callable[..., object] = record_arrest
        else:
            told = {"told": Happened(kind="drop", happened_at=at, account="Dropped.")}
            act = record_event
        self.out(self.done(act, item.site, items=[item], by=by, **told))

    @rule(who=WHO, kind=LOOKS, verdict=VERDICTS, ago=st.integers(-3, 10))
    def look(self, who: int, kind: str, verdict: str, ago: int) -> None:
        by, at = self.people[who], self.now + MINUTE - ago * MINUTE
        flaws = [Flaw(grade="A", what="cut")] if verdict in {"fail", "refer"} else []
        finding = Finding(
            kind=kind, verdict=verdict, performed_at=at, inspector=by.person, flaws=flaws
        )
        found = self.done(inspect, self.read(), finding=finding, by=by)
        if found and verdict in {"fail", "refer"}:
            self.bad_news_at = self.now
        authorised = who < 2 and kind in {"detailed", "after-event", "kit-check"}
        if found and verdict == "pass" and authorised:
            self.passed_at = max(self.passed_at or at, min(at, self.now))

    @while_it_is("quarantined")
    @rule(who=WHO)
    def release(self, who: int) -> None:
        self.done(release_from_quarantine, self.read(), by=self.people[who])

    @while_it_is("quarantined")
    @rule(ago=st.integers(-4, 4), again=st.booleans(), reason=REASONS)
    def look_and_release(self, ago: int, reason: str, *, again: bool) -> None:
        """A sound look, perhaps by a clock that is ahead, perhaps bad news, and a release."""
        self.look(0, "after-event", "pass", ago)
        if again:
            self.stop(4, reason)
        self.release(1)

    @rule(who=WHO, holder=WHO)
    @while_it_is("in-service")
    def hand_over(self, who: int, holder: int) -> None:
        told = {"to": self.people[holder].person, "due_back_on": None}
        self.done(issue, self.read(), by=self.people[who], **told)

    @rule(who=WHO, loaded=st.sampled_from(["no", "yes", "unsure"]))
    @while_it_is(custody="person")
    def hand_back(self, who: int, loaded: str) -> None:
        by = self.people[who]
        done = self.done(take_back, self.read(), loaded=loaded, wrong="no", by=by)
        self.out(done and loaded != "no")

    @rule(who=WHO, seldom=SELDOM)
    def lose(self, who: int, *, seldom: bool) -> None:
        if seldom:
            self.done(conditions.report_lost, self.read(), search_note="all", by=self.people[who])

    @rule(who=WHO)
    @while_it_is("not-located", custody="not-located")
    def find(self, who: int) -> None:
        item, by = self.read(), self.people[who]
        self.out(self.done(conditions.report_found, item, site=item.site, where="van", by=by))

    @rule(who=WHO, seldom=SELDOM)
    def send(self, who: int, *, seldom: bool) -> None:
        told = {"to": "Maker", "reference": "1", "by": self.people[who]}
        if seldom:
            self.done(conditions.send_away, self.read(), **told)

    @rule(who=WHO)
    @while_it_is("away")
    def come_back(self, who: int) -> None:
        by = self.people[who]
        self.out(self.done(conditions.take_back_from_service, self.read(), certificate="1", by=by))

    @rule(who=WHO, seldom=SELDOM)
    def withdraw(self, who: int, *, seldom: bool) -> None:
        by = self.people[who]
        if seldom:
            self.out(self.done(conditions.withdraw, self.read(), ground="policy", by=by))

    @rule(first=WHO, second=WHO)
    @while_it_is("withdrawn")
    def undo(self, first: int, second: int) -> None:
        item = self.read()
        self.done(ask_undo_withdrawal, item, because="Its twin.", by=self.people[first])
        self.out(self.done(agree_undo_withdrawal, item, by=self.people[second]))

    @while_it_is("withdrawn", "quarantined")
    @rule(first=WHO, second=WHO)
    def let_the_evidence_go(self, first: int, second: int) -> None:
        for hold in self.read().holds.standing():
            self.done(ask_release_of_hold, hold, because="Seen.", by=self.people[first])
            self.done(agree_release_of_hold, hold, by=self.people[second])

    @rule(who=WHO, witness=WHO)
    @while_it_is("withdrawn")
    def destroy(self, who: int, witness: int) -> None:
        told = {"method": "cut", "witness": self.people[witness].person, "by": self.people[who]}
        item = self.read()
        was_held = item.holds.standing().exists()
        if self.done(conditions.destroy, item, **told):
            assert not was_held
            self.is_destroyed = True

    @invariant()
    def nothing_returns_without_a_look_that_came_after(self) -> None:
        item = self.read()
        if item.condition == "in-service" and self.bad_news_at:
            assert self.passed_at
            assert self.passed_at >= self.bad_news_at

    @invariant()
    def what_was_destroyed_stays_so(self) -> None:
        assert (self.read().condition == "destroyed") is self.is_destroyed

    @invariant()
    def what_is_out_says_since_when(self) -> None:
        item = self.read()
        assert bool(out_since([item])) is (item.condition != "in-service")


@pytest.mark.django_db
def test_no_order_of_acts_brings_back_what_is_out_without_a_look_since() -> None:
    quick = settings(max_examples=25, stateful_step_count=20, deadline=None)
    run_state_machine_as_test(LifeOfAnItem, settings=quick)
