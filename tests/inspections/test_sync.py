"""What phones send: once, whole, on the safe side, and never lost."""

from __future__ import annotations

import hashlib
import json
import uuid
from datetime import timedelta
from itertools import permutations
from typing import Any

import pytest

from inspections.actions.inspecting import inspect
from inspections.actions.using import release_from_quarantine
from inspections.conditions import verdict_of
from inspections.models import Arrest, Event, Inspection, Round, RoundLine, SentPhoto, SyncEvent
from inspections.sync import applying
from inspections.sync.deciding import accept_event, drop_event
from inspections.sync.photos import take_photo
from inspections.sync.queue_file import bring_in
from inspections.sync.taking_in import Sender
from register.access import may
from register.actions.conditions import quarantine, withdraw
from register.models import Act, Item, Role, Site, User
from register.refusal import Refusal
from register.rules.conditions import Condition
from tests.factories import (
    DAY,
    NOON,
    PNG,
    ItemFactory,
    SiteFactory,
    inspector,
    kit_of,
    passed,
    stamp,
    user_as,
)
from tests.inspections.sending import MINUTE, event, looked, outcome, sent

pytestmark = pytest.mark.django_db


def condition(item: Item) -> str:
    return Item.objects.get(pk=item.pk).condition


def answered(by: User, one: object, **more: Any) -> tuple[str, str]:
    (answer,) = sent(by, one, **more)
    return answer.outcome, answer.code


def stop(by: User, item: Item, **body: Any) -> dict[str, Any]:
    return event(by, "quarantine", item=item.code, reason="damage-found", **body)


def decide(row: Any, by: User) -> SyncEvent:
    found = SyncEvent.objects.get(pk=row["id"])
    return accept_event(
        found, by=by, may=lambda need, site: may(by, need, site), stamp=stamp(by, NOON + 9 * MINUTE)
    )


# --- each once


def test_an_event_sent_again_is_recorded_once_and_answered_as_at_first(
    item: Item, huw: User
) -> None:
    one = stop(huw, item)
    first, again = sent(huw, one), sent(huw, one, at=NOON + 60 * MINUTE)
    assert first == again
    assert SyncEvent.objects.count() == 1
    assert Act.objects.filter(verb="quarantine").count() == 1


def test_a_look_sent_again_is_one_inspection(item: Item, huw: User) -> None:
    one = looked(huw, item)
    assert sent(huw, one, one) == sent(huw, one) * 2
    assert Inspection.objects.count() == 1
    assert str(Inspection.objects.get().pk) == one["id"]


def test_another_event_under_the_same_id_is_kept_beside_and_its_bad_news_counts(
    item: Item, huw: User
) -> None:
    one = looked(huw, item)
    other = {**stop(huw, item), "id": one["id"]}
    sent(huw, one)
    assert answered(huw, other) == ("refused", "id-used-twice")
    assert answered(huw, other) == ("refused", "id-used-twice")
    assert condition(item) == Condition.QUARANTINED
    assert SyncEvent.objects.count() == 2


