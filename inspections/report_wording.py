"""What a report of an examination says and lacks, in sentences."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.rules.reports import OCCASIONS

_MISSING = {
    "employer-name": gettext_noop(
        "The name of the employer for whom it was made is missing: say it under Sites, ‘The employer’."
    ),
    "employer-address": gettext_noop(
        "The address of the employer for whom it was made is missing: say it under Sites, ‘The"
        " employer’."
    ),
    "premises": gettext_noop(
        "The address of the premises at which it was made is missing: say it when you make the report."
    ),
    "safe-load": gettext_noop(
        "The safe working load is missing: write it as marked on the equipment, or as rated by its"
        " maker."
    ),
    "occasion": gettext_noop(
        "It is not said whether it is the first examination after installation, within 6 or 12"
        " months, under a scheme or after exceptional circumstances: choose one."
    ),
    "installed-well": gettext_noop(
        "It is not said whether it was installed correctly and is safe to operate: a first"
        " examination must say so."
    ),
    "installed-badly": gettext_noop(
        "It passed, and is said not to be installed correctly. Correct the record to a fail, or say"
        " that it is installed correctly."
    ),
    "remedies": gettext_noop(
        "The repair, renewal or alteration needed is missing for a defect that is or could become a"
        " danger: say it for each."
    ),
    "next": gettext_noop(
        "The latest date by which the next one must be made is missing: no interval of the regime"
        " says it, so you must."
    ),
    "next-too-late": gettext_noop(
        "The date of the next one is later than the regime, the inspector or a defect leaves. Give"
        " that day or an earlier one."
    ),
    "qualifications": gettext_noop("The qualifications of its author are missing."),
    "author-employer": gettext_noop(
        "The author’s employer is missing: name and address, or say ‘self-employed’."
    ),
    "position": gettext_noop("The position of who makes the report is missing."),
    "author-address": gettext_noop("The address of its author is missing."),
    # of the record itself
    "corrected": gettext_noop(
        "This record was corrected by a later one: make the report of that one."
    ),
    "not-examined": gettext_noop("It was not examined, so there is nothing to report."),
    "unsigned": gettext_noop("Its round is not signed yet: sign it, then make the report."),
    "not-authorised": gettext_noop(
        "A thorough examination is reported by a competent person who was authorised for it on that"
        " day; this one was not."
    ),
    "not-made": gettext_noop(
        "Its author has not made the report yet: who examined it signs in and chooses ‘Make the"
        " report’."
    ),
}


def missing_sentence(code: str) -> str:
    """What is missing and what to do about it."""
    return _(_MISSING[code])


def occasion_words(slug: str) -> str:
    return _(OCCASIONS[slug]) if slug in OCCASIONS else _("not said")
