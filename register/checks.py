"""System checks of what could go wrong silently."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error
from django.core.exceptions import ImproperlyConfigured
from django.db import connections

from register.models import Role
from register.models.ledger_guard import NAMES, TABLE, statement_to_list


def ledger_is_guarded(databases: list[str] | None = None, **_: Any) -> list[CheckMessage]:
    """An error for each database whose ledger could be changed behind the program's back."""
    found: list[CheckMessage] = []
    for alias in databases or []:
        connection = connections[alias]
        if TABLE not in connection.introspection.table_names():
            continue
        with connection.cursor() as cursor:
            cursor.execute(statement_to_list(connection.vendor))
            standing = {row[0] for row in cursor.fetchall()}
        if not standing.issuperset(NAMES):
            found.append(
                Error(
                    "The ledger is not guarded: its triggers are gone.",
                    hint="Run the command guard_ledger.",
                    id="register.E001",
                )
            )
    return found


def refuse_unknown_roles() -> None:
    """Stops the start where a role that needs a second factor is none of ours."""
    unknown = sorted(settings.SECOND_FACTOR_ROLES - set(Role.values))
    if unknown:
        raise ImproperlyConfigured(
            f"SECOND_FACTOR_ROLES has {', '.join(unknown)}, which no role is called."
            f" Write some of {', '.join(Role.values)}, with commas."
        )
