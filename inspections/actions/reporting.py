"""Making the report of an examination: what its author says beyond the record, on the day of the report."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.models import Inspection, Report
from inspections.particulars import latest_next
from inspections.report_wording import missing_sentence
from inspections.rules.item_facts import PASSES
from inspections.rules.reports import FIRST, Said, missing
from inspections.rules.round_lines import DROPPED, UNSIGNED
from inspections.rules.rounds import NOT_SEEN
from register.actions.locking import locked_item
from register.models import Stamp, record
from register.refusal import Refusal

THOROUGH = "thorough-examination"
_SAID_OF_BOTH = ("employer_name", "employer_address", "premises", "author_address")
_SAID_OF_THOROUGH = (
    *("occasion", "installed_well", "safe_load", "tests", "imminent", "next_on"),
    *("qualifications", "self_employed", "author_employer"),
)


@transaction.atomic
def make_report(one: Inspection, *, told: Mapping[str, Any], stamp: Stamp) -> Report:
    """Keep what the author says; a later report of the same inspection stands in its place.

    Only who examined makes it, so that it is authenticated by its author's own sign-in. Refuses
    ("particulars-missing") with a sentence for each particular that is missing.
    """
    item = locked_item(one.item)
    why_not = cannot_be_reported(one)
    if why_not:
        raise Refusal(why_not, missing_sentence(why_not))
    if stamp.by is None or stamp.by.person_id != one.inspector_id:
        raise Refusal(
            "not-its-author",
            _("Only %(who)s, who examined it, makes its report.") % {"who": one.inspector_name},
        )
    report = _report(one, told, stamp)
    lacks = missing(said_of_report(one, report))
    if lacks:
        raise Refusal("particulars-missing", " ".join(missing_sentence(code) for code in lacks))
    report.full_clean()
    report.save()
    facts = {"inspection": str(one.pk), "kind": one.kind, "report": report.pk}
    record("make-report", {item: facts}, stamp=stamp)
    return report


def cannot_be_reported(one: Inspection) -> str:
    """Why no report can be made of the record, as a code; '' where it can."""
    checks = (
        ("corrected", getattr(one, "superseded_by", None) is not None),
        ("not-examined", one.verdict in NOT_SEEN),
        ("unsigned", one.counts_not_because in (UNSIGNED, DROPPED)),
        ("not-authorised", one.kind == THOROUGH and not one.counts),
    )
    return next((code for code, holds in checks if holds), "")


def _report(one: Inspection, told: Mapping[str, Any], stamp: Stamp) -> Report:
    """Particulars that the schedule of its kind does not ask for are not kept."""
    assert stamp.by is not None  # noqa: S101 - refused before
    report = Report(inspection=one, made_at=stamp.at, made_by=stamp.by)
    thorough = one.kind == THOROUGH
    names = (*_SAID_OF_BOTH, *(_SAID_OF_THOROUGH if thorough else ("position", "further")))
    for name in names:
        if told.get(name) is not None:
            value = told[name]
            setattr(report, name, value.strip() if isinstance(value, str) else value)
    if report.occasion != FIRST:
        report.installed_well = None
    if one.verdict not in PASSES:
        report.next_on = None
    defects = {str(flaw.pk) for flaw in one.defects.all()}
    said = told.get("remedies", {})
    report.remedies = {key: text.strip() for key, text in said.items() if key in defects and text}
    return report


def said_of_report(one: Inspection, report: Report) -> Said:
    """The report as far as it decides whether it is whole."""
    alike = {
        *("employer_name", "employer_address", "premises", "author_address", "occasion"),
        *("installed_well", "safe_load", "qualifications", "self_employed", "author_employer"),
        *("position", "next_on", "remedies"),
    }
    return Said(
        thorough=one.kind == THOROUGH,
        verdict=one.verdict,
        defects={str(flaw.pk): flaw.grade for flaw in one.defects.all()},
        latest_on=latest_next(one),
        **{name: getattr(report, name) for name in alike},
    )
