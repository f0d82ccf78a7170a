"""Inspections and events from other systems: the same acts, once, however often they are sent."""

from __future__ import annotations

import uuid
from datetime import timedelta
from typing import Any

import pytest
from django.core.cache import cache

from inspections.checklists import checklist_for
from inspections.models import Inspection, SyncEvent
from inspections.rules.checklists import hash_of
from register import clock
from register.api import once
from register.api.once import CLAIM_HOLDS, KEPT_FOR
from register.models import Act, Item, KeptAnswer, Role, Site, User
from register.rules.conditions import Condition
from tests.api_callers import Asker, asker
from tests.factories import DAY, NOON, ItemFactory, SiteFactory, inspector, kit_of, passed, user_as
from tests.inspections.sending import event, looked, sent

pytestmark = pytest.mark.django_db
PASS = {"kind": "detailed", "verdict": "pass", "statement": "all-good"}
FAIL = {"kind": "detailed", "verdict": "fail", "defects": [{"grade": "A", "what": "edge cut"}]}


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture
def bench(huw: User) -> Asker:
    """The software of a workshop, in the name of the competent person."""
    return asker(huw)


def path_of(item: Item) -> str:
    return f"/items/{item.code}/inspections"


def test_a_pass_moves_the_date_and_names_who_passed_it(bench: Asker, item: Item, huw: User) -> None:
    answer = bench.post(path_of(item), PASS)
    assert answer.status_code == 201
    told = answer.json()
    assert told["verdict"]["usable"] is True
    one = Inspection.objects.get()
    assert (one.inspector, one.recorded_by, one.counts) == (huw.person, huw, True)
    assert told["inspection"]["id"] == str(one.pk)
    assert one.performed_at == NOON
    act = Act.objects.get(verb="inspect")
    assert (act.by, act.device.partition(" ")[0]) == (huw, "api")


def test_a_fail_of_an_authorised_inspector_withdraws_at_once(bench: Asker, item: Item) -> None:
    passed(item)
    told = bench.post(path_of(item), FAIL).json()
    assert told["verdict"]["code"] == "withdrawn"
    item.refresh_from_db()
    assert item.condition == Condition.WITHDRAWN


def test_a_pass_without_authority_is_kept_and_moves_nothing(item: Item) -> None:
    system = asker(user_as(Role.COMPETENT))
    before = system.get(f"/items/{item.code}").json()["verdict"]
    told = system.post(path_of(item), PASS).json()
    assert told["inspection"]["counts"] is False
    assert "authorised" in told["inspection"]["why_not_counted"]
    assert told["verdict"] == before


def test_a_pass_that_leaves_points_open_is_refused_and_nothing_is_kept(
    bench: Asker, item: Item
) -> None:
    answer = bench.post(path_of(item), {"kind": "detailed", "verdict": "pass"})
    assert answer.status_code == 409
    assert answer.json()["code"] == "unanswered"
    assert not Inspection.objects.exists()


def test_a_pass_by_another_checklist_is_refused(bench: Asker, item: Item) -> None:
    found = hash_of(checklist_for(item.product.equipment_class))
    assert bench.post(path_of(item), {**PASS, "checklist": "0" * 64}).status_code == 409
    assert bench.post(path_of(item), {**PASS, "checklist": found}).status_code == 201


def test_a_kit_passes_piece_by_piece_as_on_the_page(bench: Asker, site: Site) -> None:
    kit = kit_of(site)
    look = {**PASS, "kind": "kit-check"}
    tags = [part.item.code for part in kit.parts.all() if part.item]
    short = bench.post(path_of(kit.item), {**look, "contents": {"seen": tags[:1], "seal": "S-9"}})
    assert short.status_code == 409
    whole = bench.post(path_of(kit.item), {**look, "contents": {"seen": tags, "seal": "S-9"}})
    assert whole.status_code == 201
    kit.refresh_from_db()
    assert (kit.seal_number, kit.seal_intact) == ("S-9", True)


def test_nobody_passes_where_they_are_no_inspector(site: Site) -> None:
    elsewhere = SiteFactory()
    user = inspector(elsewhere)
    user.grants.create(role=Role.WORKER, site=site)
    item = ItemFactory(site=site)
    assert asker(user).post(path_of(item), PASS).status_code == 403


def test_names_are_told_only_to_a_token_that_may_read_them(item: Item, huw: User) -> None:
    for needs, name in (
        (("inspection.record", "inspection.see", "person.see"), str(huw)),
        (("inspection.record", "inspection.see"), None),
    ):
        system = asker(huw, *needs)
        assert system.post(path_of(item), PASS).json()["inspection"]["inspector"] == name
        listed = system.get(path_of(item)).json()["inspections"]
        assert {one["inspector"] for one in listed} == {name}


