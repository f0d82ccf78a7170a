"""The queue of a phone as it was saved to a file: a line an event, by the same code as sending."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import islice

from django.utils.translation import gettext as _

from inspections.rules.sent_events import MOST_EVENTS
from inspections.sync.taking_in import Answer, Sender, take_in
from register.refusal import Refusal

MOST_BYTES = 20_000_000


def bring_in(content: bytes, sender: Sender) -> list[Answer]:
    """One answer for each line that says something; a line that cannot be read is kept as text.

    The first line may tell of the phone: its name, and what its clock showed when the file was
    saved. That says nothing of the time now, so that no claimed time is put right by it.
    """
    if len(content) > MOST_BYTES:
        raise Refusal("file-too-large", _("This file is too large: send it in parts."))
    lines = iter(_lines(content))
    answers: list[Answer] = []
    while batch := list(islice(lines, MOST_EVENTS)):
        answers += take_in(batch, sender)
    if not answers:
        raise Refusal("file-empty", _("There is no event in this file."))
    return answers


def _lines(content: bytes) -> Iterator[object]:
    for line in content.decode("utf-8", "replace").removeprefix("\ufeff").splitlines():
        if not line.strip():
            continue
        try:
            value = json.loads(line)
        except (ValueError, RecursionError):
            yield line
            continue
        if not (isinstance(value, dict) and "queue_of" in value and "id" not in value):
            yield value
