"""The one place where the codes of rescue cover become words for people."""

from readiness.wording.reasons import reason_sentence
from readiness.wording.words import (
    listed,
    missing_name,
    number,
    state_name,
    state_phrase,
    weekday_and_day,
)

__all__ = [
    "listed",
    "missing_name",
    "number",
    "reason_sentence",
    "state_name",
    "state_phrase",
    "weekday_and_day",
]
