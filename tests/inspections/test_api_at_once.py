"""One thing sent twice at the same moment by another system is done once.

SQLite lets one writer in at a time, so that only PostgreSQL can show two at work.
"""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.core.cache import cache
from django.db import connection

from inspections.actions import inspecting
from inspections.models import Inspection
from register import clock
from register.models import Act, KeptAnswer
from tests.api_callers import Asker, asker
from tests.factories import NOON, ItemFactory, inspector

pytestmark = [
    pytest.mark.django_db(transaction=True),
    pytest.mark.usefixtures("emptied_tables"),
    pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has one writer"),
]
PASS = {"kind": "detailed", "verdict": "pass", "statement": "all-good"}


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


def send(token: str, path: str, key: str) -> Any:
    try:
        return Asker(token).post(path, PASS, key=key)
    finally:
        connection.close()


def test_two_with_one_key_at_once_record_one_inspection() -> None:
    item, system = ItemFactory(), asker(inspector())
    path = f"/items/{item.code}/inspections"
    for number in range(5):
        gate = threading.Barrier(2)

        def begun(_which: int, key: str = f"k-{number}", gate: Any = gate) -> Any:
            gate.wait()
            return send(system.token, path, key)

        with ThreadPoolExecutor(2) as pool:
            answers = list(pool.map(begun, range(2)))
        assert {one.status_code for one in answers} <= {201, 409}
        assert 201 in {one.status_code for one in answers}
        assert len({one.content for one in answers if one.status_code == 201}) == 1
        assert Inspection.objects.count() == number + 1
        assert send(system.token, path, f"k-{number}").status_code == 201
    assert Act.objects.filter(verb="inspect").count() == 5


def test_while_the_first_is_within_its_act_the_second_is_told_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The first is held in the middle of its transaction until the second has its answer."""
    item, system = ItemFactory(), asker(inspector())
    path = f"/items/{item.code}/inspections"
    within, answered = threading.Event(), threading.Event()
    record = inspecting.record

    def held(*args: Any, **particulars: Any) -> Act:
        within.set()
        assert answered.wait(20)
        return record(*args, **particulars)

    monkeypatch.setattr(inspecting, "record", held)
    with ThreadPoolExecutor(1) as pool:
        first = pool.submit(send, system.token, path, "k")
        assert within.wait(20)
        second = send(system.token, path, "k")
        answered.set()
    assert second.status_code == 409
    assert second.json()["type"].endswith("#in-flight")
    assert first.result().status_code == 201
    assert Inspection.objects.count() == KeptAnswer.objects.count() == 1
