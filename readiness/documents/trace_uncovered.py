"""Which tasks a safety notice uncovers by the kits and anchors that it holds: the rule asked twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from inspections.models import NoticeMatch
from readiness.board.reading import timelines_from
from readiness.facts.situations import part_name
from readiness.rules.changes.kits import KitFilled, KitReleased
from readiness.rules.situation import IN_SERVICE
from readiness.rules.slices import Solver
from readiness.rules.spans import Span, spans
from readiness.rules.timeline import Timeline
from register.models import Item, Kit, Site

DAYS = 14
"""How far ahead it looks, the day itself not counted."""


@dataclass(frozen=True, slots=True)
class Held:
    """What a notice holds of a site's means of rescue: kits by name, for each the parts held ('' is
    the bag itself), and anchors by tag."""

    kits: Mapping[str, tuple[str, ...]]
    anchors: frozenset[str] = frozenset()

    def released(self, timeline: Timeline) -> Timeline:
        """The site as it would be without the hold; whatever else is wrong with them stays so."""
        for kit, parts in self.kits.items():
            if "" in parts:
                timeline = KitReleased(kit).of(timeline)
            timeline = KitFilled(kit, _missing(timeline, kit, parts)).of(timeline)
        anchors = tuple(
            replace(one, anchor=replace(one.anchor, condition=IN_SERVICE))
            if one.anchor.id in self.anchors
            else one
            for one in timeline.anchors
        )
        return replace(timeline, anchors=anchors)


def _missing(timeline: Timeline, kit: str, parts: Sequence[str]) -> tuple[str, ...]:
    """The names under which the timeline tells these parts as missing; where there are none, a name
    that none has, for nothing named would fill all there is."""
    every = [one for held in timeline.kits if held.kit.id == kit for one in held.kit.missing]
    named = tuple(one for one in every if any(part and one.startswith(part) for part in parts))
    return named or ("-",)


def held_by(matches: Sequence[NoticeMatch]) -> dict[int, Held]:
    """By site, from matches that hold their piece now."""
    items = {match.item_id: match.item for match in matches}
    kits: dict[int, dict[str, tuple[str, ...]]] = {}
    for kit in Kit.objects.filter(item__in=items).select_related("item"):
        kits.setdefault(kit.item.site_id, {})[kit.name] = ("",)
    parts = Kit.objects.filter(parts__item__in=items, parts__required=True).distinct()
    for kit in parts.select_related("item").prefetch_related("parts__item"):
        found = [part_name(part) for part in kit.parts.all() if part.item_id in items]
        named = kits.setdefault(kit.item.site_id, {})
        named[kit.name] = (*named.get(kit.name, ()), *found)
    anchors: dict[int, set[str]] = {}
    for item in Item.objects.filter(pk__in=items, rescue_tasks__isnull=False).distinct():
        anchors.setdefault(item.site_id, set()).add(item.code)
    return {
        site: Held(kits.get(site, {}), frozenset(anchors.get(site, ())))
        for site in {*kits, *anchors}
    }


def uncovered_by(site: Site, held: Held, at: datetime) -> dict[str, datetime]:
    """By task, the first moment within the days ahead in which it is not covered and would be, were
    these not held."""
    timeline = timelines_from([site], at, DAYS)[site.pk]
    ends, solver = at + timedelta(days=DAYS), Solver()
    now = spans(timeline, at, ends, solver)
    free = spans(held.released(timeline), at, ends, solver)
    found: dict[str, datetime] = {}
    for span in now:
        for task, answer in span.answers.items():
            if answer.uncovered and task not in found:
                since = _covered_from(task, span, free)
                if since is not None:
                    found[task] = since
    return found


def _covered_from(task: str, span: Span, others: Sequence[Span]) -> datetime | None:
    """The first moment of the span in which the other answers cover the task."""
    for other in others:
        if other.begins < span.ends and span.begins < other.ends:
            answer = other.answers.get(task)
            if answer is not None and answer.covered:
                return max(span.begins, other.begins)
    return None
