"""What an inspector tells of one look at an item, and whether it can be true."""

from __future__ import annotations

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from django.utils.translation import gettext as _

from inspections.checklist_wording import misfit_sentence
from inspections.models import Inspection
from inspections.rules.answering import misfit, unknown_points
from inspections.rules.checklists import Answers, Checklist, with_defects
from inspections.rules.contents import CardLine
from inspections.rules.item_facts import PASSES
from inspections.rules.kinds import KINDS
from inspections.rules.verdict import VERDICTS, contradiction
from inspections.wording import contradiction_sentence
from register import clock
from register.models import Document, Entry, Item, Person, Stamp
from register.refusal import Refusal
from register.rules.conditions import Condition
from register.wording import shown_day

PAPER = Inspection.Source.PAPER


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """One defect as found: its class (A, B or C), what, where, what was done about it.

    point: the point of the checklist at which it was found, '' where the list has none for it.
    """

    grade: str
    what: str
    place: str = ""
    point: str = ""
    action: str = ""
    danger_by_on: date | None = None
    photo: Document | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One look at an item, as the inspector tells it. ``id`` is made where it was found, so that
    the same finding sent twice is recorded once. ``checklist`` is the version it was judged by,
    None where there was none; ``contents`` are the pieces of a kit; ``late_reason`` is for what is
    entered later from paper; ``waits`` where it counts only once its round is signed. From an
    examiner's own report come ``inspector_text``, where they are not in the register, and
    ``particulars``, by their slugs."""

    kind: str
    verdict: str
    performed_at: datetime
    inspector: Person | None
    flaws: Sequence[Flaw] = ()
    note: str = ""
    inspector_text: str = ""
    particulars: Mapping[str, str] = field(default_factory=dict)
    good_until_on: date | None = None
    restricted_to: str = ""
    covers_periodic: bool = False
    checklist: Checklist | None = None
    answers: Answers = field(default_factory=lambda: Answers(points={}, measured={}))
    contents: tuple[CardLine, ...] = ()
    left_shut: bool = False
    source: str = Inspection.Source.DIRECT
    late_reason: str = ""
    document: Document | None = None
    waits: bool = False
    id: uuid.UUID = field(default_factory=uuid.uuid4)

    @property
    def told(self) -> Answers:
        """The answers, a point being not OK where its defect is a danger now or the item is out."""
        out = self.verdict not in PASSES
        bad = [flaw.point for flaw in self.flaws if out or flaw.grade == "A"]
        return with_defects(self.answers, bad=bad, has_any=bool(self.flaws))


def refuse_unless_sound(item: Item, finding: Finding, on: date, stamp: Stamp) -> None:
    """A finding that cannot be true is refused; nothing is recorded."""
    if finding.kind not in KINDS or finding.verdict not in VERDICTS:
        raise Refusal("kind-or-verdict-unknown", _("Choose a kind of inspection and a verdict."))
    _refuse_wrong_day(item, on, stamp)
    if item.condition == Condition.DESTROYED:
        raise Refusal(
            "destroyed",
            _("%(item)s was destroyed. Check the serial: what is this?")
            % {"item": item.shown_code},
        )
    _refuse_withdrawn_meanwhile(item, finding)
    if finding.source == PAPER and not finding.late_reason.strip():
        raise Refusal(
            "late-reason-missing", _("Say why it is entered later, and where the paper is.")
        )
    flaws = tuple((flaw.grade, flaw.danger_by_on) for flaw in finding.flaws)
    if code := contradiction(finding.verdict, flaws):
        raise Refusal(code, contradiction_sentence(code))
    _refuse_misfit(finding)


def _refuse_wrong_day(item: Item, on: date, stamp: Stamp) -> None:
    today = clock.day_at(item.site, stamp.at)
    if on > today:
        raise Refusal(
            "in-the-future",
            _(
                "%(day)s is in the future: at %(site)s it is %(day2)s. Give the day on which it was"
                " inspected, and check the clock of the device."
            )
            % {"day": shown_day(on), "site": item.site.name, "day2": shown_day(today)},
        )
    if item.made_first_on and on < item.made_first_on:
        raise Refusal(
            "before-it-was-made",
            _(
                "%(item)s was made in %(made_first_on)s: it cannot have been inspected on %(day)s."
                " Check the day, and the serial."
            )
            % {
                "item": item.shown_code,
                "made_first_on": shown_day(item.made_first_on, "MONTH"),
                "day": shown_day(on),
            },
        )


def _refuse_withdrawn_meanwhile(item: Item, finding: Finding) -> None:
    """No pass for what was withdrawn before the look; what came before it stays on record."""
    if item.condition != Condition.WITHDRAWN or finding.verdict not in PASSES:
        return
    acts = Entry.objects.filter(thing_kind="item", thing_id=str(item.pk), act__verb="withdraw")
    at = acts.order_by("-seq").values_list("act__at", flat=True).first()
    if at is not None and finding.performed_at > at:
        when = shown_day(clock.day_at(item.site, at))
        raise Refusal(
            "withdrawn-meanwhile",
            _(
                "%(item)s was withdrawn for good on %(when)s, before this look at it: it cannot"
                " pass, and nothing is recorded. Keep it out of use, or check that it is this item."
            )
            % {"item": item.shown_code, "when": when},
        )


def _refuse_misfit(finding: Finding) -> None:
    """Answers that the verdict contradicts; no point that the checklist does not have."""
    if finding.checklist is None:
        return
    if unknown_points(finding.checklist, finding.told):
        raise Refusal(
            "point-unknown", _("The checklist has changed since the page was loaded: load it anew.")
        )
    flawed = {flaw.point for flaw in finding.flaws}
    found = misfit(finding.checklist, finding.kind, finding.verdict, finding.told, flawed)
    if found:
        raise Refusal(found.code, misfit_sentence(found))
