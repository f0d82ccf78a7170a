"""Every call of the API, asked as each role, as nobody, for another site's things, and at random.

The calls come from the interface itself, so a new one is asked as soon as it exists. What it answers
is held to the description that it publishes, by schemathesis: no 500, every status told, every answer
of its shape. Eight examples of each by default; TALLYHOOK_EXAMPLES asks for more.
"""

from __future__ import annotations

import json
import os
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import hypothesis
import jsonschema_rs
import pytest
import schemathesis
from django.core.cache import cache
from django.core.signals import request_finished, request_started
from django.db import close_old_connections
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    negative_data_rejection,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
    unsupported_method,
)

from inspections.checklists import checklist_for
from inspections.rules.checklists import hash_of
from register import clock
from register.access import NEEDS
from register.api import bearer
from register.api.bearer import TokenBearer
from register.api.describing import calls_in, description
from register.api.interface import api
from register.conf.wsgi import application
from register.models import Item, Role, Site, User
from register.rules.tokens import TOKEN_NEEDS
from tests.api_callers import Asker, asker, token_of
from tests.factories import NOON, inspector, user_as
from tests.test_pages import World, world

pytestmark = pytest.mark.django_db
EXAMPLES = int(os.environ.get("TALLYHOOK_EXAMPLES", "8"))
ANYBODY = {"token"}  # what any token may ask: it tells of itself
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    negative_data_rejection,
    unsupported_method,
]


@dataclass(frozen=True)
class Call:
    """One call: its name, its method and address, and the need it names."""

    name: str
    method: str
    path: str
    need: str | None

    def at(self, there: World) -> str:
        known = there.examples["*"]
        words = {
            "tag": known["code"],
            "site": known["site"],
            "name": known["name"],
            "notice": there.examples["notice"]["pk"],
        }
        return self.path.format(**words).removeprefix("/api/v1")


def operations() -> Iterator[Any]:
    for router in api._get_bound_routers():
        for view in router.path_operations.values():
            yield from view.operations


def calls() -> list[Call]:
    told = calls_in(description())
    return [Call(name, way.upper(), path, one["x-need"]) for name, path, way, one in told]


