"""What is held of one person: every row that points at them or at their login, found by itself.

No list has to be kept: a new table with a key to a person or a user is in it. What signs in (hashes
of passwords and secrets, keys) is told by its name alone.
"""
# Django documents `_meta` as public, whatever it is called.
# ruff: noqa: SLF001

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import models

from register.models import Person, User

OWN = {"register", "inspections", "readiness"}
SECRET = {"password", "ledger_salt", "secret_hash"}


def rows_of(person: Person) -> Iterator[models.Model]:
    """The person, the login, and all rows of ours that name either."""
    yield person
    yield from _pointing_at(person)
    user = User.objects.filter(person=person).first()
    if user is not None:
        yield from (row for row in _pointing_at(user) if row != person)


def _pointing_at(thing: models.Model) -> Iterator[models.Model]:
    for relation in thing._meta.get_fields(include_hidden=True):
        if not (relation.auto_created and (relation.one_to_many or relation.one_to_one)):
            continue
        model = relation.related_model
        if isinstance(model, type) and model._meta.app_label in OWN:
            named = {relation.field.name: thing}  # type: ignore[union-attr]
            yield from model._default_manager.filter(**named).order_by("pk").iterator()


def told(person: Person) -> dict[str, list[dict[str, Any]]]:
    """By table, each row with the values of its fields, once."""
    found: dict[str, dict[Any, dict[str, Any]]] = {}
    for row in rows_of(person):
        table = found.setdefault(row._meta.label, {})
        table[row.pk] = {field.name: _value(row, field) for field in row._meta.concrete_fields}
    return {name: list(rows.values()) for name, rows in sorted(found.items())}


def counted(person: Person) -> list[tuple[str, int]]:
    """How many rows of each table, in the tables' own words."""
    found: dict[type[models.Model], set[Any]] = {}
    for row in rows_of(person):
        found.setdefault(type(row), set()).add(row.pk)
    return sorted(
        (str(model._meta.verbose_name_plural), len(keys)) for model, keys in found.items()
    )


def _value(row: models.Model, field: models.Field[Any, Any]) -> object:
    return "(not shown)" if field.name in SECRET else field.value_from_object(row)
