"""What a list is: its page's need, its columns, and how its rows are found from what a page was asked."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any

from django.forms import BaseForm
from django.forms.models import ModelChoiceIterator
from django.http import QueryDict
from django.utils.translation import gettext as _

from register.exports.columns import Column
from register.models import User
from register.refusal import Refusal

if TYPE_CHECKING:
    from django.utils.functional import _StrPromise as StrPromise

AT_ONCE = 2_000  # rows that are made within about a second; a slower list says fewer
Filters = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Asking:
    """Who asks, what the page's address says, when, and what the address itself names."""

    user: User
    given: QueryDict
    at: datetime
    named: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Asked:
    """The rows in the page's order, read once; how many; and what they were chosen by, in words."""

    rows: Iterable[Any]
    count: int
    filters: Filters = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Listing:
    """One list. ``ask`` gives the rows its page would show to this user, and never any other.

    ``address`` is where its files lie; ``page`` the name of the page it belongs to.
    """

    name: str
    title: StrPromise
    page: str
    need: str
    address: str
    columns: tuple[Column, ...]
    ask: Callable[[Asking], Asked]
    cautions: tuple[StrPromise, ...] = ()
    at_once: int = AT_ONCE


def refuse_unread(form: BaseForm) -> None:
    """Refuse where a filter cannot be read: the file would hold more than was asked for."""
    if form.is_bound and form.errors:
        name, errors = next(iter(form.errors.items()))
        label = str(form.fields[name].label or name) if name in form.fields else ""
        said = _("The list was not taken away, because a filter cannot be read. %(which)s: %(why)s")
        raise Refusal("filter-unread", said % {"which": label, "why": errors[0]})


def filters_of(form: BaseForm) -> Filters:
    """What a form asks for, field by field, in the words of its labels and choices."""
    told = form.cleaned_data
    return tuple(
        (str(field.label or name), _said(field, told[name]))
        for name, field in form.fields.items()
        if told.get(name) not in (None, "", [], False)
    )


def _said(field: Any, value: Any) -> str:
    choices = getattr(field, "choices", None)
    if choices is not None and not isinstance(choices, ModelChoiceIterator):
        return str(dict(choices).get(value, dict(choices).get(str(value), value)))
    return str(value)
