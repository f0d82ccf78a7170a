"""Sites ready for a rescue, row by row: each test then takes away what it is about."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from readiness.actions.sums import keep_sums
from readiness.models import (
    Competence,
    Drill,
    Exposure,
    KitAbility,
    Plan,
    RotaEntry,
    Task,
    TaskSums,
)
from register.models import Item, Kit, Person, Shift, Site, Zone
from tests.factories import (
    DAY,
    ItemFactory,
    PersonFactory,
    ProductFactory,
    ShiftFactory,
    SiteFactory,
    ZoneFactory,
    kit_of,
    passed,
    stamp,
)
from tests.readiness.fall_figures import lanyard_figures

FAMILY = "controlled descent"


@dataclass(frozen=True, slots=True)
class Ground:
    """One site with one covered task that has no backup."""

    site: Site
    zone: Zone
    shift: Shift
    task: Task
    kit: Kit
    rescuer: Person
    worker: Person
    anchor: Item


def covered_site(code: str = "corrick", name: str = "Corrick Quay", day: date = DAY) -> Ground:
    """A task on the day shift, covered by one kit, one rescuer with first aid, one anchor."""
    site = SiteFactory(code=code, name=name)
    zone = ZoneFactory(site=site, code="silo", name="Silo deck")
    shift = ShiftFactory(site=site)
    rescuer, worker = PersonFactory(home_site=site), PersonFactory(home_site=site)
    train(rescuer, day)
    for person in (rescuer, worker):
        on_rota(person, zone, shift, day, days=10)
    anchor = anchor_at(zone, day)
    kit = rated_kit(zone, f"RK-{site.pk}", day)
    task = arrest_task(zone, shift, "CQ-1", day=day)
    task.rescue_anchors.add(anchor)
    Exposure.objects.create(task=task, person=worker)
    plan_for(task, day)
    return Ground(site, zone, shift, task, kit, rescuer, worker, anchor)


def train(person: Person, day: date = DAY, family: str = FAMILY) -> None:
    """In date for a year around the day, with first aid."""
    span = {"from_on": day - timedelta(days=100), "through_on": day + timedelta(days=265)}
    Competence.objects.create(person=person, kind="rescuer", family=family, **span)
    Competence.objects.create(person=person, kind="first aid", **span)


def on_rota(person: Person, zone: Zone, shift: Shift, day: date = DAY, days: int = 1) -> None:
    RotaEntry.objects.bulk_create(
        RotaEntry(
            site=zone.site, person=person, zone=zone, shift=shift, day_on=day + timedelta(days=n)
        )
        for n in range(days)
    )


def anchor_at(zone: Zone, day: date = DAY, place: str = "AN-1") -> Item:
    anchor: Item = ItemFactory(
        site=zone.site,
        zone=zone,
        place=place,
        custody="installed",
        product=ProductFactory(equipment_class="anchor"),
    )
    passed(anchor, day, kind="installation")
    passed(anchor, day)
    return anchor


def rated_kit(zone: Zone, name: str, day: date = DAY) -> Kit:
    kit = kit_of(zone.site, name=name, on=day)
    kit.item.zone = zone
    kit.item.save()
    KitAbility.objects.create(
        kit=kit, family=FAMILY, lowers=True, max_load_kg=150, max_height_m=40.0
    )
    return kit


def arrest_task(zone: Zone, shift: Shift, code: str, day: date = DAY, days: int = 60) -> Task:
    """Fully known, with nobody exposed, no anchor and no plan yet."""
    task = Task.objects.create(
        site=zone.site,
        zone=zone,
        code=code,
        name=f"Work {code}",
        from_on=day,
        to_on=day + timedelta(days=days),
        system="arrest",
        heaviest_kg=110,
        lightest_kg=70,
        recovery="lower",
        lower_m=18.0,
        clearance_required_m=6.75,
        clearance_available_m=18.0,
    )
    task.shifts.add(shift)
    return task


def plan_for(task: Task, day: date = DAY) -> Plan:
    """Reviewed and drilled a month before."""
    before = day - timedelta(days=30)
    plan = Plan.objects.create(
        task=task, method="Lower from above", reviewed_on=before, target_minutes=15
    )
    Drill.objects.create(plan=plan, drilled_on=before, minutes=6.0)
    return plan


def sums_of(task: Task, anchor: Item | None = None) -> TaskSums:
    """Of a fall, enough by 1.25 m, with a product and an anchor."""
    return keep_sums(
        task,
        topic="fall",
        figures=lanyard_figures(mass_kg=110, max_kg=140),
        product=ProductFactory(equipment_class="energy-absorbing-lanyard"),
        anchor=anchor or beam_of(task),
        stamp=stamp(),
    )


def beam_of(task: Task) -> Item:
    """An anchor to work from, remarked 'beam'."""
    beam = anchor_at(task.zone, place=f"beam of {task.code}")
    beam.remarks = "beam"
    beam.save()
    return beam