def test_one_bad_event_never_blocks_the_others(
    item: Item, huw: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    def breaks(*_args: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setitem(applying.ACTS, "stray", breaks)
    others = [*("text", 7, None, {"id": "no"}, {"kind": "look"}), event(huw, "stray")]
    others += [event(huw, "unheard-of"), event(huw, "look", item=item.code, verdict=[1])]
    others += [event(huw, "look", item={"a": 1}), event(huw, "round-sign", round="x", looks=[1])]
    answers = sent(huw, *others, stop(huw, item))
    assert [one.outcome for one in answers] == ["refused"] * len(others) + ["applied"]
    assert all(one.sentence and one.code for one in answers[:-1])
    assert condition(item) == Condition.QUARANTINED


@pytest.mark.parametrize(
    "value", ["\x00", "\ud800", {"id": str(uuid.uuid4()), "kind": "look", "body": {"item": "\x00"}}]
)
def test_what_no_database_can_hold_is_kept_as_text_all_the_same(huw: User, value: object) -> None:
    assert answered(huw, value) == ("refused", "not-understood")
    assert SyncEvent.objects.get().raw


def test_what_is_too_long_is_cut_and_its_item_is_out(item: Item, huw: User) -> None:
    one = stop(huw, item, note="x" * 30_000)
    assert answered(huw, one) == ("refused", "too-large")
    assert condition(item) == Condition.QUARANTINED
    assert len(SyncEvent.objects.get().raw) == 20_000


# --- bad news at once


@pytest.mark.parametrize("role", list(Role))
def test_bad_news_is_taken_from_every_role(role: Role, site: Site, item: Item) -> None:
    by = user_as(role, site)
    assert answered(by, stop(by, item)) == ("applied", "")
    assert condition(item) == Condition.QUARANTINED


@pytest.mark.parametrize("verdict", ["fail", "refer", "not-identified"])
def test_a_bad_look_of_who_may_not_inspect_puts_the_item_out_and_waits_for_who_may(
    site: Site, item: Item, verdict: str
) -> None:
    by = user_as(Role.WORKER, site)
    assert answered(by, looked(by, item, verdict)) == ("kept", "role-missing")
    assert condition(item) == Condition.QUARANTINED


def test_bad_news_that_cannot_be_recorded_puts_the_item_out_all_the_same(
    item: Item, huw: User
) -> None:
    one = looked(huw, item, "fail", defects=[{"grade": "B", "what": "fuzz"}])
    assert answered(huw, one)[0] == "refused"
    assert condition(item) == Condition.QUARANTINED


def test_a_danger_found_on_what_could_not_be_seen_whole_puts_it_out(item: Item, huw: User) -> None:
    sent(huw, looked(huw, item, "not-accessible", defects=[{"grade": "A", "what": "crack"}]))
    assert condition(item) == Condition.QUARANTINED


def test_bad_news_written_by_another_counts_and_good_news_waits_for_them(
    site: Site, item: Item, huw: User
) -> None:
    other = inspector()
    good = looked(other, ItemFactory(site=site))
    assert answered(huw, good) == ("later", "made-by-another")
    assert not SyncEvent.objects.exists()
    assert answered(other, good) == ("applied", "")
    assert answered(huw, stop(other, item))[0] == "applied"
    assert condition(item) == Condition.QUARANTINED


@pytest.mark.parametrize("writer", [None, 999_999])
@pytest.mark.parametrize("from_file", [False, True])
def test_good_news_of_nobody_known_is_never_done_as_the_senders_own(
    item: Item, huw: User, writer: int | None, *, from_file: bool
) -> None:
    good = {**looked(huw, item), "user": writer}
    (answer,) = sent(huw, good, from_file=from_file)
    assert answer.outcome in {"kept", "later"}
    assert not item.inspections.exists()
    (bad,) = sent(huw, {**stop(huw, item), "user": writer}, from_file=from_file)
    assert bad.outcome == "applied"


def test_it_is_out_since_the_earliest_it_can_have_been(item: Item, huw: User) -> None:
    sent(huw, {**stop(huw, item), "claimed_at": (NOON - 90 * MINUTE).isoformat()})
    assert Item.objects.get(pk=item.pk).out_since_at == NOON - 90 * MINUTE


def test_an_item_of_another_site_is_not_put_out_without_its_tag(huw: User) -> None:
    there = ItemFactory(site=SiteFactory())
    by = user_as(Role.WORKER, SiteFactory())
    assert answered(by, stop(by, there)) == ("kept", "role-missing")
    assert condition(there) == Condition.IN_SERVICE
    secret = there.tags.get().secret
    assert answered(by, stop(by, there, secret=secret)) == ("applied", "")
    assert condition(there) == Condition.QUARANTINED


def test_a_fall_puts_out_all_that_it_may_have_loaded(site: Site, huw: User) -> None:
    wearer = user_as(Role.WORKER, site).person
    worn = ItemFactory(site=site, holder=wearer, custody="person")
    named = ItemFactory(site=site)
    told = {"site": site.code, "items": [named.code, "NOPE"], "wearer": wearer.pk}
    at = (NOON - 30 * MINUTE).isoformat()
    one = event(huw, "arrest", account="Slipped.", happened_at=at, **told)
    assert answered(huw, one) == ("applied", "")
    assert answered(huw, one) == ("applied", "")
    assert {condition(worn), condition(named)} == {Condition.QUARANTINED}
    assert "NOPE" in Arrest.objects.get().account


def test_a_fall_told_by_a_worker_puts_out_what_is_named_until_somebody_records_it(
    site: Site, item: Item
) -> None:
    by = user_as(Role.WORKER, site)
    one = event(by, "arrest", site=site.code, items=[item.code], account="He fell.")
    assert answered(by, one) == ("kept", "role-missing")
    assert condition(item) == Condition.QUARANTINED
    boss = user_as(Role.MANAGER, site)
    decide(one, boss)
    assert Arrest.objects.get().items.get() == item


def test_another_event_is_taken_too(site: Site, item: Item, huw: User) -> None:
    told = {"site": site.code, "items": [item.code], "what": "drop", "account": "Off the roof."}
    assert answered(huw, event(huw, "event", **told)) == ("applied", "")
    assert Event.objects.get().kind == "drop"
    assert condition(item) == Condition.QUARANTINED


# --- good news on the safe side


def put_out(item: Item, how: str) -> None:
    if how == "withdrawn":
        withdraw(item, ground="cut", stamp=stamp())
    else:
        quarantine(item, reason="damage-found", stamp=stamp())


@pytest.mark.parametrize("how", ["quarantined", "withdrawn"])
def test_a_pass_on_what_was_put_out_is_kept_and_releases_nothing(
    item: Item, huw: User, how: str
) -> None:
    put_out(item, how)
    one = looked(huw, item, at=NOON + 2 * MINUTE)
    assert answered(huw, one) == ("kept", "out-of-use")
    assert condition(item) == how
    assert not Inspection.objects.exists()


def test_a_pass_made_before_the_item_was_put_out_is_kept_also_once_it_is_back(
    item: Item, huw: User
) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    passed(item, kind="after-event")
    Inspection.objects.update(performed_at=NOON + MINUTE, recorded_at=NOON + MINUTE)
    release_from_quarantine(item, stamp=stamp(huw, NOON + 2 * MINUTE))
    assert answered(huw, looked(huw, item, at=NOON - MINUTE)) == ("kept", "put-out-since")
    assert answered(huw, looked(huw, item, at=NOON + 3 * MINUTE)) == ("applied", "")


def test_an_accepted_pass_is_on_record_and_the_item_stays_out(item: Item, huw: User) -> None:
    quarantine(item, reason="damage-found", stamp=stamp(at=NOON))
    one = looked(huw, item, at=NOON - MINUTE)
    sent(huw, one)
    decide(one, huw)
    assert outcome(one) == "applied"
    assert Inspection.objects.get().performed_at == NOON - MINUTE
    assert condition(item) == Condition.QUARANTINED
    with pytest.raises(Refusal, match="until it passes"):
        release_from_quarantine(item, stamp=stamp(huw, NOON + 10 * MINUTE))


def test_what_is_dropped_says_why_and_is_decided_once(item: Item, huw: User) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    one = looked(huw, item)
    sent(huw, one)
    row = SyncEvent.objects.get()
    with pytest.raises(Refusal, match="why"):
        drop_event(row, because=" ", stamp=stamp(huw))
    drop_event(row, because="Wrong harness.", stamp=stamp(huw))
    assert outcome(one) == "dropped"
    with pytest.raises(Refusal, match="before"):
        decide(one, huw)


def test_nothing_is_released_while_something_sent_about_it_waits(item: Item, huw: User) -> None:
    quarantine(item, reason="damage-found", stamp=stamp())
    one = looked(huw, item, "pass-with-conditions", statement="", restricted_to="restraint")
    sent(huw, one)
    finding = {"kind": "after-event", "verdict": "pass", "inspector": huw.person}
    from inspections.actions.finding import Finding

    late = NOON + 10 * MINUTE
    inspect(item, finding=Finding(performed_at=late, **finding), stamp=stamp(huw, late))
    with pytest.raises(Refusal, match="decide that first"):
        release_from_quarantine(item, stamp=stamp(huw, late))
    drop_event(SyncEvent.objects.get(), because="Seen anew.", stamp=stamp(huw))
    release_from_quarantine(item, stamp=stamp(huw, late))


def test_a_pass_by_a_list_that_is_not_in_force_is_kept(item: Item, huw: User) -> None:
    assert answered(huw, looked(huw, item, checklist="old")) == ("kept", "checklist-changed")


# --- clocks


def test_a_clock_that_is_ahead_makes_no_look_later_than_it_was(item: Item, huw: User) -> None:
    ahead = timedelta(hours=3)
    one = looked(huw, item, at=NOON - 10 * MINUTE + ahead)
    sent(huw, one, at=NOON, sent_at=NOON + ahead)
    row = SyncEvent.objects.get()
    assert (row.offset_seconds, row.claimed_at) == (-10_800, NOON - 10 * MINUTE + ahead)
    assert row.told.differs
    assert Inspection.objects.get().performed_at == NOON - 10 * MINUTE


@pytest.mark.parametrize(
    ("verdict", "ahead", "counts_at"),
    [
        ("pass", 30, NOON + 5 * MINUTE),
        ("refer", 30, NOON + 30 * MINUTE),
        ("refer", 60 * 24 * 3, NOON + 5 * MINUTE),
    ],
)
def test_a_time_still_to_come_counts_as_received_for_good_news_and_as_claimed_for_bad(
    item: Item, huw: User, verdict: str, ahead: int, counts_at: object
) -> None:
    sent(huw, looked(huw, item, verdict, at=NOON + ahead * MINUTE))
    assert Inspection.objects.get().performed_at == counts_at


def test_a_time_without_a_zone_or_none_at_all_counts_as_received(item: Item, huw: User) -> None:
    one = {**looked(huw, item), "claimed_at": "2026-03-09T09:00:00"}
    sent(huw, one)
    assert Inspection.objects.get().performed_at == NOON + 5 * MINUTE


# --- rounds


def a_round(site: Site, huw: User, items: list[Item]) -> list[dict[str, Any]]:
    """Begun, three looks of which one fails, signed."""
    codes = [item.code for item in items]
    begin = event(huw, "round-begin", site=site.code, kind="detailed", items=codes)
    looks = [
        looked(huw, item, verdict, at=NOON + n * MINUTE, round=begin["id"])
        for n, (item, verdict) in enumerate(zip(items, ["pass", "fail", "pass"], strict=False))
    ]
    told = {"round": begin["id"], "stated": True, "looks": [one["id"] for one in looks]}
    return [begin, *looks, event(huw, "round-sign", **told)]


@pytest.fixture
def four(site: Site) -> list[Item]:
    made = [ItemFactory(site=site) for _ in range(4)]
    for item in made:
        passed(item, DAY - timedelta(days=100))
    return made


def state_of(items: list[Item]) -> object:
    lines = RoundLine.objects.order_by("item").values_list("item", "state", "inspection__counts")
    through = [verdict_of(Item.objects.get(pk=item.pk), DAY).through for item in items]
    return list(lines), [condition(item) for item in items], through


def test_a_round_gone_without_signal_is_the_round_it_would_have_been(
    site: Site, huw: User, four: list[Item]
) -> None:
    assert {one.outcome for one in sent(huw, *a_round(site, huw, four))} == {"applied"}
    found = Round.objects.get()
    assert found.signed_at == NOON + 5 * MINUTE
    assert found.began_at == NOON
    states = dict(found.lines.values_list("item", "state"))
    assert [states[item.pk] for item in four] == ["seen", "out", "seen", "not-presented"]
    assert condition(four[1]) == Condition.WITHDRAWN


def test_its_events_give_the_same_round_in_every_order(
    site: Site, huw: User, four: list[Item]
) -> None:
    from django.db import transaction

    events = a_round(site, huw, four)
    states = []
    for n, order in enumerate(permutations(events)):
        if n % 7:
            continue
        point = transaction.savepoint()
        answers = sent(huw, *order[:2]) + sent(huw, *order[2:], order[0])
        assert {outcome(one) for one in events} == {"applied"}, answers
        states.append(state_of(four))
        transaction.savepoint_rollback(point)
    assert len(states) > 15
    assert all(state == states[0] for state in states)


def test_a_fail_is_out_before_its_round_has_come(site: Site, huw: User, four: list[Item]) -> None:
    fail = a_round(site, huw, four)[2]
    assert answered(huw, fail) == ("waits", "waits")
    assert condition(four[1]) == Condition.QUARANTINED


def test_a_pass_kept_in_a_round_is_not_told_as_not_presented(
    site: Site, huw: User, four: list[Item]
) -> None:
    quarantine(four[0], reason="damage-found", stamp=stamp())
    sent(huw, *a_round(site, huw, four))
    line = RoundLine.objects.get(item=four[0])
    assert (line.state, line.inspection) == ("seen", None)
    assert Round.objects.get().signed_at


def test_a_round_is_not_signed_without_a_look_that_was_refused(
    site: Site, huw: User, four: list[Item]
) -> None:
    begin, *looks, sign = a_round(site, huw, four)
    looks[0]["body"]["kind"] = "detailed"
    looks[0]["body"]["good_until_on"] = "soon"
    answers = sent(huw, begin, *looks, sign)
    assert answers[1].outcome == "refused"
    assert (answers[-1].outcome, answers[-1].code) == ("kept", "looks-refused")
    assert not Round.objects.get().signed_at


def test_the_round_of_another_takes_no_look(site: Site, huw: User, four: list[Item]) -> None:
    begin, *_rest = a_round(site, huw, four)
    sent(huw, begin)
    other = inspector()
    assert answered(other, looked(other, four[0], round=begin["id"])) == (
        "refused",
        "round-of-another",
    )


def test_an_unknown_item_is_taken_on_and_the_answer_gives_its_tag(
    site: Site, huw: User, four: list[Item]
) -> None:
    begin = event(huw, "round-begin", site=site.code, kind="detailed", items=[])
    told = {"maker": "Orla", "designation": "Sling 2", "equipment_class": "sling"}
    on = event(huw, "take-on", round=begin["id"], serial="S-9", text="red", **told)
    stray = event(huw, "stray", round=begin["id"], text="TW 12")
    answers = sent(huw, on, stray, begin, on)
    assert [one.outcome for one in answers] == ["applied"] * 4
    made = Item.objects.get(serial="S-9")
    assert made.condition == Condition.QUARANTINED
    assert answers[0].result == f"item:{made.code}"
    assert RoundLine.objects.count() == 2


def test_a_kit_is_ticked_and_sealed(site: Site, huw: User) -> None:
    kit = kit_of(site)
    seen = [part.item.code for part in kit.parts.all() if part.item]
    told = {"kind": "kit-check", "contents": {"seen": seen, "seal": "S-2"}}
    (answer,) = sent(huw, looked(huw, kit.item, **told))
    assert answer.outcome == "applied"
    kit.refresh_from_db()
    assert kit.seal_number == "S-2"


# --- photographs


def test_a_look_waits_for_its_photograph_and_its_bad_news_does_not(item: Item, huw: User) -> None:
    sha256 = hashlib.sha256(PNG).hexdigest()
    flaw = {"grade": "A", "what": "cut", "photo": sha256}
    one = looked(huw, item, "fail", defects=[flaw])
    assert answered(huw, one) == ("waits", "waits")
    assert condition(item) == Condition.QUARANTINED
    sender = Sender(user=huw, may=lambda need, site: may(huw, need, site), received_at=NOON)
    with pytest.raises(Refusal, match="whole"):
        take_photo(PNG + b"x", sha256=sha256, sender=sender)
    take_photo(PNG, sha256=sha256, sender=sender)
    take_photo(PNG, sha256=sha256, sender=sender)
    assert outcome(one) == "applied"
    assert Inspection.objects.get().defects.get().photo == SentPhoto.objects.get().document
    assert condition(item) == Condition.WITHDRAWN


def test_a_photograph_that_never_comes_is_left_out_by_decision(item: Item, huw: User) -> None:
    one = looked(huw, item, "fail", defects=[{"grade": "A", "what": "cut", "photo": "0" * 64}])
    sent(huw, one)
    decide(one, huw)
    assert Inspection.objects.get().defects.get().photo is None


# --- a saved queue


def test_a_saved_queue_does_what_sending_does(site: Site, item: Item, huw: User) -> None:
    other = ItemFactory(site=site)
    by_another = looked(inspector(), other)
    events = [stop(huw, item), by_another]
    lines = [json.dumps({"queue_of": "P-1"}), *map(json.dumps, events), "{broken", ""]
    sender = Sender(
        user=huw,
        may=lambda need, site: may(huw, need, site),
        received_at=NOON + 5 * MINUTE,
        from_file=True,
    )
    first = bring_in("\n".join(lines).encode(), sender)
    assert [one.outcome for one in first] == ["applied", "kept", "refused"]
    assert bring_in("\n".join(lines).encode(), sender) == first
    assert condition(item) == Condition.QUARANTINED
    assert SyncEvent.objects.count() == 3
