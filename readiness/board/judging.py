"""The cover rule on one shift of whole days, with the look ahead; see `readiness.rules.spans`."""

from __future__ import annotations

from readiness.rules.cover import Answer, answers
from readiness.rules.situation import Situation
from readiness.rules.spans import EXPOSED_UNKNOWN, asked

__all__ = ["EXPOSED_UNKNOWN", "judged"]


def judged(situation: Situation) -> dict[str, Answer]:
    """One answer for each task that runs on the day."""
    return asked(answers(situation), situation)
