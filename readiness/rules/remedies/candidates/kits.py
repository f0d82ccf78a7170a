"""Acts on the kits that are at the site: examined, mended, sealed, moved nearer, unlocked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from readiness.rules.changes import (
    Change,
    KitExamined,
    KitFilled,
    KitMoved,
    KitReleased,
    KitResealed,
    KitWithKey,
)
from readiness.rules.reasons import Reason
from readiness.rules.remedies.acts import Act, Step
from readiness.rules.remedies.need import Need
from readiness.rules.situation import IN_SERVICE, Clock, Kit

UNFIT = frozenset(
    {
        *("kit-lacks-function", "kit-too-short", "kit-load-out-of-range"),
        "kit-descent-energy-exceeded",
    }
)
"""What no mending changes: the kit is another kind than this rescue needs."""

GOOD_FOR = timedelta(days=28)
"""An examined kit counts so long; its contents are checked every month anyway."""


def kit_acts(need: Need) -> Iterator[Act]:
    for kit, reasons in fit_kits(need).items():
        out = [reason for reason in reasons if reason.code == "kit-not-usable"]
        if out and (act := _put_right(need, kit, out)):
            yield act
        far = [
            reason for reason in reasons if reason.code in {"kit-out-of-reach", "rescue-too-slow"}
        ]
        yield from _brought_nearer(need, kit, far)


def fit_kits(need: Need) -> Mapping[Kit, list[Reason]]:
    """The kits of the site that could serve but for their state or place, with what speaks there."""
    by_id: dict[str, tuple[Kit, list[Reason]]] = {}
    for probe in need.probes:
        for judged in probe.why.kits:
            by_id.setdefault(judged.kit.id, (judged.kit, []))[1].extend(judged.reasons)
    return {
        kit: reasons
        for kit, reasons in by_id.values()
        if not UNFIT & {reason.code for reason in reasons}
    }


@dataclass(frozen=True, slots=True)
class Faults:
    """All that keeps one kit from use, over all moments that were looked at."""

    condition: str
    broken: bool
    missing: tuple[str, ...]
    passed: tuple[tuple[str, str, date | None], ...]

    def kind(self, lives: frozenset[str]) -> str:
        """The gravest fault names the act."""
        if self.condition != IN_SERVICE:
            return "release"
        if self.missing or any(clock in lives for _, clock, _ in self.passed):
            return "replace-part"
        if any(due is None for _, _, due in self.passed):
            return "read-label"
        return "examine-kit" if self.passed else "reseal"


def _faults(reasons: list[Reason]) -> Faults:
    facts = [reason.facts for reason in reasons]
    conditions = [str(one["condition"]) for one in facts if one["condition"] != IN_SERVICE]
    missing = dict.fromkeys(part for one in facts for part in one["missing"])  # type: ignore[attr-defined]
    passed = dict.fromkeys(clock for one in facts for clock in one["passed"])  # type: ignore[attr-defined]
    return Faults(
        condition=conditions[0] if conditions else IN_SERVICE,
        broken=not all(one["seal_intact"] for one in facts),
        missing=tuple(missing),
        passed=tuple(passed),
    )


def _put_right(need: Need, kit: Kit, out: list[Reason]) -> Act | None:
    """Everything the kit needs, in one visit of somebody authorised for all of it."""
    slot = need.means.examiners.get(f"kit {kit.id}")
    faults = _faults(out)
    if slot is None or any(clock in need.means.not_by_looking for _, clock, _ in faults.passed):
        return None
    kind = faults.kind(need.means.lives)
    wait = timedelta(hours=need.means.terms.lead_hours(kind))
    done_at = max(slot.ends, need.means.now + wait)
    steps = tuple(Step(need.site, done_at, one) for one in _repairs(need, kit, faults, done_at))
    return Act(
        kind=kind,
        what=kit.id,
        steps=steps,
        cost=need.means.terms.cost(kind),
        who=slot.who,
        doer=slot.person,
        uses=frozenset({f"mend kit {kit.id}"}),
        books=slot.booked_at(need.site),
        facts={"kit": kit.id, "faults": faults, "place": kit.place},
    )


def _repairs(need: Need, kit: Kit, faults: Faults, done_at: datetime) -> Iterator[Change]:
    until = (done_at.astimezone(need.timeline.zone) + GOOD_FOR).date()
    yield KitExamined(
        kit.id,
        tuple(
            Clock(one.part, one.clock, until)
            for one in kit.clocks
            if one.due is None or one.due < until
        ),
    )
    if faults.condition != IN_SERVICE:
        yield KitReleased(kit.id)
    if faults.missing:
        yield KitFilled(kit.id)
    if faults.broken or faults.missing or faults.passed:
        yield KitResealed(kit.id)


def _brought_nearer(need: Need, kit: Kit, far: list[Reason]) -> Iterator[Act]:
    terms, means = need.means.terms, need.means
    if any(reason.facts.get("locked") for reason in far):
        yield Act(
            "duplicate-key",
            kit.id,
            (Step(need.site, means.ready("duplicate-key"), KitWithKey(kit.id)),),
            terms.cost("duplicate-key"),
            facts={"kit": kit.id},
        )
    if any(not reason.facts.get("locked") for reason in far) and kit.zone != need.task.zone:
        place = need.timeline.places.get(need.task.zone, need.task.zone)
        yield Act(
            "move-place",
            kit.id,
            (Step(need.site, means.ready("move-place"), KitMoved(kit.id, need.task.zone, place)),),
            terms.cost("move-place"),
            uses=frozenset({f"place of kit {kit.id}"}),
            facts={"kit": kit.id, "place": place},
        )
