"""Reading a request strictly: one JSON text, bounded in size and depth, and no key twice."""

from __future__ import annotations

import json
from typing import Any, NoReturn

from django.http import HttpRequest
from django.utils.datastructures import MultiValueDict
from django.utils.translation import gettext as _
from ninja.parser import Parser

from register.api.problems import Problem

MOST_BYTES = 1_000_000
MOST_DEEP = 20
"""Levels of objects and lists in one another; the deepest thing we take has eight."""


class StrictParser(Parser):
    """What ninja reads bodies and queries with."""

    def parse_body(self, request: HttpRequest) -> Any:
        if request.content_type != "application/json":
            raise Problem("media-type", _("The body must come as application/json."))
        return read_json(request.body)

    def parse_querydict(
        self, data: MultiValueDict[str, str], list_fields: list[str], request: HttpRequest
    ) -> dict[str, Any]:
        """Each parameter once: of two values one would be passed over in silence."""
        twice = [name for name in data if len(data.getlist(name)) > 1]
        if twice:
            detail = _("Give each parameter once.")
            errors = [{"parameter": name, "detail": detail} for name in twice]
            raise Problem("unsound", detail, errors=errors)  # type: ignore[arg-type]
        return {name: data[name] for name in data}


def read_json(body: bytes) -> Any:
    """The value; a Problem says where it is no JSON (RFC 8259), or more than is read."""
    try:
        value = json.loads(
            body.decode("utf-8"),
            object_pairs_hook=_once,
            parse_constant=_no_number,
            parse_float=_finite,
        )
    except UnicodeDecodeError as error:
        detail = _("The body is not UTF-8: byte %(n)d cannot be read.") % {"n": error.start}
        raise Problem("unreadable", detail) from error
    except json.JSONDecodeError as error:
        raise Problem("unreadable", _misread(error)) from error
    except RecursionError as error:
        raise _too_deep() from error
    except ValueError as error:  # a whole number of more digits than are ever read
        raise Problem("unreadable", _("A number in the body is too long to be read.")) from error
    if _is_deep(value):
        raise _too_deep()
    return value


def _misread(error: json.JSONDecodeError) -> str:
    place = {"line": error.lineno, "column": error.colno}
    return _("The body is not JSON: see line %(line)d, column %(column)d.") % place


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _value in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise Problem(
            "unreadable", _("The key “%(key)s” stands twice in one object.") % {"key": twice[:60]}
        )
    return found


def _no_number(name: str) -> NoReturn:
    raise Problem("unreadable", _("%(name)s is no number in JSON.") % {"name": name})


def _finite(digits: str) -> float:
    value = float(digits)
    if value in (float("inf"), float("-inf")):
        raise Problem("unreadable", _("%(name)s is too large a number.") % {"name": digits[:30]})
    return value


def _is_deep(value: Any) -> bool:
    """Whether it goes deeper than is read; level by level, so that no depth can overturn us."""
    level = [value]
    for _depth in range(MOST_DEEP):
        level = [inner for one in level for inner in _inside(one) if isinstance(inner, dict | list)]
        if not level:
            return False
    return True


def _inside(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return list(value.values())
    return value if isinstance(value, list) else []


def _too_deep() -> Problem:
    detail = _("The body is nested more than %(n)d levels deep.") % {"n": MOST_DEEP}
    return Problem("unreadable", detail)
