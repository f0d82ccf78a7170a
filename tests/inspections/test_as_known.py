"""What was known when: later records and later corrections do not change an earlier answer."""

from __future__ import annotations

from datetime import datetime, timedelta

from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from inspections.actions.inspecting import Finding, Flaw, correct_inspection, inspect
from inspections.as_known import as_known
from inspections.models import Inspection
from inspections.rules.known import Recorded, Turn, condition_at, known_at
from register import clock
from register.models import Item, User
from tests.factories import DAY, NOON, SiteFactory, inspector, passed, stamp, user_as

HOUR = timedelta(hours=1)


def record(key: int, hours: int, replaces: int | None = None) -> Recorded[int]:
    return Recorded(key, NOON + hours * HOUR, replaces, key)


def keys(records: list[Recorded[int]], at: datetime) -> list[object]:
    return [one.key for one in known_at(records, at)]


def test_a_correction_takes_its_place_only_from_when_it_was_made() -> None:
    records = [record(1, 0), record(2, 5, replaces=1)]
    asked = (NOON - HOUR, NOON, NOON + 4 * HOUR, NOON + 5 * HOUR)
    assert [keys(records, at) for at in asked] == [[], [1], [1], [2]]


@given(st.lists(st.integers(0, 48), max_size=12), st.integers(0, 48), st.data())
def test_nothing_recorded_after_a_moment_changes_what_was_known_at_it(
    hours: list[int], asked: int, data: st.DataObject
) -> None:
    made = [
        record(key, at, data.draw(st.sampled_from([None, *range(key)])))
        for key, at in enumerate(hours)
    ]
    at = NOON + asked * HOUR
    by_then = [one for one in made if one.recorded_at <= at]
    assert known_at(made, at) == known_at(by_then, at)


def test_the_condition_is_that_of_the_last_turn_by_then() -> None:
    turns = [
        Turn(NOON, "received", "in-service"),
        Turn(NOON + HOUR, "in-service", "quarantined", "damage-found"),
        Turn(NOON + 2 * HOUR, "normal", "arduous"),
    ]
    asked = [condition_at(turns, NOON + at * HOUR, "withdrawn") for at in (-1, 0, 3)]
    assert asked == [("received", ""), ("in-service", ""), ("quarantined", "damage-found")]
    assert condition_at([], NOON, "in-service") == ("in-service", "")


def told(item: Item, by: User, verdict: str, at: datetime, **more: object) -> Inspection:
    recorded_at = more.pop("recorded_at", at)
    facts = {"kind": "detailed", "performed_at": at, "inspector": by.person, **more}
    finding = Finding(verdict=verdict, **facts)  # type: ignore[arg-type]
    return inspect(item, finding=finding, stamp=stamp(by, at=recorded_at))  # type: ignore[arg-type]


def test_a_late_entry_leaves_earlier_answers_as_they_were(item: Item) -> None:
    huw = inspector()
    passed(item, DAY - timedelta(days=100))
    asked = (NOON - HOUR, NOON + HOUR)
    before = [as_known(item, at).verdict for at in asked]
    late = NOON + 24 * HOUR
    told(item, huw, "pass", NOON - 2 * HOUR, recorded_at=late)
    assert [as_known(item, at).verdict for at in asked] == before
    assert as_known(item, late).verdict.through > before[1].through
    assert [len(as_known(item, at).later) for at in (asked[1], late)] == [1, 0]


def test_a_fail_known_later_was_no_fail_before(item: Item) -> None:
    huw = inspector()
    passed(item, DAY)
    told(item, huw, "fail", NOON, flaws=[Flaw(grade="A", what="cut")])
    item.refresh_from_db()
    assert as_known(item, NOON - HOUR).verdict.usable
    assert as_known(item, NOON).verdict.code == "withdrawn"


def test_a_corrected_record_stands_in_the_answer_until_it_was_corrected(item: Item) -> None:
    huw = inspector()
    wrong = told(item, huw, "pass", NOON)
    facts = {"kind": "detailed", "performed_at": NOON, "inspector": huw.person}
    right = Finding(verdict="not-presented", **facts)  # type: ignore[arg-type]
    later = NOON + 5 * HOUR
    new = correct_inspection(wrong, finding=right, reason="not seen", stamp=stamp(huw, at=later))
    known = [as_known(item, at).known for at in (NOON + HOUR, later)]
    assert known == [(wrong,), (new,)]


def test_the_page_answers_for_a_past_moment_and_not_for_one_to_come(
    client: Client, item: Item, petra: User
) -> None:
    passed(item, clock.today(item.site) - timedelta(days=3))
    client.force_login(petra)
    address = reverse("inspections:item-as-known", args=[item.code])
    old = client.get(address, {"at": "2026-01-01T12:00"}).content.decode()
    assert "No inspection was on record." in old
    assert "Recorded only after it" in old
    assert "OK to use until" in client.get(address).content.decode()
    ahead = client.get(address, {"at": "2999-01-01T12:00"}).content.decode()
    assert "That moment is still to come" in ahead
    assert "Give a day and a time" in client.get(address, {"at": "soon"}).content.decode()


def test_another_site_is_told_nothing(client: Client, item: Item) -> None:
    client.force_login(user_as("stores-controller", SiteFactory()))
    assert client.get(reverse("inspections:item-as-known", args=[item.code])).status_code == 404
