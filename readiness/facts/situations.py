"""Rows become the frozen values that the cover rule judges; in doubt they say less, never more."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import takewhile

from readiness.facts.rows import SiteRows
from readiness.facts.standing import IN_SERVICE, UNKNOWN, custody_words
from readiness.facts.sums import clearance_of, restraint_of
from readiness.models import CoverPolicy, KitAbility
from readiness.models import Drill as DrillRow
from readiness.models import Plan as PlanRow
from readiness.models import Task as TaskRow
from readiness.rules.situation import (
    Anchor,
    Clock,
    Drill,
    Kit,
    Plan,
    Policy,
    Task,
)
from register.models import Item, KitPart, Passage
from register.models import Kit as KitRow

ANCHOR_CUSTODY = ("installed", "site")
KIT_CUSTODY = ("stores", "site", "installed")
"""Where a kit can be fetched from. One handed out to a person is wherever that person is."""


def policy_of(row: CoverPolicy) -> Policy:
    return Policy(
        plan_review_months=row.plan_review_months,
        drill_months=row.drill_months,
        share_within_minutes=row.share_within_minutes,
        alarm_minutes=row.alarm_minutes,
        first_aid_within_minutes=row.first_aid_within_minutes,
        restraint_allowance_m=row.restraint_allowance_m,
        rescuer_kg=row.rescuer_kg,
        swing_look_deg=row.swing_look_deg,
        swing_most_deg=row.swing_most_deg,
    )


def policy_now() -> Policy:
    """The employer's limits as they stand; the proposals where nobody set any."""
    return policy_of(CoverPolicy.objects.first() or CoverPolicy())


def travel_of(passages: Iterable[Passage]) -> dict[tuple[str, str], float]:
    return {(way.start.code, way.end.code): way.minutes for way in passages}


def kit_of(row: KitRow, rows: SiteRows) -> Kit:
    """A kit that nobody has rated does nothing."""
    ability = getattr(row, "ability", None) or KitAbility(kit=row, max_load_kg=0, max_height_m=0)
    zone = row.item.zone
    return Kit(
        id=row.name,
        name=row.name,
        zone=zone.code if zone and zone.site_id == rows.site.pk else "",
        place=row.item.place or (zone.name if zone else ""),
        family=ability.family,
        functions=frozenset(ability.functions),
        max_load_kg=ability.max_load_kg,
        min_load_kg=ability.min_load_kg,
        max_height_m=ability.max_height_m,
        descent_energy_j=ability.descent_energy_j,
        condition=_kit_condition(row, rows),
        seal_intact=row.seal_intact and bool(row.seal_number),
        missing=_missing(row, rows),
        clocks=_clocks(row, rows),
    )


def _kit_condition(row: KitRow, rows: SiteRows) -> str:
    standing = rows.standings.get(row.item_id, UNKNOWN)
    if standing.condition == IN_SERVICE and row.item.custody not in KIT_CUSTODY:
        return custody_words(row.item)
    return standing.condition


def _missing(row: KitRow, rows: SiteRows) -> tuple[str, ...]:
    """Roles that nothing fills, and parts that are out whatever their dates."""
    parts = list(row.parts.all())
    found = [] if any(part.required for part in parts) else ["a contents card"]
    for part in parts:
        if part.item is None:
            found += [part.role] if part.required else []
        elif why := part_out(part.item, row, rows):
            found.append(f"{part_name(part)} ({why})")
    return tuple(found)


def part_out(item: Item, row: KitRow, rows: SiteRows) -> str:
    """Why a part on the contents card is no good, or nothing."""
    standing = rows.standings.get(item.pk, UNKNOWN)
    if standing.condition != IN_SERVICE:
        return standing.condition
    if item.custody != "kit" or item.kit_id != row.pk:
        return custody_words(item) if item.custody != "kit" else "in another kit"
    return ""


