"""Where the demo's people are written to: addresses of a domain that exists nowhere (RFC 2606)."""

from __future__ import annotations

from readiness.demo.world import World
from register import clock
from register.demo_logins import DEMO_LOGINS
from register.models import Postbox, User


def make_postboxes(_world: World) -> None:
    """After all that happened, so that only what is tried out is written; it goes into files."""
    users = User.objects.filter(username__in=[one.username for one in DEMO_LOGINS])
    Postbox.objects.bulk_create(
        Postbox(
            user=user, address=f"{user.username}@tarn-and-wold.example", confirmed_at=clock.now()
        )
        for user in users
    )
