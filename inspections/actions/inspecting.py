"""Recording an inspection: bad news acts at once from anyone, good news only from the right one."""

from __future__ import annotations

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from inspections.conditions import refresh_due
from inspections.models import Authorisation, Defect, Inspection
from inspections.rules.kinds import KINDS
from inspections.rules.verdict import VERDICTS, contradiction, effect_of
from inspections.wording import contradiction_sentence
from register import clock
from register.actions.conditions import STAYS_OUT, quarantine, withdraw
from register.actions.locking import locked_item
from register.models import Document, Item, Movement, Person, Stamp, record
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.wording import shown_day

CLOCK_SLACK = timedelta(days=1)  # a device whose clock is further ahead than this is wrong
AS_TOLD = (
    "id",
    "kind",
    "verdict",
    "performed_at",
    "inspector",
    "good_until_on",
    "restricted_to",
    "covers_periodic",
    "note",
    "source",
)
QUARANTINE_AFTER = {
    "fail": "failed-inspection",
    "refer": "referred",
    "not-identified": "identity-in-doubt",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """One defect as found: its class (A, B or C), what, where, what was done about it."""

    grade: str
    what: str
    place: str = ""
    action: str = ""
    danger_by_on: date | None = None
    photo: Document | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One look at an item, as the inspector tells it. ``id`` is made where it was found, so that
    the same finding sent twice is recorded once."""

    kind: str
    verdict: str
    performed_at: datetime
    inspector: Person | None
    flaws: Sequence[Flaw] = ()
    note: str = ""
    good_until_on: date | None = None
    restricted_to: str = ""
    covers_periodic: bool = False
    source: str = Inspection.Source.DIRECT
    id: uuid.UUID = field(default_factory=uuid.uuid4)


@transaction.atomic
def inspect(item: Item, *, finding: Finding, stamp: Stamp) -> Inspection:
    """Record the finding, and let it act on the item.

    A pass moves clocks only from an inspector authorised for the class and kind on that day who
    does not hold the item; else it is kept and does not count. A fail withdraws (authorised) or
    quarantines (anyone else).
    """
    item = locked_item(item)
    if known := Inspection.objects.filter(pk=finding.id).first():
        return _the_same(known, item)
    performed_on = clock.day_at(item.site, finding.performed_at)
    _refuse_unless_sound(item, finding, performed_on, stamp)
    not_because = why_it_does_not_count(item, finding.inspector, finding.kind, performed_on)
    inspection = _saved(item, finding, performed_on, not_because, stamp)
    facts: dict[str, object] = {
        "inspection": str(inspection.pk),
        "kind": finding.kind,
        "verdict": finding.verdict,
        "performed_on": performed_on.isoformat(),
        "counts": inspection.counts,
        "defects": [[flaw.grade, flaw.what, flaw.place] for flaw in finding.flaws],
    }
    record(
        "inspect", {item: facts}, stamp=stamp, notes={"note": finding.note}, sites=[item.site_id]
    )
    _act_on(item, finding, authorised=not not_because, stamp=stamp)
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return inspection


@transaction.atomic
def correct_inspection(
    wrong: Inspection, *, finding: Finding, reason: str, stamp: Stamp
) -> Inspection:
    """A new record takes the place of a wrong one; both stay readable, the reason between them."""
    if not reason.strip():
        raise Refusal("reason-missing", "Say what was wrong with the record.")
    item = locked_item(wrong.item)  # two who correct one record come one after the other
    if Inspection.objects.filter(supersedes=wrong).exists():
        raise Refusal("superseded-already", "This record was corrected before: correct that one.")
    if Inspection.objects.filter(pk=finding.id).exists():
        raise Refusal("recorded-already", "This finding is on record already: load the page anew.")
    right = inspect(item, finding=finding, stamp=stamp)
    right.supersedes, right.superseding_reason = wrong, reason
    right.save(update_fields=["supersedes", "superseding_reason"])
    facts = {"wrong": str(wrong.pk), "right": str(right.pk), "reason": reason}
    record("correct-inspection", {item: facts}, stamp=stamp.again(), sites=[item.site_id])
    refresh_due([Item.objects.select_related("product").get(pk=item.pk)])
    return right


def _the_same(known: Inspection, item: Item) -> Inspection:
    """A finding sent twice is recorded once; one that was kept for another item is not this one."""
    if known.item_id != item.pk:
        raise Refusal(
            "recorded-for-another", f"Nothing is recorded for {item.shown_code}: look at it anew."
        )
    return known


def why_it_does_not_count(item: Item, inspector: Person | None, kind: str, on: date) -> str:
    """'' where the inspection counts, else 'no-inspector', 'not-authorised' or 'holds-the-item'."""
    if inspector is None:
        return "no-inspector"
    if not authorised_on(inspector, item, kind, on):
        return "not-authorised"
    return "holds-the-item" if inspector.pk in users_of(item, _end_of(item, on)) else ""


def users_of(item: Item, moment: datetime) -> set[int]:
    """Who holds the item, and to whom it was issued last before the moment: not independent."""
    issues = item.movements.filter(kind=Movement.Kind.ISSUED, at__lt=moment)
    last = issues.order_by("-at", "-pk").values_list("person_id", flat=True).first()
    return {pk for pk in (item.holder_id, last) if pk is not None}


def _end_of(item: Item, day: date) -> datetime:
    return datetime.combine(day + timedelta(days=1), time(0), tzinfo=ZoneInfo(item.site.time_zone))


def authorised_on(inspector: Person, item: Item, kind: str, on: date) -> bool:
    """Whether the person was here and held an authorisation for this class and kind on that day."""
    if inspector.left_on and inspector.left_on <= on:
        return False
    given = Authorisation.objects.filter(person=inspector, from_on__lte=on, through_on__gte=on)
    return any(
        (not one.classes or item.product.equipment_class in one.classes)
        and (not one.kinds or kind in one.kinds)
        for one in given
    )


def _refuse_unless_sound(item: Item, finding: Finding, on: date, stamp: Stamp) -> None:
    """A finding that cannot be true is refused; nothing is recorded."""
    if finding.kind not in KINDS or finding.verdict not in VERDICTS:
        raise Refusal("kind-or-verdict-unknown", "Choose a kind of inspection and a verdict.")
    if finding.performed_at > stamp.at + CLOCK_SLACK:
        raise Refusal(
            "in-the-future",
            f"{shown_day(on)} is in the future. Check the day, and the clock of the device.",
        )
    if item.made_first_on and on < item.made_first_on:
        raise Refusal(
            "before-it-was-made",
            f"{item.shown_code} was made in {item.made_first_on:%B %Y}: it cannot have been"
            f" inspected on {shown_day(on)}.",
        )
    if item.condition == Condition.DESTROYED:
        raise Refusal(
            "destroyed", f"{item.shown_code} was destroyed. Check the serial: what is this?"
        )
    flaws = tuple((flaw.grade, flaw.danger_by_on) for flaw in finding.flaws)
    if code := contradiction(finding.verdict, flaws):
        raise Refusal(code, contradiction_sentence(code))


def _saved(
    item: Item, finding: Finding, performed_on: date, not_because: str, stamp: Stamp
) -> Inspection:
    inspection = Inspection(
        item=item,
        performed_on=performed_on,
        recorded_at=stamp.at,
        recorded_by=stamp.by,
        site_id=item.site_id,
        counts=not not_because,
        counts_not_because=not_because,
        **{name: getattr(finding, name) for name in AS_TOLD},
    )
    inspection.full_clean()
    inspection.save(force_insert=True)
    for flaw in finding.flaws:
        defect = Defect(inspection=inspection)
        for name in ("grade", "what", "place", "action", "danger_by_on", "photo"):
            setattr(defect, name, getattr(flaw, name))
        defect.full_clean()
        defect.save()
    return inspection


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
