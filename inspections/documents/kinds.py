"""The kinds of paper of equipment and inspections: what each reads, rests on and lacks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import astuple
from datetime import datetime

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from inspections.actions.reporting import THOROUGH, cannot_be_reported, said_of_report
from inspections.conditions import clocks_of, verdict_at, verdicts_of
from inspections.documents import equipment, examination, inspection, rounds, warnings
from inspections.documents.naming import identity_of, record_of
from inspections.models import Inspection, Round
from inspections.particulars import last_before
from inspections.record import inspections_of
from inspections.report_wording import missing_sentence
from inspections.round_board import lines_of
from inspections.rules.reports import missing
from register import clock
from register.actions.stopping import BLANK_NOTICE
from register.documents.kinds import Facts, Kind
from register.models import Head, Item, PaperSize, Site
from register.models.ledger import thing_of

REPORT_FIELDS = (
    *("employer_name", "employer_address", "premises", "occasion", "installed_well", "safe_load"),
    *("tests", "remedies", "further", "imminent", "next_on", "position", "author_address"),
    *("qualifications", "self_employed", "author_employer", "made_at"),
)
ITEMS = Item.objects.select_related(
    *("product", "site", "zone", "holder", "kit__item", "delivery", "quarantined_by__person")
)


def _item(ids: Sequence[str]) -> Item | None:
    return ITEMS.filter(pk=ids[0]).first()


def inspection_with(pk: str) -> Inspection | None:
    """The record with all that its report tells."""
    rows = Inspection.objects.select_related(
        *("item__product", "item__site", "site", "inspector", "superseded_by")
    ).prefetch_related("defects")
    try:
        return rows.filter(pk=pk).first()
    except ValidationError:
        return None


def _verdict(item: Item, at: datetime) -> list[object]:
    verdict = verdict_at(item, at)
    return [verdict.usable, str(verdict.through), verdict.code, [list(f) for f in verdict.facts]]


# The equipment record


def _record_facts(item: Item, at: datetime) -> Facts:
    kind, pk = thing_of(item)
    head = Head.objects.filter(thing_kind=kind, thing_id=pk).first()
    return {
        "identity": identity_of(item),
        "tags": [[tag.code, tag.replaced_at is not None] for tag in item.tags.all()],
        "use": [_verdict(item, at), item.condition],
        "where": [item.custody, item.where],
        "dates": [[str(part) for part in astuple(one)] for one in clocks_of([item])[item.pk]],
        "inspections": [
            {"id": str(one.pk), "later": _later(one), **record_of(one)}
            for one in inspections_of(item)
        ],
        "history": head.hash if head else "",
    }


def _later(one: Inspection) -> str:
    later = getattr(one, "superseded_by", None)
    return later.superseding_reason if later else ""


RECORD = Kind(
    slug="equipment-record",
    name=gettext_noop("Equipment record"),
    parts={
        "identity": gettext_noop("what the item is known by"),
        "tags": gettext_noop("its tags"),
        "use": gettext_noop("whether it may be used, or until when"),
        "where": gettext_noop("where it is or who has it"),
        "dates": gettext_noop("its dates"),
        "inspections": gettext_noop("its inspections"),
        "history": gettext_noop("its history"),
    },
    find=_item,
    rows=lambda item: [item],
    site=lambda item: item.site,
    content=equipment.equipment_record,
    facts=_record_facts,
)


# The reports of one inspection


def _report_facts(one: Inspection, at: datetime) -> Facts:
    report = one.reports.first()
    said = {name: str(getattr(report, name)) for name in REPORT_FIELDS} if report else {}
    last = last_before(one)
    return {
        "record": record_of(one),
        "report": said,
        "corrected": _later(one),
        "identity": identity_of(one.item),
        "before": str(last),
        "since": one.item.condition,
    }


def _report_lacks(one: Inspection, _at: datetime) -> list[str]:
    why_not = cannot_be_reported(one)
    if why_not:
        return [missing_sentence(why_not)]
    report = one.reports.first()
    if report is None:
        return [missing_sentence("not-made")]
    return [missing_sentence(code) for code in missing(said_of_report(one, report))]


_REPORT_PARTS = {
    "record": gettext_noop("the record of the inspection"),
    "report": gettext_noop("the report"),
    "corrected": gettext_noop("the record was corrected"),
    "identity": gettext_noop("what the item is known by"),
    "before": gettext_noop("the date of the one before"),
    "since": gettext_noop("the condition of the item since"),
}


def _find_inspection(ids: Sequence[str]) -> Inspection | None:
    return inspection_with(ids[0])


EXAMINATION = Kind(
    slug="examination-report",
    name=gettext_noop("Report of thorough examination"),
    parts=_REPORT_PARTS,
    find=_find_inspection,
    rows=lambda one: [one],
    site=lambda one: one.item.site,
    content=examination.examination,
    facts=_report_facts,
    missing=_report_lacks,
)
INSPECTION = Kind(
    slug="inspection-report",
    name=gettext_noop("Inspection report"),
    parts=_REPORT_PARTS,
    find=_find_inspection,
    rows=lambda one: [one],
    site=lambda one: one.item.site,
    content=inspection.inspection_report,
    facts=_report_facts,
    missing=_report_lacks,
)


def report_kind(one: Inspection) -> Kind:
    """A thorough examination has its own report; every other kind the same."""
    return EXAMINATION if one.kind == THOROUGH else INSPECTION


# The certificate of a round


def _find_round(ids: Sequence[str]) -> Round | None:
    rows = Round.objects.select_related("site", "inspector", "signed_by__person")
    try:
        return rows.filter(pk=ids[0]).first()
    except ValidationError:
        return None


def _round_facts(found: Round, at: datetime) -> Facts:
    lines = lines_of(found)
    items = {line.item.pk: line.item for line in lines if line.item}
    verdicts = verdicts_of(list(items.values()), clock.day_at(found.site, at))
    return {
        "round": [
            *(str(found.signed_at), str(found.signed_by_id), found.kind, found.inspector.name),
            *(found.note, found.chosen, found.inspector.employer, found.site.address),
        ],
        "looks": [
            [line.pk, line.state, record_of(line.inspection) if line.inspection else line.text]
            for line in lines
        ],
        "corrected": [line.pk for line in lines if line.inspection and _later(line.inspection)],
        "identity": [identity_of(item) for item in items.values()],
        "due": [[pk, verdicts[pk].usable, str(verdicts[pk].through)] for pk in items],
    }


def _round_lacks(found: Round, _at: datetime) -> list[str]:
    lines = lines_of(found)
    lacks = []
    if found.signed_at is None:
        lacks.append(_("The round is not signed, so it certifies nothing. Sign it first."))
    if not rounds.counts_of(lines).reconciles:
        lacks.append(_("The counts of the round do not add up. Tell whoever keeps the register."))
    if len(lines) > rounds.MOST:
        lacks.append(
            _("A round of more than %(most)d lines is not printed on one paper.")
            % {"most": rounds.MOST}
        )
    return lacks


ROUND = Kind(
    slug="round-certificate",
    name=gettext_noop("Certificate of a round of inspections"),
    parts={
        "round": gettext_noop("the round itself"),
        "looks": gettext_noop("a look of it"),
        "corrected": gettext_noop("a record of it was corrected"),
        "identity": gettext_noop("what an item is known by"),
        "due": gettext_noop("whether an item may be used, or until when"),
    },
    find=_find_round,
    rows=lambda found: [found],
    site=lambda found: found.site,
    content=rounds.certificate,
    facts=_round_facts,
    missing=_round_lacks,
)


# What hangs on an item that is out of use


def _withdrawal_facts(item: Item, at: datetime) -> Facts:
    return {
        "identity": identity_of(item),
        "use": [_verdict(item, at), item.condition, str(item.quarantined_at)],
    }


def _withdrawal_lacks(item: Item, at: datetime) -> list[str]:
    if not verdict_at(item, at).usable:
        return []
    told = _("%(item)s may be used. To stop its use, put it into quarantine first.")
    return [told % {"item": item.shown_code}]


WITHDRAWAL = Kind(
    slug="withdrawal",
    name=gettext_noop("Notice: out of use"),
    parts={
        "identity": gettext_noop("what the item is known by"),
        "use": gettext_noop("why it is out, or that it may be used again"),
    },
    find=_item,
    rows=lambda item: [item],
    site=lambda item: item.site,
    content=warnings.withdrawal,
    facts=_withdrawal_facts,
    missing=_withdrawal_lacks,
    sizes=tuple(PaperSize.values),
)
BLANK = Kind(
    slug=BLANK_NOTICE,
    name=gettext_noop("Notice: out of use, written by hand"),
    parts={"site": gettext_noop("the site")},
    find=lambda ids: Site.objects.filter(pk=ids[0]).first(),
    rows=lambda site: [site],
    site=lambda site: site,
    content=warnings.blank,
    facts=lambda site, _at: {"site": site.name},
    sizes=tuple(PaperSize.values),
)
