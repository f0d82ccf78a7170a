"""A look of a round that a person must decide about has its line all the same."""

from __future__ import annotations

import uuid
from datetime import datetime

from django.db import transaction

from inspections.actions.rounds import line_for, locked_round, refuse_unless_going
from inspections.models import Round, RoundLine
from inspections.rules.round_lines import SEEN
from register.models import Item, Stamp, record


@transaction.atomic
def note_kept_look(
    found: Round, item: Item, *, look: uuid.UUID, at: datetime, stamp: Stamp
) -> RoundLine:
    """The item was in the hand: 'not presented' would be untrue. No inspection stands behind it."""
    found = locked_round(found)
    if known := RoundLine.objects.filter(look=look).first():
        return known
    refuse_unless_going(found, item, stamp)
    line = line_for(found, item, "pass", look)
    line.state, line.stopped, line.at = SEEN, "", at
    line.save()
    record("keep-look-in-round", {found: {"item": item.code}}, stamp=stamp)
    return line
