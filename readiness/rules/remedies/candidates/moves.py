"""Kits from elsewhere: moved from a site that can spare one, or hired."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from readiness.rules.changes import KitArrives, KitLeaves
from readiness.rules.kit_reasons import kit_reasons
from readiness.rules.remedies.acts import Act, Key, Step
from readiness.rules.remedies.donors import may_leave
from readiness.rules.remedies.need import Need, Probe
from readiness.rules.site_day import SiteDay, site_day
from readiness.rules.situation import Kit
from readiness.rules.timeline import KitTime
from readiness.rules.windows import Window

MOST_DONORS = 2
KIT_REASONS = frozenset(
    {
        *("no-kit", "kit-not-usable", "kit-lacks-function", "kit-too-short", "kit-out-of-reach"),
        *("kit-load-out-of-range", "kit-descent-energy-exceeded", "contested", "rescue-too-slow"),
        *("rescuer-for-other-kit", "search-not-finished"),
    }
)
"""Troubles that another kit might end."""


@dataclass(frozen=True, slots=True)
class Refused:
    """A kit that would do but stays, because these tasks would be uncovered without it."""

    kit: str
    site: str
    held_by: Mapping[Key, tuple[Window, ...]]


def wants_a_kit(need: Need) -> bool:
    return bool(KIT_REASONS & need.codes) or "kit" in need.hangs_on


def moved_kits(need: Need) -> tuple[list[Act], tuple[Refused, ...]]:
    """Of kits that would do here, the nearest; each leaves only when its own site can spare it."""
    acts: list[Act] = []
    refused: list[Refused] = []
    if not need.probes or not wants_a_kit(need):
        return acts, ()
    for site, held in _nearest(need):
        if len(acts) == MOST_DONORS:
            break
        leave = may_leave(need.bench, site, held.kit.id, need.means.now)
        if leave.at is None:
            refused.append(Refused(held.kit.id, site, leave.held_by))
        else:
            acts.append(_moved(need, site, held, leave.at))
    return acts, tuple(refused)


def _nearest(need: Need) -> list[tuple[str, KitTime]]:
    far = need.means.terms.travel_hours
    found = [
        (site, held)
        for site, timeline in need.bench.timelines.items()
        for held in timeline.kits
        if site != need.site and any(_would_do(held.kit, need, probe) for probe in need.probes)
    ]
    return sorted(found, key=lambda one: (far(one[0], need.site), one[1].kit.id))


def _would_do(kit: Kit, need: Need, probe: Probe) -> bool:
    """Fit for the rescue and usable, were it in the task's own zone."""
    if probe.task.plan is None or probe.why.missing:
        return False
    here = replace(kit, zone=need.task.zone, locked=False)
    return not kit_reasons(here, probe.task, probe.task.plan, _site_of(probe))


def _site_of(probe: Probe) -> SiteDay:
    return site_day(probe.situation, probe.situation.on)


def _moved(need: Need, donor: str, held: KitTime, leaves: datetime) -> Act:
    arrives = leaves + timedelta(hours=need.means.terms.travel_hours(donor, need.site))
    name, zone = held.kit.id, need.task.zone
    place = need.timeline.places.get(zone, zone)
    arrived = KitTime(replace(held.kit, zone=zone, place=place, locked=False))
    return Act(
        kind="move-kit",
        what=name,
        steps=(
            Step(donor, leaves, KitLeaves(name, leaves)),
            Step(need.site, arrives, KitArrives(arrived, arrives)),
        ),
        cost=need.means.terms.cost("move-kit"),
        uses=frozenset({f"kit {name}"}),
        facts={
            "kit": name,
            "family": held.kit.family,
            "from": donor,
            "to": need.site,
            "leaves": leaves,
            "place": place,
        },
    )


def hired_kits(need: Need) -> Iterator[Act]:
    """One of a family on which somebody here is in date, made for what the task needs."""
    if not need.probes or not wants_a_kit(need):
        return
    at = need.means.ready("hire-kit")
    for family in sorted(_families(need))[:2]:
        kit = _hired(need, family)
        yield Act(
            kind="hire-kit",
            what=kit.id,
            steps=(Step(need.site, at, KitArrives(KitTime(kit), at)),),
            cost=need.means.terms.cost("hire-kit"),
            uses=frozenset({f"hire for {need.key}"}),
            facts={"family": family, "place": kit.place},
        )


def _families(need: Need) -> set[str]:
    return {
        held.family
        for one in need.timeline.people
        if one.stays
        for held in one.person.competences
        if held.kind == "rescuer" and held.valid_to >= need.probes[0].situation.on
    }


def _hired(need: Need, family: str) -> Kit:
    task, zone = need.task, need.task.zone
    heaviest = (task.heaviest_kg or 0) + need.timeline.policy.rescuer_kg
    return Kit(
        id=f"hired, {family}",
        name=f"hired, {family}",
        zone=zone,
        place=need.timeline.places.get(zone, zone),
        family=family,
        functions=frozenset({"lower", "raise", "remote attach"}),
        max_load_kg=heaviest,
        max_height_m=max(task.lower_m or 0, task.raise_m or 0),
    )
