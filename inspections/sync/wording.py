"""What is told of an event that was not simply taken."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

_PROBLEMS = {
    "not-understood": gettext_noop("What was sent cannot be read. It is kept as it came."),
    "too-large": gettext_noop("What was sent is too long. Its beginning is kept as it came."),
    "id-missing": gettext_noop("What was sent has no id of its own. It is kept as it came."),
    "id-used-twice": gettext_noop(
        "Another record came under the same id before. This one is kept beside it."
    ),
    "kind-unknown": gettext_noop(
        "This kind of record is not known here. Load the site anew on the phone; what was sent is kept."
    ),
    "fault": gettext_noop(
        "Something went wrong here, not on the phone. What was sent is kept, and a person looks at it."
    ),
    "made-by-another": gettext_noop(
        "Somebody else was signed in on the phone when this was written. It waits until they sign in."
    ),
    "made-by-nobody": gettext_noop(
        "Nobody was signed in on the phone when this was written: a person decides whose it is."
    ),
    "busy": gettext_noop("The register is busy. It is kept on the phone and sent again."),
}


def problem_sentence(code: str) -> str:
    """Why an event was not taken as it was meant."""
    return _(_PROBLEMS[code])
