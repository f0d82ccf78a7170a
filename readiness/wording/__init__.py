"""The one place where the codes of rescue cover become words for people."""

from readiness.wording.hours import clock_words, hours_words, moment_words, short_day
from readiness.wording.reasons import reason_sentence
from readiness.wording.words import (
    cause_kind,
    listed,
    missing_name,
    state_name,
    state_phrase,
    weekday_and_day,
)

__all__ = [
    "cause_kind",
    "clock_words",
    "hours_words",
    "listed",
    "missing_name",
    "moment_words",
    "reason_sentence",
    "short_day",
    "state_name",
    "state_phrase",
    "weekday_and_day",
]
