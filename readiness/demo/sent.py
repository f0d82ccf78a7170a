"""What an old phone of Huw's sent late: a pass on the helmet that he failed in the crate."""

from __future__ import annotations

import uuid
from collections.abc import Iterator
from datetime import datetime, timedelta
from functools import partial

from inspections.checklists import checklist_for
from inspections.models import Inspection
from inspections.rules.checklists import hash_of
from inspections.sync.taking_in import Sender, take_in
from readiness.demo.open_round import SITE
from readiness.demo.world import Happening, World


def sent(world: World) -> Iterator[Happening]:
    yield Happening(world.moment(-1, 16, 20), partial(_send, world))


def _send(world: World, at: datetime) -> None:
    """Its clock is half an hour ahead; the pass is kept, and a person decides."""
    failed = Inspection.objects.filter(site=world.sites[SITE], verdict="fail", signed_at=None)
    item = failed.select_related("item__product").latest("performed_at").item
    huw, ahead = world.users["huw"], timedelta(minutes=34)
    told = {
        "item": item.code,
        "kind": "detailed",
        "verdict": "pass",
        "checklist": hash_of(checklist_for(item.product.equipment_class)),
        "statement": "all-good",
    }
    event = {
        "id": str(uuid.uuid4()),
        "kind": "look",
        "claimed_at": (at - timedelta(hours=3) + ahead).isoformat(),
        "user": huw.pk,
        "body": told,
    }
    sender = Sender(
        user=huw,
        may=lambda _need, _site: True,
        received_at=at,
        device="Huw’s old phone",
        sent_at=at + ahead,
    )
    take_in([event], sender)