def part_name(part: KitPart) -> str:
    return f"{part.role} {part.item.shown_code}" if part.item else part.role


def _clocks(row: KitRow, rows: SiteRows) -> tuple[Clock, ...]:
    """Every clock of the kit and of each part in it."""
    named = [(row.name, row.item_id)]
    named += [(part_name(part), part.item_id) for part in row.parts.all() if part.item_id]
    return tuple(
        Clock(part=name, clock=clock.name, due=clock.last_day)
        for name, item in named
        for clock in rows.standings.get(item, UNKNOWN).clocks
    )


def anchors_of(tasks: Iterable[TaskRow], rows: SiteRows) -> tuple[Anchor, ...]:
    wanted = {anchor.pk: anchor for task in tasks for anchor in task.rescue_anchors.all()}
    found = [anchor_of(item, rows) for item in wanted.values() if item.product.kind.is_anchor]
    return tuple(sorted(found, key=lambda anchor: anchor.id))


def anchor_of(item: Item, rows: SiteRows) -> Anchor:
    standing = rows.standings.get(item.pk, UNKNOWN)
    condition = standing.condition
    if item.site_id != rows.site.pk or item.bound_for_id is not None:
        condition = "at another site"
    elif condition == IN_SERVICE and item.custody not in ANCHOR_CUSTODY:
        condition = custody_words(item)
    return Anchor(
        id=item.code,
        zone=item.zone.code if item.zone and item.zone.site_id == rows.site.pk else "",
        due=standing.last_good_on,
        condition=condition,
        name=anchor_name(item),
    )


def anchor_name(item: Item) -> str:
    """Its place, by which people on site know it, and its tag."""
    place = item.place or item.product.kind.name.lower()
    return f"{place} {item.shown_code}"


def task_of(row: TaskRow, policy: Policy) -> Task:
    """With nobody named as exposed: that depends on the hours."""
    return Task(
        id=row.code,
        name=row.name,
        zone=row.zone.code,
        starts_on=row.from_on,
        ends_on=row.to_on,
        system=row.system,
        exposed=(),
        heaviest_kg=row.heaviest_kg,
        lightest_kg=row.lightest_kg,
        recovery=row.recovery or None,
        remote_attach=row.remote_attach,
        lower_m=row.lower_m,
        raise_m=row.raise_m,
        stranded=row.stranded,
        clearance=clearance_of(row, list(row.sums.all()), policy)[0],
        restraint=restraint_of(row, list(row.sums.all()), policy)[0],
        rescue_anchors=tuple(anchor.code for anchor in row.rescue_anchors.all()),
        first_call=row.first_call,
        plan=plan_of(list(row.plans.all())),
    )


def plan_of(versions: Sequence[PlanRow]) -> Plan | None:
    """The newest version, given newest first, with the newest drill that still proves it."""
    if not versions:
        return None
    row, drill = versions[0], _drill_of(versions)
    return Plan(
        method=row.method,
        reviewed=row.reviewed_on,
        target_minutes=row.target_minutes,
        drill=Drill(drill.drilled_on, drill.minutes) if drill else None,
        min_rescuers=row.min_rescuers,
        matches_task=row.matches_task,
        relies_on_emergency_services=row.relies_on_emergency_services,
        mutual_rescue=row.mutual_rescue,
        accompanied=row.accompanied,
        stop_work=row.stop_work,
    )


def _drill_of(versions: Sequence[PlanRow]) -> DrillRow | None:
    """A drill proves later versions as long as the rescue itself is done the same way."""
    same = takewhile(lambda one: _rescue(one) == _rescue(versions[0]), versions)
    drills = [drill for version in same for drill in version.drills.all()]
    return max(drills, key=lambda drill: (drill.drilled_on, drill.pk), default=None)


def _rescue(row: PlanRow) -> tuple[object, ...]:
    """What a drill has practised."""
    return (row.method.strip(), row.min_rescuers, row.accompanied, row.mutual_rescue)
