"""What a phone sends, as it may be: well formed, or not and still kept to the letter."""

from __future__ import annotations

import hashlib
import json
import uuid
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from inspections.rules.phone_verdict import OUT_VERDICTS, puts_out

MOST_EVENTS = 200  # in one sending
MOST_BYTES = 1_000_000  # of one sending
FIRST_YEAR, LAST_YEAR = 2000, 2200
MOST_EVENT_BYTES = 20_000  # of one event; a longer one is cut, and kept for mending

KINDS = (
    *("quarantine", "look", "arrest", "event", "acknowledge"),
    *("round-begin", "round-sign", "take-on", "stray"),
)
_UNNAMED = uuid.UUID("6f1c1d0e-4a58-4d35-9d5c-6d3b0f6f2a11")


@dataclass(frozen=True, slots=True, kw_only=True)
class SentEvent:
    """One event. ``raw`` is its text, with sorted keys; ``problem`` is why it cannot be read, or ''.

    ``id`` was made on the phone; what has none is known by its text. ``user`` is who was signed in
    on the phone when it was written.
    """

    id: uuid.UUID
    kind: str
    raw: str
    claimed_at: datetime | None = None
    user: int | None = None
    device: str = ""
    body: dict[str, Any] = field(default_factory=dict)
    problem: str = ""

    @property
    def is_bad_news(self) -> bool:
        """Whether it puts something out: that waits for nothing and for nobody."""
        verdict = self.body.get("verdict")
        told = verdict if isinstance(verdict, str) else ""
        return puts_out(self.kind, told) or (self.kind == "look" and _names_a_danger(self.body))

    @property
    def is_pass(self) -> bool:
        return self.kind == "look" and self.body.get("verdict") not in OUT_VERDICTS

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.raw.encode()).hexdigest()


def read_event(value: object) -> SentEvent:
    """Whatever was sent, as an event; one that cannot be read has its problem and its text."""
    raw = json.dumps(value, sort_keys=True, separators=(",", ":"))
    cut, unnamed = raw[:MOST_EVENT_BYTES], uuid.uuid5(_UNNAMED, raw)
    if not isinstance(value, dict):
        return SentEvent(id=unnamed, kind="", raw=cut, problem="not-understood")
    told = value.get("body")
    return SentEvent(
        id=_uuid(value.get("id")) or unnamed,
        kind=_text(value.get("kind"), 24),
        raw=cut,
        claimed_at=moment_in(value.get("claimed_at")),
        user=value["user"] if type(value.get("user")) is int else None,
        device=_text(value.get("device"), 60),
        body=told if isinstance(told, dict) else {},
        problem=_problem(value, raw),
    )


def another_id(event: SentEvent) -> uuid.UUID:
    """Under which a second, different event of the same id is kept."""
    return uuid.uuid5(_UNNAMED, f"{event.id} {event.raw}")


def moment_in(value: object) -> datetime | None:
    """A moment with its zone; None for anything else."""
    try:
        found = datetime.fromisoformat(value) if isinstance(value, str) else None
    except ValueError:
        return None
    return found if found and found.tzinfo and FIRST_YEAR < found.year < LAST_YEAR else None


def _problem(value: dict[str, Any], raw: str) -> str:
    if len(raw) > MOST_EVENT_BYTES:
        return "too-large"
    if not _uuid(value.get("id")):
        return "id-missing"
    if value.get("kind") not in KINDS:
        return "kind-unknown"
    if not isinstance(value.get("body"), dict) or not _is_storable(value, raw):
        return "not-understood"
    return ""


def _is_storable(value: dict[str, Any], raw: str) -> bool:
    """No text that a database cannot hold: a NUL, half a character."""
    try:
        json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        return False
    return "\\u0000" not in raw


def _names_a_danger(body: dict[str, Any]) -> bool:
    found = body.get("defects")
    lines = found if isinstance(found, list) else []
    return any(isinstance(one, dict) and one.get("grade") == "A" for one in lines)


def _uuid(value: object) -> uuid.UUID | None:
    try:
        return uuid.UUID(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _text(value: object, most: int) -> str:
    text = value if isinstance(value, str) else ""
    return text.encode("ascii", "replace").decode().replace("\x00", "")[:most]
