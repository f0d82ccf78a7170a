"""What to do about tasks that are not covered: acts, and the best sets of them."""

from readiness.rules.remedies.acts import Act, Key, Step, stop_for
from readiness.rules.remedies.bench import Bench, OutOfBudget
from readiness.rules.remedies.donors import Leave, may_leave
from readiness.rules.remedies.joint import one_after_another
from readiness.rules.remedies.search import Found, RemedySet, remedies
from readiness.rules.remedies.troubles import Trouble, troubles
from readiness.rules.remedies.weighing import Outcome, weigh

__all__ = [
    "Act",
    "Bench",
    "Found",
    "Key",
    "Leave",
    "OutOfBudget",
    "Outcome",
    "RemedySet",
    "Step",
    "Trouble",
    "may_leave",
    "one_after_another",
    "remedies",
    "stop_for",
    "troubles",
    "weigh",
]
