"""Two touches of one round, and two rounds at one crate, at the same moment: nothing twice, no hang."""

from __future__ import annotations

import uuid

import pytest
from django.db import connection

from inspections.actions.finding import Finding
from inspections.actions.round_ends import sign_round
from inspections.actions.rounds import Plan, begin_round, look_in_round, stop_in_round
from inspections.models import Due, Inspection, Round, RoundLine
from register.models import Entry, Item, Site, User
from tests.factories import DAY, NOON, ItemFactory, SiteFactory, inspector, passed, stamp
from tests.inspections.test_two_at_once import at_once

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("emptied_tables"),
    pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one writer"),
]


def crate() -> tuple[Site, list[Item]]:
    site = SiteFactory()
    items = [ItemFactory(site=site) for _ in range(2)]
    for item in items:
        passed(item, DAY)
    return site, items


def begun(by: User, site: Site, items: list[Item], key: uuid.UUID | None = None) -> Round:
    plan = Plan(site=site, kind="detailed", id=key or uuid.uuid4())
    return begin_round(plan, inspector=by.person, items=items, stamp=stamp(by))


def good() -> Finding:
    return Finding(kind="detailed", verdict="pass", performed_at=NOON, inspector=None)


def test_a_round_sent_twice_at_once_is_begun_once() -> None:
    site, items = crate()
    huw, key = inspector(), uuid.uuid4()
    begin = [lambda: begun(huw, site, items, key)] * 2
    assert at_once(*begin) == ["done", "done"]
    assert RoundLine.objects.count() == len(items)


def test_a_look_sent_twice_at_once_is_recorded_once() -> None:
    site, items = crate()
    huw, one = inspector(), good()
    found = begun(huw, site, items)
    look = [lambda: look_in_round(found, items[0], finding=one, stamp=stamp(huw))] * 2
    assert at_once(*look) == ["done", "done"]
    assert Inspection.objects.filter(pk=one.id).count() == 1
    assert found.lines.count() == len(items)


def test_a_round_signed_twice_at_once_is_signed_once() -> None:
    site, items = crate()
    huw = inspector()
    found = begun(huw, site, items)
    look_in_round(found, items[0], finding=good(), stamp=stamp(huw))
    sign = [lambda: sign_round(found, stated=True, stamp=stamp(huw))] * 2
    assert at_once(*sign) == ["done", "done"]
    assert Entry.objects.filter(act__verb="sign-round", thing_kind="round").count() == 1


def test_two_rounds_at_one_crate_never_wait_in_a_circle() -> None:
    site, items = crate()
    huw, nia = inspector(), inspector()
    mine, theirs = begun(huw, site, items), begun(nia, site, items)
    for item in items:
        look_in_round(mine, item, finding=good(), stamp=stamp(huw))
    for item in reversed(items):
        look_in_round(theirs, item, finding=good(), stamp=stamp(nia))
    stop = {"verdict": "refer", "look": uuid.uuid4(), "stamp": stamp(nia)}
    told = at_once(
        lambda: sign_round(mine, stated=True, stamp=stamp(huw)),
        lambda: stop_in_round(theirs, items[0], **stop),  # type: ignore[arg-type]
        lambda: look_in_round(theirs, items[1], finding=good(), stamp=stamp(nia)),
    )
    assert told == ["done"] * 3
    assert Item.objects.get(pk=items[0].pk).condition == "quarantined"
    assert Due.objects.filter(item__in=items, last_good_on__gt=DAY).count() == len(items)
