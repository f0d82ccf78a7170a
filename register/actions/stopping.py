"""Stopping an item on which a notice written by hand hangs."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from register.actions.conditions import quarantine
from register.actions.papers import enter_notice, free_notice
from register.models import Item, Stamp

BLANK_NOTICE = "blank-withdrawal"
"""The kind of paper that is written by hand."""


@transaction.atomic
def stopped_by_notice(item: Item, *, reason: str, note: str, notice: str, stamp: Stamp) -> Item:
    """Quarantine the item, and enter the number of the notice that hangs on it.

    A number that no notice of ours has stands in the note as it was typed, and stops nothing.
    """
    paper = free_notice(notice, BLANK_NOTICE) if notice else None
    if notice and paper is None:
        told = _("Notice written by hand, number not found: %(number)s") % {"number": notice}
        note = "\n".join(part for part in (note, told) if part)
    stopped = quarantine(item, reason=reason, note=note, stamp=stamp)
    if paper is not None:
        enter_notice(paper, stopped, stamp=stamp.again())
    return stopped