# Once


def test_a_change_without_a_key_is_refused(bench: Asker, item: Item) -> None:
    answer = bench.post(path_of(item), PASS, key=None)
    assert answer.status_code == 400
    assert answer.json()["errors"][0]["header"] == "Idempotency-Key"
    assert not Inspection.objects.exists()


@pytest.mark.parametrize("key", ["two words", '"half', "ä", "x" * 201, '""'])
def test_a_key_is_plain(bench: Asker, item: Item, key: str) -> None:
    assert bench.post(path_of(item), PASS, key=key).status_code == 400


def test_sent_again_it_is_answered_to_the_letter_and_done_once(bench: Asker, item: Item) -> None:
    first, again = (bench.post(path_of(item), PASS, key="k-1") for _ in range(2))
    assert again.content == first.content
    assert (again.status_code, again["Content-Type"]) == (201, first["Content-Type"])
    assert again["Idempotency-Replayed"] == "true"
    assert "Idempotency-Replayed" not in first
    assert Inspection.objects.count() == 1
    quoted = bench.post(path_of(item), PASS, key='"k-1"')  # as RFC 9651 writes a string
    assert quoted.content == first.content


def test_a_refusal_is_answered_again_as_it_was(bench: Asker, item: Item) -> None:
    first, again = (bench.post(path_of(item), {**PASS, "statement": ""}, key="k") for _ in range(2))
    assert first.status_code == again.status_code == 409
    assert again.content == first.content
    assert again["Content-Type"] == "application/problem+json"


def test_the_same_key_for_something_else_is_refused(bench: Asker, item: Item) -> None:
    bench.post(path_of(item), PASS, key="k-1")
    other = ItemFactory(site=item.site)
    for path, body in ((path_of(item), FAIL), (path_of(other), PASS)):
        answer = bench.post(path, body, key="k-1")
        assert answer.status_code == 422
        assert answer.json()["type"].endswith("#key-used-otherwise")
    assert Inspection.objects.count() == 1


def test_each_token_has_keys_of_its_own(item: Item, huw: User) -> None:
    for system in (asker(huw), asker(huw)):
        assert system.post(path_of(item), PASS, key="k-1").status_code == 201
    assert Inspection.objects.count() == 2


def test_what_could_not_be_read_does_not_use_its_key_up(bench: Asker, item: Item) -> None:
    assert bench.post(path_of(item), {**PASS, "kind": "?"}, key="k").status_code == 422
    assert bench.post("/items/H7K2PD3/inspections", PASS, key="k").status_code == 404
    assert bench.post(path_of(item), PASS, key="k").status_code == 201


def claimed(bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch) -> KeptAnswer:
    """As it is while the first request with the key is at work: its claim, and no answer."""
    bench.post(path_of(item), PASS, key="k")
    KeptAnswer.objects.update(status=None, body="", claim=uuid.uuid4())
    return KeptAnswer.objects.get()


