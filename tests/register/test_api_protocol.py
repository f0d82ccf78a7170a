"""How the API answers, whatever is asked: problems, strictness, ETags, limits, languages."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError
from django.http import HttpResponse
from django.test import Client

from register import clock
from register.api import bearer, limits
from register.api.limits import WINDOW, Count
from register.api.mistakes import pointer_to
from register.api.problems import KINDS, MEDIA_TYPE, Problem
from register.api.reading import MOST_BYTES, MOST_DEEP, read_json
from register.models import Item, User
from tests.api_callers import Asker, asker, token_of
from tests.factories import NOON, ItemFactory

pytestmark = pytest.mark.django_db
WHAT_IF = {"scenarios": [{"id": "a", "on": "2026-03-09", "tasks": []}]}


@pytest.fixture(autouse=True)
def noon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "reading", lambda: NOON)
    cache.clear()


@pytest.fixture
def system(petra: User) -> Asker:
    return asker(petra)


def told(answer: HttpResponse, status: int) -> dict[str, object]:
    """The members of the problem; its form is checked on the way (RFC 9457, 3)."""
    assert answer.status_code == status
    assert answer["Content-Type"] == MEDIA_TYPE
    said: dict[str, object] = json.loads(answer.content)
    assert said["status"] == status
    assert str(said["type"]).startswith("http://localhost:8000/api/problems/#")
    assert str(said["detail"]).endswith((".", "!"))
    return said


def test_every_kind_of_problem_is_explained_where_its_type_leads(client: Client) -> None:
    page = client.get("/api/problems/").content.decode()
    assert [slug for slug in KINDS if f'id="{slug}"' not in page] == []


@pytest.mark.parametrize("path", ["/", "/nothing", "/items/", "/items/H7K2PD3/nothing"])
def test_an_address_that_is_none_is_a_problem_too(system: Asker, path: str) -> None:
    assert "no address" in str(told(system.get(path), 404)["detail"])


def test_a_method_that_is_not_answered_names_those_that_are(system: Asker) -> None:
    answer = system.ask("DELETE", "/items")
    told(answer, 405)
    assert answer["Allow"] == "GET, HEAD"
    assert system.ask("GET", "/events")["Allow"] == "POST"


def test_a_body_that_is_too_large_is_not_read(system: Asker) -> None:
    told(system.post("/what-if", b" " * (MOST_BYTES + 1)), 413)


def test_what_django_finds_too_large_is_told_alike(
    system: Asker, monkeypatch: pytest.MonkeyPatch
) -> None:
    def too_big(_body: bytes) -> None:
        raise RequestDataTooBig

    monkeypatch.setattr("readiness.api.what_if.answered", too_big)
    told(system.post("/what-if", WHAT_IF), 413)


@pytest.mark.parametrize("kind", ["text/plain", "application/x-www-form-urlencoded", ""])
def test_a_body_that_is_not_called_json_is_not_read(system: Asker, kind: str) -> None:
    answer = system.post("/what-if", WHAT_IF, **{"Content-Type": kind})
    told(answer, 415)


@pytest.mark.parametrize(
    ("body", "words"),
    [
        (b"{", "line 1, column 2"),
        (b'{"a": 1, "a": 2}', "twice"),
        (b'{"a": NaN}', "NaN"),
        (b'{"a": 1e999}', "too large a number"),
        (b"\xff{}", "UTF-8"),
        (b'{"a": ' + b"9" * 5000 + b"}", "too long"),
        (b"[" * (MOST_DEEP + 1) + b"]" * (MOST_DEEP + 1), "nested"),
        (b"[" * 100_000, "nested"),
        (b'{"a":' * 100_000, "nested"),
    ],
)
def test_what_is_no_json_is_told_with_its_place(system: Asker, body: bytes, words: str) -> None:
    assert words in str(told(system.post("/what-if", body), 400)["detail"])


def test_the_deepest_body_that_is_read_is_just_as_deep_as_is_told() -> None:
    assert read_json(b"[" * MOST_DEEP + b"]" * MOST_DEEP)
    with pytest.raises(Problem):
        read_json(b"[" * (MOST_DEEP + 1) + b"]" * (MOST_DEEP + 1))


def test_a_mistake_is_told_by_a_json_pointer(item: Item, huw: User) -> None:
    sent = {"kind": "detailed", "verdict": "fail", "defects": [{"grade": "Z", "what": 3}], "x/y": 1}
    said = told(asker(huw).post(f"/items/{item.code}/inspections", sent), 422)
    found = {one["pointer"]: one["detail"] for one in said["errors"]}  # type: ignore[attr-defined]
    assert set(found) == {"#/defects/0/grade", "#/defects/0/what", "#/x~1y"}
    assert "'A', 'B', 'C'" in found["#/defects/0/grade"]
    assert found["#/x~1y"] == "No key of that name is known here."


def test_a_pointer_is_written_as_its_standard_has_it() -> None:
    """The examples of RFC 6901, 6, but for those that need percent signs."""
    assert [pointer_to(way) for way in ([], ["foo"], ["foo", 0], [""], ["a/b"], ["m~n"])] == [
        "#",
        "#/foo",
        "#/foo/0",
        "#/",
        "#/a~1b",
        "#/m~0n",
    ]


@pytest.mark.parametrize(
    "wrong",
    [
        {"verdict": "pass", "kind": "detailed", "covers_periodic": 1},
        {"verdict": "pass", "kind": "detailed", "covers_periodic": "true"},
        {"verdict": "pass", "kind": "detailed", "note": 5},
        {"verdict": "pass", "kind": "detailed", "note": "a\x00b"},
        {"verdict": "pass", "kind": "detailed", "note": "\ud800"},
        {"verdict": "pass", "kind": "detailed", "good_until_on": 1_800_000_000},
        {"verdict": "pass", "kind": "detailed", "good_until_on": "2026-02-30"},
        {"verdict": "pass", "kind": "detailed", "good_until_on": "2026-03-09T00:00:00"},
        {"verdict": "pass", "kind": "detailed", "measured": {"length": 1.5}},
        {"verdict": "pass", "kind": "detailed", "measured": {"length": "NaN"}},
        {"verdict": "Pass", "kind": "detailed"},
        {"verdict": "pass"},
        [],
        '"pass"',
        None,
    ],
)
def test_no_value_is_taken_for_one_of_another_type(item: Item, huw: User, wrong: object) -> None:
    told(asker(huw).post(f"/items/{item.code}/inspections", wrong), 422)
    assert not item.inspections.exists()


@pytest.mark.parametrize(
    "query",
    [
        "sites=corrick",
        "limit=50&limit=60",
        "limit=0",
        "limit=201",
        "limit=5.0",
        "limit=%2B5",
        "limit=",
        "usable=true",
        "in_date_through=tomorrow",
        "site=nowhere",
        "serial=a%00b",
        "rated_at_least_kg=1e2",
    ],
)
def test_a_query_is_taken_as_it_is_meant_or_not_at_all(
    item: Item, system: Asker, query: str
) -> None:
    said = told(system.get(f"/items?{query}"), 422)
    assert said["errors"] if "%00" not in query else True


def test_a_list_goes_on_where_it_ended(system: Asker, petra: User) -> None:
    site = ItemFactory().site
    for _ in range(4):
        ItemFactory(site=site)
    seen, after = [], ""
    while after is not None:
        page = system.get(f"/items?limit=2&after={after}").json()
        seen.append([one["tag"] for one in page["items"]])
        after = page["next"]
    assert [len(page) for page in seen] == [2, 2, 1]
    assert [tag for page in seen for tag in page] == sorted(
        Item.objects.values_list("code", flat=True)
    )


@pytest.mark.parametrize("path", ["/due?after=x", "/due?after=x.y", "/notices?after=x"])
def test_a_cursor_that_never_was_one_is_refused(system: Asker, path: str) -> None:
    told(system.get(path), 422)


def test_what_is_unchanged_is_not_sent_again(item: Item, system: Asker) -> None:
    first = system.get(f"/items/{item.code}")
    again = system.get(f"/items/{item.code}", **{"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    weak = system.get(f"/items/{item.code}", **{"If-None-Match": f'"x", W/{first["ETag"]}'})
    assert weak.status_code == 304
    Item.objects.update(place="Rack 4")
    changed = system.get(f"/items/{item.code}", **{"If-None-Match": first["ETag"]})
    assert (changed.status_code, changed["Cache-Control"]) == (200, "private, no-cache")
    assert {"Authorization", "Accept-Language"} <= set(changed["Vary"].split(", "))


def test_head_is_answered_as_get_without_the_words(item: Item, system: Asker) -> None:
    whole, head = (system.ask(way, f"/items/{item.code}") for way in ("GET", "HEAD"))
    assert (head.status_code, head.content) == (200, b"")
    assert head["Content-Length"] == str(len(whole.content))
    assert head["ETag"] == whole["ETag"]


def test_a_problem_is_told_in_polish_to_who_asks_for_it(system: Asker) -> None:
    english = told(system.get("/items/H7K2PD3"), 404)
    polish = told(system.get("/items/H7K2PD3", **{"Accept-Language": "pl"}), 404)
    assert english["title"] == "There is no such thing"
    assert polish["title"] != english["title"]
    assert polish["type"] == english["type"]
    assert system.get("/items/H7K2PD3", **{"Accept-Language": "pl"})["Content-Language"] == "pl"


def test_a_fault_of_ours_is_a_problem_and_its_words_stay_here(
    item: Item, system: Asker, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_args: object) -> None:
        raise ZeroDivisionError("password=secret")

    monkeypatch.setattr("inspections.api.items.verdicts_at", broken)
    answer = system.get("/items")
    told(answer, 500)
    assert b"secret" not in answer.content
    assert answer["Cache-Control"] == "no-store"


def test_a_busy_register_says_when_to_come_again(
    item: Item, system: Asker, monkeypatch: pytest.MonkeyPatch
) -> None:
    def busy(*_args: object) -> None:
        raise OperationalError("database is locked")

    monkeypatch.setattr("inspections.api.items.verdicts_at", busy)
    answer = system.get("/items")
    told(answer, 503)
    assert answer["Retry-After"] == "1"


# How often


def test_a_token_has_its_share_of_a_minute_and_another_has_its_own(
    item: Item, petra: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bearer, "MOST_REQUESTS", 2)
    one, other = asker(petra), asker(petra)
    answers = [one.get("/items") for _ in range(3)]
    assert [each.status_code for each in answers] == [200, 200, 429]
    assert [each["RateLimit"] for each in answers] == [
        f'"requests";r={left};t={WINDOW}' for left in (1, 0, 0)
    ]
    assert answers[0]["RateLimit-Policy"] == f'"requests";q=2;w={WINDOW}'
    told(answers[2], 429)
    assert answers[2]["Retry-After"] == str(WINDOW)
    assert other.get("/items").status_code == 200
    monkeypatch.setattr(clock, "reading", lambda: NOON + timedelta(seconds=WINDOW))
    assert one.get("/items").status_code == 200


def test_what_takes_long_counts_as_many(system: Asker, monkeypatch: pytest.MonkeyPatch) -> None:
    before = system.get("/token")["RateLimit"]
    assert system.post("/what-if", WHAT_IF, key=None).status_code == 200
    after = system.get("/token")["RateLimit"]
    assert left(before) - left(after) == 61


def left(header: str) -> int:
    return int(header.partition(";r=")[2].partition(";")[0])


def test_an_address_that_tries_tokens_is_stopped_and_a_token_that_works_is_not(
    item: Item, petra: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bearer, "MOST_FAILURES", 3)
    guessing = Asker("tallyhook_H7K2PD3C_guess")
    statuses = [guessing.get("/items").status_code for _ in range(5)]
    assert statuses == [401, 401, 401, 429, 429]
    assert Asker(token_of(petra)).get("/items").status_code == 200


def test_a_count_that_the_cache_dropped_begins_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    def dropped(*_args: object) -> int:
        raise ValueError

    monkeypatch.setattr(limits.cache, "incr", dropped)
    assert limits.count_one("token:1", 5, NOON) == Count(5, 1, WINDOW)
