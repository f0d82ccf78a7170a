"""What is wrong with a body or a query: each mistake with its place and a sentence."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from register.api.problems import Mistake, Problem

MOST_TOLD = 50

_SENTENCES = {
    "missing": gettext_noop("This is missing."),
    "extra_forbidden": gettext_noop("No key of that name is known here."),
    "string_type": gettext_noop("A text is expected here."),
    "int_type": gettext_noop("A whole number is expected here."),
    "int_from_float": gettext_noop("A whole number is expected here."),
    "float_type": gettext_noop("A number is expected here."),
    "bool_type": gettext_noop("true or false is expected here."),
    "list_type": gettext_noop("A list is expected here."),
    "dict_type": gettext_noop("An object is expected here."),
    "model_type": gettext_noop("An object is expected here."),
    "model_attributes_type": gettext_noop("An object is expected here."),
    "day": gettext_noop("A day is expected here, written as 2026-11-20."),
    "moment": gettext_noop(
        "A moment with its zone is expected here, such as 2026-11-20T09:30:00+01:00."
    ),
    "key": gettext_noop("A UUID is expected here."),
    "text": gettext_noop("There is a character in this text that cannot be kept."),
    "string_unicode": gettext_noop("There is a character in this text that cannot be kept."),
}
_WITH_FIGURES = {
    "literal_error": gettext_noop("One of these is expected here: %(expected)s."),
    "string_too_long": gettext_noop("At most %(max_length)s characters are taken here."),
    "string_too_short": gettext_noop("At least %(min_length)s characters are expected here."),
    "too_long": gettext_noop("At most %(max_length)s are taken here."),
    "too_short": gettext_noop("At least %(min_length)s are expected here."),
    "greater_than_equal": gettext_noop("%(ge)s or more is expected here."),
    "less_than_equal": gettext_noop("%(le)s or less is expected here."),
    "greater_than": gettext_noop("More than %(gt)s is expected here."),
}


def problem_of(errors: Sequence[dict[str, Any]]) -> Problem:
    """The whole as one problem; the detail names the first place, the rest stands in ``errors``."""
    told = [_mistake(one) for one in errors[:MOST_TOLD]]
    first = told[0]
    place = first.get("pointer") or first.get("parameter") or ""
    words = {"place": place or "#", "detail": first["detail"]}
    detail = _("%(place)s: %(detail)s") % words
    return Problem("unsound", detail, errors=told)


def _mistake(error: dict[str, Any]) -> Mistake:
    source, *way = error["loc"]
    detail = _sentence(error)
    if source == "body":
        return {"pointer": pointer_to(way[1:]), "detail": detail}
    return {"parameter": str(way[-1]) if way else "", "detail": detail}


def _sentence(error: dict[str, Any]) -> str:
    kind, facts = error["type"], error.get("ctx", {})
    if kind in _SENTENCES:
        return _(_SENTENCES[kind])
    if kind in _WITH_FIGURES:
        plain = {name: str(value).replace(" or ", ", ") for name, value in facts.items()}
        return _(_WITH_FIGURES[kind]) % plain
    return _("This is not as it should be.")


def pointer_to(way: Sequence[str | int]) -> str:
    """A JSON pointer as a URI fragment (RFC 6901, 6), as the example of RFC 9457 has it."""
    escaped: Callable[[str | int], str] = lambda one: str(one).replace("~", "~0").replace("/", "~1")  # noqa: E731
    return "#" + "".join(f"/{escaped(one)}" for one in way)