def body_of(call: Call, item: Item) -> Any:
    """What is sent to a call that takes a body, and is sound."""
    if call.name == "events-send":
        return {"events": [{"id": str(uuid.uuid4()), "kind": "quarantine", "body": {}}]}
    if call.name == "inspection-record":
        found = hash_of(checklist_for(item.product.equipment_class))
        return {
            "kind": "detailed",
            "verdict": "fail",
            "checklist": found,
            "defects": [{"grade": "A", "what": "edge cut"}],
        }
    return {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": []}]}


def asked(system: Asker, call: Call, there: World) -> int:
    if call.method == "GET":
        return system.get(call.at(there)).status_code
    item = Item.objects.get(code=there.examples["*"]["code"])
    return system.post(call.at(there), body_of(call, item)).status_code


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture
def here() -> World:
    return world("here")


@pytest.fixture
def there() -> World:
    return world("there")


def test_every_call_has_the_guard_and_names_its_need() -> None:
    found = {one.operation_id: one for one in operations()}
    assert len(found) > 14
    unguarded = [
        name
        for name, one in found.items()
        if [type(each) for each in one.auth_callbacks] != [TokenBearer]
        or (one.view_func.needs not in TOKEN_NEEDS and name not in ANYBODY)
    ]
    assert unguarded == []


def test_every_call_that_changes_something_can_be_sent_twice() -> None:
    changing = {one.operation_id: one for one in operations() if "POST" in one.methods}
    plain = {name for name, one in changing.items() if one.view_func.once is None}
    assert plain == {"what-if"}  # which changes nothing


def test_nobody_is_answered(here: World) -> None:
    nobody = Asker("tallyhook_H7K2PD3C_guessed")
    assert {asked(nobody, call, here) for call in calls()} == {401}


@pytest.mark.parametrize("role", list(Role))
def test_a_role_is_answered_what_it_may_and_no_more(role: Role, here: World) -> None:
    system = asker(user_as(role, here.site))
    wrong = {}
    for call in calls():
        status = asked(system, call, here)
        allowed = call.need is None or role in NEEDS[call.need]
        if (status == 403) is allowed or status == 404 or status >= 500:
            wrong[call.name] = status
    assert wrong == {}


@pytest.mark.parametrize("role", list(Role))
def test_another_sites_things_do_not_exist(role: Role, here: World, there: World) -> None:
    """Answered to the letter as what was never there."""
    system = asker(user_as(role, here.site))
    wrong = {}
    for call in calls():
        if "{" not in call.path or call.name.startswith("notice-"):
            continue
        expected = 404 if role in NEEDS[str(call.need)] else 403
        if asked(system, call, there) != expected:
            wrong[call.name] = expected
    assert wrong == {}


def test_what_is_elsewhere_and_what_is_not_are_answered_alike(here: World, there: World) -> None:
    system = asker(user_as(Role.STORES, here.site))
    code, unknown = there.examples["*"]["code"], "H7K2PD3"
    for path in ("/items/{}", "/items/{}/verdict", "/items/{}/inspections"):
        elsewhere, nowhere = system.get(path.format(code)), system.get(path.format(unknown))
        assert elsewhere.json() == nowhere.json()
    for path in ("/sites/{}", "/sites/{}/cover", "/kits/{}"):
        elsewhere, nowhere = system.get(path.format("there")), system.get(path.format("nowhere"))
        assert elsewhere.json() == nowhere.json()
    lists = [system.get(path).content.decode() for path in ("/items", "/kits", "/sites", "/due")]
    assert [text for text in lists if code in text or "there" in text] == []


def test_a_notice_tells_of_the_items_at_ones_own_sites_alone(here: World, there: World) -> None:
    system = asker(user_as(Role.STORES, here.site))
    counts = {one["id"]: one["items_certain"] for one in system.get("/notices").json()["notices"]}
    theirs = there.examples["notice"]["pk"]
    assert counts == {here.examples["notice"]["pk"]: 1, theirs: 0}
    assert system.get(f"/notices/{theirs}/items").json()["items"] == []


# The description


def test_every_example_is_of_its_own_shape() -> None:
    told = description()
    checked = 0
    for name, _path, _method, call in calls_in(told):
        holders = [call.get("requestBody", {}), *call["responses"].values()]
        for content in (one for each in holders for one in each.get("content", {}).values()):
            shape = {**content["schema"], "components": told["components"]}
            jsonschema_rs.validate(shape, content["example"]), name
            checked += 1
    for response in told["components"]["responses"].values():
        (content,) = response["content"].values()
        shape = {**content["schema"], "components": told["components"]}
        jsonschema_rs.validate(shape, content["example"])
        checked += 1
    assert checked > 25


def test_the_description_is_sound_openapi() -> None:
    schemathesis.openapi.from_dict(json.loads(json.dumps(description()))).validate()


# At random


@pytest.fixture
def kept_connection() -> Iterator[None]:
    """As Django's own test client has it: a request that ends leaves the test its transaction."""
    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


def _operation_names() -> list[str]:
    return [call.name for call in calls()]


def everything(site: Site) -> User:
    """Somebody who may ask every call there is."""
    user = inspector(site)
    for role in (Role.STORES, Role.MANAGER):
        user.grants.create(role=role, site=site)
    return user


@pytest.mark.usefixtures("kept_connection")
@pytest.mark.parametrize("name", _operation_names())
def test_whatever_is_sent_is_answered_as_described(
    name: str, here: World, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bearer, "MOST_REQUESTS", 10**9)
    token = token_of(everything(here.site))
    loaded = schemathesis.openapi.from_wsgi("/api/v1/openapi.json", application)
    operation = loaded.find_operation_by_id(name)
    known = known_words(here)

    @hypothesis.settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        derandomize=True,
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    @hypothesis.given(case=operation.as_strategy(), sound=hypothesis.strategies.booleans())
    def send(case: Any, sound: bool) -> None:  # noqa: FBT001
        if sound:  # an address that leads somewhere, so that more than 404 is asked of
            case.path_parameters = {**(case.path_parameters or {}), **known(case)}
        case.call_and_validate(headers={"Authorization": f"Bearer {token}"}, checks=CHECKS)

    send()


def known_words(there: World) -> Any:
    words = {
        "tag": there.examples["*"]["code"],
        "site": there.examples["*"]["site"],
        "name": there.examples["*"]["name"],
        "notice": str(there.examples["notice"]["pk"]),
    }
    return lambda case: {key: words[key] for key in (case.path_parameters or {})}
