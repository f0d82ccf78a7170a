"""Other systems that ask, for tests: a token of a user, and requests that carry it."""

from __future__ import annotations

import json
import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import Any

from django.http import HttpResponse
from django.test import Client

from register.actions.tokens import make_token
from register.models import Site, User
from register.rules.tokens import TOKEN_NEEDS
from tests.factories import DAY, stamp

LAST_DAY = DAY + timedelta(days=30)


def token_of(
    user: User,
    *needs: str,
    sites: Sequence[Site] | None = None,
    through_on: date = LAST_DAY,
) -> str:
    """For these needs, or for all that a token can have."""
    _token, written = make_token(
        user,
        name="Display",
        needs=needs or list(TOKEN_NEEDS),
        sites=sites,
        through_on=through_on,
        stamp=stamp(user),
    )
    return str(written)


@dataclass
class Asker:
    """Another system with its token."""

    token: str
    client: Client = field(default_factory=lambda: Client(raise_request_exception=False))

    def get(self, path: str, **headers: str) -> HttpResponse:
        return self.ask("GET", path, **headers)

    def post(self, path: str, body: Any, key: str | None = "", **headers: str) -> HttpResponse:
        """With a new key, or the one given; none where it is None."""
        if key is not None:
            headers["Idempotency-Key"] = key or str(uuid.uuid4())
        text = body if isinstance(body, bytes | str) else json.dumps(body)
        return self.ask("POST", path, text, **headers)

    def ask(self, method: str, path: str, body: bytes | str = "", **headers: str) -> HttpResponse:
        headers.setdefault("Authorization", f"Bearer {self.token}")
        content_type = headers.pop("Content-Type", "application/json")
        answer: Any = self.client.generic(
            method, f"/api/v1{path}", body, content_type=content_type, headers=headers
        )
        return answer


def asker(user: User, *needs: str, **particulars: Any) -> Asker:
    return Asker(token_of(user, *needs, **particulars))
