"""Whatever is done: the rules, the lists, the hatch and rescue cover say the same of an item."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from inspections.actions.arresting import Fall, record_arrest
from inspections.actions.dating import state_dates
from inspections.actions.inspecting import Finding, Flaw, inspect
from inspections.actions.moving import arrive, put_up
from inspections.actions.notices import issue_notice, withdraw_notice
from inspections.actions.using import change_use, refuse_issue, release_from_quarantine, take_back
from inspections.conditions import usable_on, verdict_of
from inspections.due_copies import disagreements
from inspections.hatch import returned
from inspections.models import Notice
from readiness.facts.standing import IN_SERVICE, standings
from register import clock
from register.actions import conditions, custody, kits
from register.models import Item, Kit, User
from register.refusal import Refusal
from tests.factories import (
    DAY,
    NOON,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    SiteFactory,
    ZoneFactory,
    inspector,
    kit_of,
    passed,
    stamp,
)

MINUTE = timedelta(minutes=1)
DAYS = (DAY, DAY + timedelta(days=29), DAY + timedelta(days=200))
WHICH = st.integers(0, 3)  # a harness, an anchor, a bag, the rope in it
LOOKS = st.sampled_from(["detailed", "after-event", "kit-check", "installation"])
VERDICTS = st.sampled_from(["pass"] * 4 + ["pass-with-conditions", "refer", "not-presented"])


class EveryAnswer(RuleBasedStateMachine):
    """One act a minute on four items; after each, every place that answers is asked."""

    @initialize()
    def begin(self) -> None:
        self.now: datetime = NOON
        self.site, self.other = SiteFactory(), SiteFactory()
        self.zones = [ZoneFactory(site=self.site), ZoneFactory(site=self.site)]
        self.huw, self.ann = inspector(), inspector()
        self.kit = kit_of(self.site, "rope", name=f"RK-{self.site.pk}")
        anchor = ItemFactory(site=self.site, product=ProductFactory(equipment_class="anchor"))
        passed(anchor, DAY - timedelta(days=20), "installation")
        harness = ItemFactory(site=self.site)
        self.keys = [harness.pk, anchor.pk, self.kit.item_id, Item.objects.get(kit=self.kit).pk]

    def item(self, which: int) -> Item:
        return Item.objects.select_related("product", "site").get(pk=self.keys[which])

    def done(self, act: Callable[..., Any], *args: Any, **told: Any) -> None:
        self.now += MINUTE
        try:
            act(*args, stamp=stamp(self.huw, at=self.now), **told)
        except Refusal:
            return

    @rule(which=WHICH)
    def stop(self, which: int) -> None:
        self.done(conditions.quarantine, self.item(which), reason="damage-found")

    @rule(which=WHICH, kind=LOOKS, verdict=VERDICTS, limit=st.sampled_from(["", "day", "use", "B"]))
    def look(self, which: int, kind: str, verdict: str, limit: str) -> None:
        item, soon = self.item(which), DAY + timedelta(days=10)
        flaws = [Flaw(grade="B", what="worn", danger_by_on=soon)] if limit == "B" else []
        finding = Finding(
            kind=kind,
            verdict=verdict,
            performed_at=self.now + MINUTE,
            inspector=self.ann.person,
            flaws=flaws,
            good_until_on=soon if limit == "day" else None,
            restricted_to="restraint" if limit == "use" else "",
        )
        self.done(inspect, item, finding=finding)

    @rule(which=WHICH)
    def release(self, which: int) -> None:
        self.done(release_from_quarantine, self.item(which))

    @rule(which=WHICH, kind=st.sampled_from(["stop-use", "use-until"]))
    def notice(self, which: int, kind: str) -> None:
        item, number = self.item(which), Notice.objects.count()
        made = Notice(
            issuer="Orla",
            reference=f"N-{self.site.pk}-{number}",
            kind=kind,
            received_on=DAY,
            text="stop",
            products=[[item.product.maker, item.product.designation]],
            deadline_on=DAY + timedelta(days=5) if kind == "use-until" else None,
        )
        self.done(issue_notice, made)

    @rule()
    def take_a_notice_back(self) -> None:
        if found := Notice.objects.in_force().first():
            self.done(withdraw_notice, found, because="in error")

    @rule(which=WHICH, days=st.sampled_from([None, 3, 100]))
    def hire(self, which: int, days: int | None) -> None:
        item = self.item(which)
        told = {"owner": "", "first_used_on": item.first_used_on, "proof_test_months": None}
        end = DAY + timedelta(days=days) if days else None
        self.done(state_dates, item, hire_end_on=end, because="hire note", **told)

    @rule(which=WHICH, use=st.sampled_from(["light", "normal", "arduous"]))
    def use(self, which: int, use: str) -> None:
        self.done(change_use, self.item(which), use_class=use)

    @rule(which=WHICH, back=st.booleans())
    def move(self, which: int, *, back: bool) -> None:
        item = self.item(which)
        to = self.other if item.site_id == self.site.pk else self.site
        self.done(custody.dispatch, item, to=to)
        if back:
            self.done(arrive, self.item(which), at=to)

    @rule(which=WHICH, zone=st.integers(0, 1))
    def hang(self, which: int, zone: int) -> None:
        told = {"zone": self.zones[zone], "place": "AN-1", "put_up_on": DAY}
        self.done(put_up, self.item(which), **told)

    @rule(which=WHICH)
    def fall(self, which: int) -> None:
        told = Fall(happened_at=self.now, account="Held.")
        self.done(record_arrest, self.site, items=[self.item(which)], fall=told)

    @rule(which=WHICH, loaded=st.sampled_from(["no", "unsure"]))
    def hand_over_and_back(self, which: int, loaded: str) -> None:
        self.done(custody.hand_out, self.item(which), to=PersonFactory(), due_back_on=None)
        self.done(take_back, self.item(which), loaded=loaded, wrong="no")

    @rule(act=st.sampled_from(["open", "close", "empty", "fill"]))
    def handle_the_kit(self, act: str) -> None:
        kit = Kit.objects.get(pk=self.kit.pk)
        number = f"S-{kit.pk}-{self.now:%H%M}"
        acts: dict[str, Callable[[], None]] = {
            "open": lambda: self.done(kits.unseal_kit, kit, kind="opened", reason="drill"),
            "close": lambda: self.done(kits.seal_kit, kit, number=number, on=DAY),
            "empty": lambda: self.done(kits.take_out_part, kit, role="rope"),
            "fill": lambda: self.done(kits.fill_part, kit, role="rope", item=self.item(3)),
        }
        acts[act]()

    @rule(which=WHICH)
    def lose_and_find(self, which: int) -> None:
        self.done(conditions.report_lost, self.item(which), search_note="all over")
        self.done(conditions.report_found, self.item(which), site=self.site, where="van")

    @invariant()
    def all_answers_are_one(self) -> None:
        if not hasattr(self, "keys"):
            return
        for day in DAYS:
            listed = set(Item.objects.filter(usable_on(day), pk__in=self.keys).values_list("pk"))
            judged = {(pk,) for pk in self.keys if verdict_of(self.at(pk), day).usable}
            assert listed == judged, day
            for pk in self.keys:
                item, stands = self.at(pk), standings([self.at(pk)])[pk]
                last = stands.last_good_on
                covers = stands.condition == IN_SERVICE and last is not None and last >= day
                if item.product.kind.is_rescue_kit:  # its seal and parts are asked beside it
                    assert covers or (pk,) not in judged or _is_narrowed(item, day)
                else:
                    verdict = verdict_of(item, day)
                    assert covers == (verdict.code == "usable")

    @invariant()
    def the_hatch_gives_out_only_what_is_usable(self) -> None:
        for pk in getattr(self, "keys", []):
            is_usable = verdict_of(self.at(pk), DAY).usable
            try:
                refuse_issue(self.at(pk), None, stamp(self.huw, at=self.now))
            except Refusal:
                assert not is_usable
            else:
                assert is_usable

    @invariant()
    def the_copies_are_what_the_records_give(self) -> None:
        assert list(disagreements()) == []

    def at(self, pk: int) -> Item:
        return Item.objects.select_related("product", "site").get(pk=pk)


def _is_narrowed(item: Item, day: Any) -> bool:
    return verdict_of(item, day).code == "usable-restricted"


@pytest.mark.django_db
def test_every_place_that_answers_says_the_same_after_any_acts() -> None:
    run_state_machine_as_test(
        EveryAnswer, settings=settings(max_examples=4, stateful_step_count=12, deadline=None)
    )


def test_the_tag_page_says_what_the_rules_say(client: Client, item: Item) -> None:
    passed(item, clock.today(item.site))
    address = reverse("inspections:tag", args=[item.code])
    assert client.get(address).context["verdict"]["usable"] is True
    conditions.quarantine(item, reason="dropped", stamp=stamp())
    assert client.get(address).context["verdict"]["usable"] is False


def test_what_comes_back_overdue_is_not_put_on_the_shelf_as_usable(item: Item) -> None:
    back = take_back(item, loaded="no", wrong="no", stamp=stamp())
    late = NOON + timedelta(days=900)
    line = returned(Item.objects.with_product().get(pk=back.pk), None, late)
    assert (line["answer"], line["usable"]) == ("DO NOT USE", False)


def test_the_equipment_list_tells_the_one_use_an_item_is_passed_for(
    client: Client, item: Item, petra: User
) -> None:
    passed(item, clock.today(item.site), restricted_to="restraint")
    client.force_login(petra)
    page = client.get(reverse("inspections:item-list")).content.decode()
    assert ", for restraint only" in page
