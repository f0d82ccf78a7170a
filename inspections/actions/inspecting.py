"""Recording an inspection: bad news acts at once from anyone, good news only from the right one."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from inspections.actions.authority import Standing, standing_of
from inspections.actions.evidence import quarantine_unproven
from inspections.actions.finding import Finding, Flaw, refuse_unless_sound
from inspections.checklists import version_kept
from inspections.conditions import refresh_due
from inspections.models import Defect, Inspection
from inspections.rules.round_lines import UNSIGNED
from inspections.rules.verdict import effect_of
from register import clock
from register.actions.conditions import STAYS_OUT, quarantine, sites_relying_on, withdraw
from register.actions.locking import locked_item
from register.models import Item, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition

__all__ = ["Finding", "Flaw", "correct_inspection", "inspect"]

AS_TOLD = (
    *("id", "kind", "verdict", "performed_at", "inspector", "inspector_text", "good_until_on"),
    *("restricted_to", "particulars"),
    *("covers_periodic", "note", "source", "late_reason", "document", "left_shut"),
)
AS_FOUND = ("grade", "what", "place", "point", "action", "danger_by_on", "photo")
QUARANTINE_AFTER = {
    "fail": "failed-inspection",
    "refer": "referred",
    "not-identified": "identity-in-doubt",
}


@transaction.atomic
def inspect(item: Item, *, finding: Finding, stamp: Stamp) -> Inspection:
    """Record the finding, and let it act on the item.

    A pass moves clocks only from an inspector authorised for the class and kind on that day who
    does not hold the item; else it is kept and does not count. A fail withdraws (authorised) or
    quarantines (anyone else, and a pre-use check or a sighting by anyone). In a round it quarantines
    until the round is signed, and no pass counts before that.
    """
    item = locked_item(item)
    if known := Inspection.objects.filter(pk=finding.id).first():
        return _the_same(known, item)
    performed_on = clock.day_at(item.site, finding.performed_at)
    refuse_unless_sound(item, finding, performed_on, stamp)
    standing = standing_of(item, finding.inspector, finding.kind, performed_on)
    inspection = _saved(item, finding, performed_on, standing, stamp)
    notes = {"note": finding.note, "late": finding.late_reason}
    facts = _facts(inspection, finding)
    record("inspect", {item: facts}, stamp=stamp, notes=notes, sites=sites_relying_on(item))
    _act_on(item, finding, authorised=inspection.counts, stamp=stamp)
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return inspection


@transaction.atomic
def correct_inspection(
    wrong: Inspection, *, finding: Finding, reason: str, stamp: Stamp
) -> Inspection:
    """A new record takes the place of a wrong one; both stay readable, the reason between them."""
    if not reason.strip():
        raise Refusal("reason-missing", _("Say what was wrong with the record."))
    item = locked_item(wrong.item)  # two who correct one record come one after the other
    if Inspection.objects.filter(supersedes=wrong).exists():
        raise Refusal(
            "superseded-already", _("This record was corrected before: correct that one.")
        )
    if Inspection.objects.filter(pk=finding.id).exists():
        raise Refusal(
            "recorded-already", _("This finding is on record already: load the page anew.")
        )
    right = inspect(item, finding=finding, stamp=stamp)
    right.supersedes, right.superseding_reason = wrong, reason
    right.save(update_fields=["supersedes", "superseding_reason"])
    facts = {"wrong": str(wrong.pk), "right": str(right.pk), "reason": reason}
    record("correct-inspection", {item: facts}, stamp=stamp.again(), sites=sites_relying_on(item))
    quarantine_unproven(locked_item(item), wrong, stamp)
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return right


def _the_same(known: Inspection, item: Item) -> Inspection:
    """A finding sent twice is recorded once; one that was kept for another item is not this one."""
    if known.item_id != item.pk:
        raise Refusal(
            "recorded-for-another",
            _("Nothing is recorded for %(item)s: look at it anew.") % {"item": item.shown_code},
        )
    return known


def _saved(
    item: Item, finding: Finding, performed_on: date, standing: Standing, stamp: Stamp
) -> Inspection:
    told = finding.told
    not_because = standing.not_because or (UNSIGNED if finding.waits else "")
    inspection = Inspection(
        item=item,
        performed_on=performed_on,
        recorded_at=stamp.at,
        recorded_by=stamp.by,
        site_id=item.site_id,
        counts=not not_because,
        counts_not_because=not_because,
        authority=standing.authority,
        checklist=version_kept(finding.checklist, stamp.at) if finding.checklist else None,
        statement=told.statement,
        answers=dict(told.points),
        measured={slug: str(value) for slug, value in told.measured.items()},
        contents=[asdict(line) for line in finding.contents],
        **{name: getattr(finding, name) for name in AS_TOLD},
    )
    inspection.full_clean()
    inspection.save(force_insert=True)
    for flaw in finding.flaws:
        defect = Defect(inspection=inspection)
        for name in AS_FOUND:
            setattr(defect, name, getattr(flaw, name))
        defect.full_clean()
        defect.save()
    return inspection


def _facts(inspection: Inspection, finding: Finding) -> dict[str, object]:
    """What the ledger keeps of it, the checklist by its hash."""
    version = inspection.checklist
    return {
        "inspection": str(inspection.pk),
        "kind": inspection.kind,
        "verdict": inspection.verdict,
        "performed_on": inspection.performed_on.isoformat(),
        "counts": inspection.counts,
        "authority": inspection.authority_id,
        "checklist": version.sha256 if version else None,
        "statement": inspection.statement,
        "answers": sorted([slug, answer] for slug, answer in inspection.answers.items()),
        "measured": sorted([slug, value] for slug, value in inspection.measured.items()),
        "contents": [[line.code, line.seen] for line in finding.contents],
        "left_shut": inspection.left_shut,
        **_from_report(inspection),
        "defects": [[flaw.grade, flaw.what, flaw.place] for flaw in finding.flaws],
    }


def _from_report(inspection: Inspection) -> dict[str, object]:
    """The file it came with, by its hash."""
    if inspection.source != Inspection.Source.REPORT or inspection.document is None:
        return {}
    stated = sorted([what, text] for what, text in inspection.particulars.items())
    return {"report": inspection.document.sha256, "particulars": stated}


def _act_on(item: Item, finding: Finding, *, authorised: bool, stamp: Stamp) -> None:
    """What the verdict does to the item's condition, as an act of its own."""
    effect = effect_of(finding.verdict, authorised=authorised)
    if effect == "none" and any(flaw.grade == "A" for flaw in finding.flaws):
        effect = "quarantine"  # a danger now, whatever else could not be looked at
    if effect == "none" or item.condition in STAYS_OUT:
        return
    if effect == "quarantine" or item.condition == Condition.NOT_LOCATED:
        reason = QUARANTINE_AFTER.get(finding.verdict, "damage-found")
        quarantine(item, reason=reason, note=finding.note, stamp=stamp.again())
    if effect == "withdraw":
        withdraw(item, ground="failed inspection", note=finding.note, stamp=stamp.again())