def test_while_the_first_is_at_work_the_second_is_told_to_wait(
    bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    claimed(bench, item, monkeypatch)
    answer = bench.post(path_of(item), PASS, key="k")
    assert answer.status_code == 409
    assert answer.json()["type"].endswith("#in-flight")
    assert answer["Retry-After"] == "1"


def test_a_claim_of_somebody_who_is_gone_is_taken_over(
    bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    claimed(bench, item, monkeypatch)
    monkeypatch.setattr(clock, "reading", lambda: NOON + CLAIM_HOLDS)
    assert bench.post(path_of(item), PASS, key="k").status_code == 201
    assert Inspection.objects.count() == 1  # it had been recorded, under the id made of the key


def test_whoever_was_overtaken_leaves_nothing_behind(
    bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Slow, and thought gone: another took the claim over before the answer could be kept."""
    keep = once._keep

    def overtaken(claim: Any, response: Any) -> None:
        KeptAnswer.objects.update(claim=uuid.uuid4())
        keep(claim, response)

    monkeypatch.setattr(once, "_keep", overtaken)
    answer = bench.post(path_of(item), PASS, key="k")
    assert answer.status_code == 409
    assert not Inspection.objects.exists()
    assert not Act.objects.filter(verb="inspect").exists()


def test_a_fault_gives_the_key_back(
    bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: object, **_named: object) -> None:
        raise ZeroDivisionError

    with monkeypatch.context() as patched:
        patched.setattr("inspections.api.recording.inspection_told", broken)
        assert bench.post(path_of(item), PASS, key="k").status_code == 500
    assert not Inspection.objects.exists()
    assert bench.post(path_of(item), PASS, key="k").status_code == 201


def test_an_answer_is_kept_for_seven_days_and_the_act_is_never_done_twice(
    bench: Asker, item: Item, monkeypatch: pytest.MonkeyPatch
) -> None:
    bench.post(path_of(item), PASS, key="k")
    monkeypatch.setattr(clock, "reading", lambda: NOON + KEPT_FOR - timedelta(seconds=1))
    assert "Idempotency-Replayed" in bench.post(path_of(item), PASS, key="k")
    monkeypatch.setattr(clock, "reading", lambda: NOON + KEPT_FOR)
    late = bench.post(path_of(item), PASS, key="k")
    assert (late.status_code, "Idempotency-Replayed" in late) == (201, False)
    assert Inspection.objects.count() == 1


# Events


def outcomes(answer: Any) -> list[str]:
    assert answer.status_code == 200, answer.content
    return [one["outcome"] for one in answer.json()["answers"]]


def test_an_event_has_the_same_answer_as_from_a_phone(huw: User, site: Site) -> None:
    """Every kind of outcome, sent to two items alike: by a phone, and over the interface."""
    one, other = ItemFactory(site=site), ItemFactory(site=site)

    def lot(item: Item) -> list[Any]:
        return [
            looked(huw, item),
            looked(huw, item, checklist="0" * 64),
            looked(huw, item, "fail", round=str(uuid.uuid4())),
            looked(user_as(Role.COMPETENT), item),
            event(None, "acknowledge", item=item.code),
            event(huw, "nonsense"),
            "no event at all",
            {"id": str(uuid.uuid4()), "kind": "quarantine", "body": {"item": "\x00"}},
            event(huw, "quarantine", item=item.code, reason="damage-found"),
            looked(huw, item),
        ]

    by_phone = [(one.outcome, one.code) for one in sent(huw, *lot(one), at=NOON)]
    answer = asker(huw).post("/events", {"sent_at": NOON.isoformat(), "events": lot(other)})
    by_system = [(one["outcome"], one["code"]) for one in answer.json()["answers"]]
    assert by_system == by_phone
    assert {outcome for outcome, _code in by_system} >= {"applied", "kept", "refused", "later"}


def test_an_event_sent_again_is_taken_once_with_or_without_a_key(item: Item, huw: User) -> None:
    system, bad = asker(huw), event(huw, "quarantine", item=item.code, reason="damage-found")
    for key in (None, "k-1", "k-1", "k-2", None):
        assert outcomes(system.post("/events", {"events": [bad]}, key=key)) == ["applied"]
    assert SyncEvent.objects.count() == 1
    assert Act.objects.filter(verb="quarantine").count() == 1


def test_an_event_does_no_more_than_the_token_was_made_for(item: Item, huw: User) -> None:
    """A look needs both: to send events, and to record inspections; bad news needs neither."""
    passed(item)
    system = asker(huw, "sync.send")
    assert outcomes(system.post("/events", {"events": [looked(huw, item)]})) == ["kept"]
    bad = event(huw, "quarantine", item=item.code, reason="damage-found")
    assert outcomes(system.post("/events", {"events": [bad]})) == ["applied"]


def test_an_event_reaches_no_further_than_the_sites_of_the_token(huw: User, site: Site) -> None:
    elsewhere = ItemFactory(site=SiteFactory())
    passed(elsewhere)
    look = looked(huw, elsewhere)
    assert outcomes(asker(huw, sites=[site]).post("/events", {"events": [look]})) == ["kept"]
    assert not elsewhere.inspections.filter(performed_on=DAY, pk=look["id"]).exists()


@pytest.mark.parametrize(
    "body",
    [
        {},
        {"events": []},
        {"events": {}},
        {"events": [1] * 201},
        {"events": [1], "sent_at": "yesterday"},
        {"events": [1], "more": 1},
    ],
)
def test_a_lot_that_is_none_is_refused_whole(huw: User, body: object) -> None:
    assert asker(huw).post("/events", body).status_code == 422
    assert not SyncEvent.objects.exists()


def test_what_stamps_an_event_names_the_token(item: Item, huw: User) -> None:
    system = asker(huw)
    bad = event(huw, "quarantine", item=item.code, reason="damage-found")
    system.post("/events", {"device": "bench 2", "events": [bad]})
    prefix = system.token.split("_")[1]
    assert SyncEvent.objects.get().device == f"api {prefix} bench 2"
