"""The pages that describe the API: every call and every shape, in both languages, open to all."""

from __future__ import annotations

import pytest
from django.test import Client
from django.utils import translation

from register.api.describing import calls_in, description
from register.api.problems import KINDS

pytestmark = pytest.mark.django_db


def texts(node: object, name: str = "") -> list[str]:
    """Every summary and description."""
    if isinstance(node, dict):
        return [one for key, inner in node.items() for one in texts(inner, key)]
    if isinstance(node, list):
        return [one for inner in node for one in texts(inner)]
    is_text = name in ("summary", "description") and isinstance(node, str) and node != "OK"
    return [str(node)] if is_text else []


def test_every_call_and_every_shape_stands_on_the_page(client: Client) -> None:
    page, told = client.get("/api/").content.decode(), description()
    named = [name for name, *_rest in calls_in(told)] + list(told["components"]["schemas"])
    assert len(named) > 40
    assert [name for name in named if f'id="{name}"' not in page] == []
    links = {part.partition('"')[0] for part in page.split('href="#')[1:]} - {"main"}
    assert [link for link in links if f'id="{link}"' not in page] == []


def test_every_problem_that_a_call_names_is_explained(client: Client) -> None:
    page = client.get("/api/problems/").content.decode()
    statuses = {int(kind.status) for kind in KINDS.values()}
    assert [status for status in statuses if f'id="status-{status}"' not in page] == []


def test_every_word_of_the_description_is_in_polish_too(client: Client) -> None:
    english = set(texts(description()))
    with translation.override("pl"):
        polish = set(texts(description()))
    assert len(english) > 80
    assert english & polish - {"Created"} == set()
    asked = client.get("/api/v1/openapi.json", headers={"Accept-Language": "pl"})
    assert set(texts(asked.json())) == polish


def test_every_call_says_what_it_does_and_each_parameter_what_it_means() -> None:
    for name, _path, _method, call in calls_in(description()):
        assert call["summary"], name
        assert call["description"], name
        silent = [one["name"] for one in call["parameters"] if not one.get("description")]
        assert silent == [], name


def test_the_pages_are_open_and_only_for_reading(client: Client) -> None:
    for path in ("/api/", "/api/problems/", "/api/v1/openapi.json"):
        assert client.get(path).status_code == 200
        assert client.post(path).status_code == 405
