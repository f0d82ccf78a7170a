"""What an inspector sees of an item before judging it, and what came of the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from inspections.actions.authority import why_it_does_not_count
from inspections.checklist_wording import how_words, if_not_words, worded
from inspections.checklists import checklist_for
from inspections.conditions import states_of
from inspections.models import Defect, Inspection
from inspections.rules.checklists import Checklist, Part, Point, for_kind, must_measure
from inspections.rules.clocks import Clock, governing
from inspections.rules.contents import asks_for_card
from inspections.rules.item_facts import PASSES
from inspections.rules.rounds import NOT_SEEN
from inspections.rules.verdict import Verdict, usable
from inspections.wording import (
    clock_name,
    clock_sentence,
    not_counted_sentence,
    verdict_name,
    verdict_sentence,
    would_not_count_sentence,
)
from register import clock
from register.models import Item, Kit, KitPart, Person
from register.wording import lower_first, quarantine_reason, shown_day

_LEADS_TO = {"fail": "fail", "refer": "refer", "observation": "pass-with-conditions"}
TAIL = 4  # characters of a serial that are compared at the item


@dataclass(frozen=True, slots=True)
class PointShown:
    """A point of the checklist in words, and the verdict to which a tap on Not OK leads."""

    point: Point
    how: str
    if_not: str
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """All that is shown of one item at the bench."""

    item: Item
    verdict: Verdict
    sentence: str
    clocks: tuple[str, ...]
    last: Inspection | None
    observation: Defect | None
    quarantined_for: str
    warning: str
    suggested_kind: str
    checklist: Checklist
    points: tuple[tuple[Part, tuple[PointShown, ...]], ...]
    plain_pass: bool
    kit: Kit | None
    parts: tuple[KitPart, ...]

    @property
    def serial_tail(self) -> str:
        return tail_of(self.item.serial)


def tail_of(serial: str) -> str:
    """The end of a serial, which is compared with the sewn label."""
    return serial[-TAIL:]


def facts_for(item: Item, inspector: Person | None, *, kind: str, moment: datetime) -> Facts:
    """The facts of the item on its site's own day, and whether this inspector's pass would count."""
    day = clock.day_at(item.site, moment)
    state = states_of([item])[item.pk]
    verdict = usable(state, day)
    history = list(
        item.inspections.standing().select_related("inspector").prefetch_related("defects")
    )
    why_not = why_it_does_not_count(item, inspector, kind, day)
    class_slug = item.product.equipment_class
    found = checklist_for(class_slug)
    kit = Kit.objects.filter(item=item).first() if item.product.kind.is_rescue_kit else None
    return Facts(
        item=item,
        verdict=verdict,
        sentence=verdict_sentence(verdict),
        clocks=tuple(clock_sentence(one) for one in state.clocks),
        last=history[0] if history else None,
        observation=next((flaw for one in history for flaw in one.defects.all()), None),
        quarantined_for=quarantine_reason(item.quarantine_reason) if item.quarantine_reason else "",
        warning=would_not_count_sentence(why_not, kind, class_slug) if why_not else "",
        suggested_kind=_suggestion(state.clocks, kind),
        checklist=found,
        points=points_shown(found, kind),
        plain_pass=not (kit and asks_for_card(found, kind)) and not must_measure(found, kind),
        kit=kit,
        parts=tuple(kit.parts.select_related("item__product")) if kit else (),
    )


def points_shown(found: Checklist, kind: str) -> tuple[tuple[Part, tuple[PointShown, ...]], ...]:
    """The points for the kind, part by part; an observation is told with a pass on conditions."""
    return tuple(
        (
            part,
            tuple(
                PointShown(point, how_words(point), if_not_words(point), _LEADS_TO[point.if_not])
                for point in part.points
            ),
        )
        for part in for_kind(worded(found), kind).parts
    )


def _suggestion(clocks: Sequence[Clock], kind: str) -> str:
    """A thorough examination, where no clock ends before its own and the round is of another kind."""
    wanted = "thorough-examination"
    ends = [one.last_day for one in clocks if one.name == wanted]
    first = governing(clocks).last_day if clocks else None
    return wanted if ends and ends[0] == first and kind != wanted else ""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a verdict came to, in one line, and whether the item is usable now."""

    line: str
    usable: bool


def outcome_of(inspection: Inspection, day: date) -> Outcome:
    """'passed, next due 9 Sep 2026', from the clocks as they now run; or why it is out."""
    item = Item.objects.select_related("product", "site").get(pk=inspection.item_id)
    state = states_of([item])[item.pk]
    verdict = usable(state, day)
    sentence = verdict_sentence(verdict)
    if inspection.verdict in NOT_SEEN:
        line = _("not looked at, no date has moved")
    elif inspection.verdict not in PASSES:
        line = f"{lower_first(verdict_name(inspection.verdict))}. {sentence}"
    elif not inspection.counts:
        line = not_counted_sentence(inspection.counts_not_because)
    elif not verdict.usable:
        line = _("passed, but still %(sentence)s") % {"sentence": sentence}
    else:
        line = _next_due(inspection, governing(state.clocks), verdict)
    counted = inspection.counts and inspection.verdict in PASSES
    return Outcome(line, counted and verdict.usable)


def _next_due(inspection: Inspection, first: Clock, verdict: Verdict) -> str:
    """The next due day, with its clock where that is another than the one just restarted."""
    due = shown_day(verdict.through) if verdict.through else ""
    if first.last_day == verdict.through and first.name not in ("detailed", inspection.kind):
        name = lower_first(clock_name(first.name))
        return _("passed, next due %(day)s (%(clock)s)") % {"day": due, "clock": name}
    return _("passed, next due %(day)s") % {"day": due}
