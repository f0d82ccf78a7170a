"""The description of the API (OpenAPI 3.1): what ninja knows of the calls, and all it does not tell.

Each call gets the problems that it can answer with, its headers, an example made of the examples of
its fields, and its words in the language asked for.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from copy import deepcopy
from functools import lru_cache
from typing import Annotated, Any

from django.conf import settings
from django.utils.translation import get_language, gettext_noop
from django.utils.translation import gettext as _
from ninja.responses import NinjaJSONEncoder
from pydantic import Field

from register.api.examples import example_of
from register.api.interface import api
from register.api.once import ByEvent, InOne
from register.api.problems import KINDS, MEDIA_TYPE
from register.api.shapes import Shape

Told = dict[str, Any]
ALWAYS = (401, 403, 429, 500, 503)

_ABOUT = gettext_noop(
    "The register for other systems. Days are days of the site, moments are ISO 8601 with their zone,"
    " and figures name their unit in the key. What is in doubt is never told as a yes."
)


class MistakeTold(Shape):
    """Where, and what is expected there; one of the first three is given."""

    pointer: Annotated[str | None, Field(examples=["#/defects/0/grade"])] = None
    parameter: str | None = None
    header: str | None = None
    detail: str


class ProblemTold(Shape):
    """Problem details (RFC 9457)."""

    type: Annotated[str, Field(examples=["https://register.example/api/problems/#unsound"])]
    title: str
    status: Annotated[int, Field(examples=[422])]
    detail: Annotated[str, Field(description=gettext_noop("A sentence for whoever reads it."))]
    code: Annotated[
        str | None,
        Field(description=gettext_noop("The reason, for programs; where there are several.")),
    ] = None
    errors: list[MistakeTold] | None = None


_PLACES = {
    "site": gettext_noop("Code of the site."),
    "tag": gettext_noop("Tag of the item."),
    "name": gettext_noop("Name of the kit."),
    "notice": gettext_noop("Id of the notice."),
}
"""What stands in an address: ninja drops the words of these."""


def description() -> Told:
    """In the language that is asked for; made once for each."""
    return deepcopy(_made(get_language() or settings.LANGUAGE_CODE))


@lru_cache(maxsize=8)
def _made(_language: str) -> Told:
    raw = api.get_openapi_schema(path_prefix="/api/v1/")
    told: Told = json.loads(json.dumps(raw, cls=NinjaJSONEncoder))
    told["info"]["description"] = _(_ABOUT)
    told["servers"] = [{"url": settings.PUBLIC_URL}]
    shapes = told["components"]["schemas"]
    shapes |= _shapes_of_problems()
    told["components"]["responses"] = {
        f"Problem{status}": _problem(status) for status in _statuses()
    }
    told["components"]["securitySchemes"] = {"Token": {"type": "http", "scheme": "bearer"}}
    told["security"] = [{"Token": []}]
    for shape in shapes.values():
        shape.pop("description", None)  # what the class says to us; its fields speak to others
    for name, path, method, call in calls_in(told):
        _complete(call, path, method, _view_of(name))
        _exemplify(call, shapes)
    _tidy(told["paths"])
    _tidy(shapes)
    return _translated(told)


def calls_in(told: Told) -> Iterator[tuple[str, str, str, Told]]:
    """Each call: its name, path, method, and what is told of it."""
    for path, methods in told["paths"].items():
        for method, call in methods.items():
            yield call["operationId"], path, method, call


def _view_of(name: str) -> Callable[..., Any]:
    for router in api._get_bound_routers():  # noqa: SLF001 - ninja has no public way to its calls
        for view in router.path_operations.values():
            for operation in view.operations:
                if operation.operation_id == name:
                    return operation.view_func
    raise KeyError(name)


def _shapes_of_problems() -> Told:
    made = ProblemTold.model_json_schema(ref_template="#/components/schemas/{model}")
    inner: Told = made.pop("$defs")
    return {**inner, "ProblemTold": made}


def _statuses() -> list[int]:
    return sorted({int(kind.status) for kind in KINDS.values()})


def _problem(status: int) -> Told:
    """One response of the components: every kind of problem with this status, and an example."""
    kinds = {slug: kind for slug, kind in KINDS.items() if int(kind.status) == status}
    slug, kind = next(iter(kinds.items()))
    example = {
        "type": f"{settings.PUBLIC_URL}/api/problems/#{slug}",
        "title": _(kind.title),
        "status": status,
        "detail": _(kind.advice),
    }
    shape = {"$ref": "#/components/schemas/ProblemTold"}
    return {
        "description": "; ".join(_(one.title) for one in kinds.values()) + ".",
        "content": {MEDIA_TYPE: {"schema": shape, "example": example}},
    }


def _complete(call: Told, path: str, method: str, view: Callable[..., Any]) -> None:
    """Its need, its problems, the key that it takes, and the answer to a known ETag."""
    once, need = getattr(view, "once", None), getattr(view, "needs", None)
    call["x-need"] = need
    found = {*ALWAYS, 422}
    if "{" in path:
        found.add(404)
    for one in call["parameters"]:
        if one["in"] == "path":
            one["description"] = _PLACES[one["name"]]
    if "requestBody" in call:
        found |= {400, 413, 415}
    if isinstance(once, InOne | ByEvent):
        found.add(409)
        call["parameters"].append(_key_header(required=isinstance(once, InOne)))
    if method == "get":
        call["responses"]["304"] = {"description": _("Unchanged since the ETag that was sent.")}
    for status in sorted(found):
        call["responses"][str(status)] = {"$ref": f"#/components/responses/Problem{status}"}
    call.pop("security", None)


def _key_header(*, required: bool) -> Told:
    return {
        "in": "header",
        "name": "Idempotency-Key",
        "required": required,
        "description": gettext_noop(
            "A new one, such as a UUID, for each thing to be done. The same key with the same body gives"
            " the same answer for seven days, and does nothing again."
        ),
        "schema": {"type": "string", "pattern": "^[!#-\\[\\]-~]{1,200}$"},
        "example": "3f0d4b6e-8f0d-4f9c-a1d4-2a0d3c5b7e11",
    }


def _exemplify(call: Told, shapes: Mapping[str, Told]) -> None:
    for content in _contents(call):
        content.setdefault("example", example_of(content["schema"], shapes))


def _contents(call: Told) -> Iterator[Told]:
    holders = [call.get("requestBody", {}), *call["responses"].values()]
    for holder in holders:
        yield from holder.get("content", {}).values()


def _tidy(node: Any) -> None:
    """No titles, which pydantic makes of the names of keys; and parameters as OpenAPI has them."""
    if isinstance(node, list):
        for one in node:
            _tidy(one)
    elif isinstance(node, dict):
        if isinstance(node.get("title"), str):
            del node["title"]
        if node.get("in") in ("query", "path"):
            _tidy_parameter(node)
        for inner in node.values():
            _tidy(inner)


def _tidy_parameter(told: Told) -> None:
    """What is left out of a query is left out, and never null; one example, not a list."""
    told["schema"] = _without_null(told["schema"])
    if examples := told.pop("examples", None):
        told["example"] = examples[0]


def _without_null(schema: Told) -> Told:
    kept = [one for one in schema.get("anyOf", []) if one.get("type") != "null"]
    if len(kept) != 1:
        return schema
    rest = {name: value for name, value in schema.items() if name not in ("anyOf", "default")}
    return {**kept[0], **rest}


def _translated(node: Any, name: str = "") -> Any:
    """Every summary and description in the language asked for."""
    if isinstance(node, dict):
        return {key: _translated(inner, key) for key, inner in node.items()}
    if isinstance(node, list):
        return [_translated(one) for one in node]
    if name in ("summary", "description") and isinstance(node, str) and node:
        words = " ".join(node.split())
        return _(words)
    return node
