"""The API described, for programs and for people; these three hold no data and are open to all."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from register.access import open_page
from register.api.describing import calls_in, description
from register.api.limits import MOST_FAILURES, MOST_REQUESTS
from register.api.once import KEPT_FOR
from register.api.problems import KINDS
from register.api.reading import MOST_BYTES, MOST_DEEP
from register.rules.tokens import TOKEN_NEEDS

Told = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Field:
    """One parameter of a call, or one key of a shape, in words."""

    name: str
    kind: str
    required: bool
    words: str
    shape: str = ""


@dataclass(frozen=True, slots=True)
class Call:
    """One call as the page lists it."""

    name: str
    method: str
    path: str
    summary: str
    words: str
    need: str
    parameters: list[Field]
    sent: str
    sent_shape: str
    answers: str
    answers_shape: str
    problems: list[tuple[str, str]]


@open_page("it describes the API and holds no data")
@require_safe
def api_description(request: HttpRequest) -> JsonResponse:
    """OpenAPI 3.1, in the language asked for."""
    response = JsonResponse(description(), json_dumps_params={"ensure_ascii": False})
    patch_vary_headers(response, ["Accept-Language"])
    return response


@open_page("it describes the API and holds no data")
@require_safe
def api_docs(request: HttpRequest) -> HttpResponse:
    """Every call with its parameters, shapes, examples and problems, from the same description."""
    told = description()
    shapes = told["components"]["schemas"]
    calls = [_call(name, path, method, call) for name, path, method, call in calls_in(told)]
    shown = {
        "about": told["info"]["description"],
        "asking": f'curl -H "Authorization: Bearer $TOKEN" {settings.PUBLIC_URL}/api/v1/token',
        "calls": calls,
        "shapes": [(name, _fields(shape)) for name, shape in sorted(shapes.items())],
        "needs": [(need, _(name)) for need, name in TOKEN_NEEDS.items()],
        "most_requests": MOST_REQUESTS,
        "most_failures": MOST_FAILURES,
        "most_mb": MOST_BYTES // 1_000_000,
        "most_deep": MOST_DEEP,
        "kept_days": KEPT_FOR.days,
    }
    return render(request, "register/api_docs.html", shown)


@open_page("it explains the problems that the API tells, and holds no data")
@require_safe
def api_problems(request: HttpRequest) -> HttpResponse:
    """Each kind of problem: what it means and what to do. ``type`` in an answer leads here."""
    kinds = [
        {"slug": slug, "status": int(kind.status), "title": _(kind.title), "advice": _(kind.advice)}
        for slug, kind in KINDS.items()
    ]
    return render(request, "register/api_problems.html", {"kinds": kinds})


def _call(name: str, path: str, method: str, call: Told) -> Call:
    sent = call.get("requestBody", {}).get("content", {}).get("application/json", {})
    good = next(told for status, told in call["responses"].items() if status in ("200", "201"))
    answers = good["content"]["application/json"]
    problems = [
        (status, told["$ref"].rpartition("/")[2])
        for status, told in call["responses"].items()
        if "$ref" in told
    ]
    return Call(
        name=name,
        method=method.upper(),
        path=path,
        summary=call["summary"],
        words=call.get("description", ""),
        need=call["x-need"] or "",
        parameters=[_parameter(one) for one in call["parameters"]],
        sent=_shown(sent["example"]) if sent else "",
        sent_shape=_shape_in(sent.get("schema", {})),
        answers=_shown(answers["example"]),
        answers_shape=_shape_in(answers["schema"]),
        problems=sorted(problems),
    )


def _shown(example: object) -> str:
    return json.dumps(example, ensure_ascii=False, indent=2)


def _parameter(one: Told) -> Field:
    where = {"path": _("in the address"), "query": _("in the query"), "header": _("as a header")}
    kind = f"{_kind(one['schema'])}, {where[one['in']]}"
    return Field(one["name"], kind, one["required"], one.get("description", ""))


def _fields(shape: Told) -> list[Field]:
    needed = set(shape.get("required", ()))
    return [
        Field(name, _kind(part), name in needed, part.get("description", ""), _shape_in(part))
        for name, part in shape.get("properties", {}).items()
    ]


def _kind(schema: Told) -> str:
    """A type in words: 'text', 'day', 'list of SiteTold', 'one of pass, fail', '... or null'."""
    if "anyOf" in schema:
        return _(" or ").join(_kind(one) for one in schema["anyOf"])
    if "$ref" in schema:
        return _shape_in(schema)
    if "enum" in schema:
        return _("one of %(words)s") % {"words": ", ".join(map(str, schema["enum"]))}
    if schema.get("type") == "array":
        inner = schema.get("items") or {}
        return _("list of %(kind)s") % {"kind": _kind(inner) if inner else _("anything")}
    return _plain_kind(schema)


def _plain_kind(schema: Told) -> str:
    named = {
        "date": _("day"),
        "date-time": _("moment"),
        "uuid": _("UUID"),
        "string": _("text"),
        "integer": _("whole number"),
        "number": _("number"),
        "boolean": _("true or false"),
        "null": _("null"),
        "object": _("object"),
    }
    kind = named.get(str(schema.get("format"))) or named.get(str(schema.get("type")), "")
    if "maxLength" in schema:
        return _("%(kind)s of at most %(n)d characters") % {"kind": kind, "n": schema["maxLength"]}
    if "minimum" in schema and "maximum" in schema:
        facts = {"kind": kind, "least": schema["minimum"], "most": schema["maximum"]}
        return _("%(kind)s from %(least)s to %(most)s") % facts
    return kind


def _shape_in(schema: Told) -> str:
    """The name of the shape that stands in it, '' for none."""
    for one in (schema, schema.get("items") or {}, *schema.get("anyOf", ())):
        if isinstance(one, dict) and "$ref" in one:
            return str(one["$ref"]).rpartition("/")[2]
    return ""
