"""The same records in any order of arrival give the same dates; and nothing lets a date be stretched."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from django.apps import apps
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inspections.actions.inspecting import Finding, Flaw, correct_inspection, inspect
from inspections.actions.using import change_use
from inspections.conditions import clocks_of, refresh_due
from inspections.models import Due, Inspection
from register.actions.conditions import quarantine
from register.actions.custody import hand_out
from register.models import Item, Person, Stamp
from tests.factories import NOON, ItemFactory, PersonFactory, ProductFactory, SiteFactory, inspector

ROOT = Path(__file__).parents[2]
ARRIVED = NOON + timedelta(days=300)


@dataclass(frozen=True)
class World:
    """An item that anything may happen to, the person who inspects it, and who wears it."""

    item: Item
    huw: Person
    wearer: Person


Act = Callable[[World], object]


def after(days: int) -> datetime:
    return NOON + timedelta(days=days)


def looked(days: int, kind: str = "detailed", verdict: str = "pass", **more: object) -> Act:
    """An inspection on its day, told to the register long after."""

    def act(world: World) -> Inspection:
        finding = Finding(
            kind=kind,
            verdict=verdict,
            performed_at=after(days),
            inspector=world.huw,
            source="paper",
            late_reason="told late",
            **more,  # type: ignore[arg-type]
        )
        return inspect(world.item, finding=finding, stamp=Stamp(by=None, at=ARRIVED))

    return act


def corrected(days: int, to: int) -> Act:
    """A pass told for the wrong day, and put right."""

    def act(world: World) -> Inspection:
        wrong = looked(days)(world)
        finding = Finding(
            kind="detailed",
            verdict="pass",
            performed_at=after(to),
            inspector=world.huw,
            source="paper",
            late_reason="told late",
        )
        stamp = Stamp(by=None, at=ARRIVED)
        return correct_inspection(wrong, finding=finding, reason="wrong day", stamp=stamp)  # type: ignore[arg-type]

    return act


def used(days: int, use_class: str) -> Act:
    return lambda world: change_use(
        world.item, use_class=use_class, stamp=Stamp(by=None, at=after(days))
    )


def worn(days: int) -> Act:
    return lambda world: hand_out(
        world.item, to=world.wearer, due_back_on=None, stamp=Stamp(by=None, at=after(days))
    )


def hurt(days: int) -> Act:
    return lambda world: quarantine(
        world.item, reason="suspected-load", stamp=Stamp(by=None, at=after(days))
    )


B_DEFECT = Flaw(grade="B", what="fuzz", danger_by_on=date(2026, 6, 1))
ACTS: tuple[Act, ...] = (
    looked(1),
    looked(40, "interim"),
    looked(60, "thorough-examination", covers_periodic=True),
    looked(20, "kit-check"),
    looked(30, verdict="pass-with-conditions", flaws=[B_DEFECT], note="watch"),
    looked(45, good_until_on=date(2026, 7, 1)),
    looked(80, verdict="not-presented"),
    looked(70, verdict="refer"),
    corrected(90, to=15),
    corrected(10, to=50),
    used(5, "arduous"),
    used(25, "light"),
    worn(2),
    worn(35),
    hurt(12),
    hurt(55),
)
CONFLICTING = frozenset(
    {10, 11, 12, 13}
)  # two changes of use and two first uses, always among them


@contextmanager
def undone() -> Iterator[None]:
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


def dates_after(order: Sequence[int]) -> tuple[object, ...]:
    """The clocks, and the copy for lists, once everything has arrived in this order."""
    with undone():
        product = ProductFactory(life_from_first_use_months=60, storage_months=15, service_months=6)
        item = ItemFactory(site=SiteFactory(), product=product)
        who = inspector().person
        assert who is not None
        for number in order:
            ACTS[number](World(Item.objects.get(pk=item.pk), who, PersonFactory()))
            Item.objects.filter(pk=item.pk).update(holder=None, custody="stores")
        refresh_due([item := Item.objects.select_related("product").get(pk=item.pk)])
        due = Due.objects.get(item=item)
        return (*clocks_of([item])[item.pk], due.last_good_on, due.clock, due.source)


@pytest.mark.django_db
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    st.sets(st.integers(0, len(ACTS) - 1), min_size=1, max_size=4).flatmap(
        lambda some: st.permutations(sorted(some | CONFLICTING))
    )
)
def test_the_same_records_in_any_order_give_the_same_dates(
    order: list[int],
) -> None:
    assert dates_after(order) == dates_after(sorted(order))


@pytest.mark.django_db
def test_a_look_counts_alike_before_and_after_its_inspector_is_given_the_item() -> None:
    def counts(issue_first: bool) -> bool:  # noqa: FBT001 - the two cases of one test
        with undone():
            item = ItemFactory(site=SiteFactory())
            who = inspector().person
            assert who is not None
            world = World(item, who, who)
            acts = [worn(5), looked(2)] if issue_first else [looked(2), worn(5)]
            for act in acts:
                act(world)
            return Inspection.objects.get(item=item).counts

    assert counts(issue_first=True) is counts(issue_first=False) is True


@pytest.mark.django_db
def test_the_first_use_is_the_earliest_that_is_told(item: Item) -> None:
    world = World(item, PersonFactory(), PersonFactory())
    for days in (9, 3, 6):
        worn(days)(world)
    item.refresh_from_db()
    assert item.first_used_on == after(3).date()


STRETCHES = re.compile(
    r"grace|overrid|waiv|postpon|extend|extension|defer|exempt|tolerance|due_on_by_hand|force"
)


def test_no_field_and_no_form_can_stretch_a_date() -> None:
    fields = [
        f"{model.__name__}.{field.name}"
        for model in apps.get_models()
        if model.__module__.split(".")[0] in {"register", "inspections", "readiness"}
        for field in model._meta.get_fields()
    ]
    assert len(fields) > 100
    assert [name for name in fields if STRETCHES.search(name)] == []
    forms = [*ROOT.glob("*/forms/*.py"), *ROOT.glob("*/forms*.py")]
    told = [
        f"{file.name}: {line.strip()}"
        for file in forms
        for line in file.read_text(encoding="utf-8").splitlines()
        if re.search(r"= (forms\.|\w*_?field\()", line) and STRETCHES.search(line)
    ]
    assert len(forms) > 10
    assert told == []


def test_the_stored_due_day_is_written_in_two_places_only() -> None:
    """The copy is counted from the records: no view, form or command sets it."""
    writers = {
        file.relative_to(ROOT).as_posix()
        for app in ("register", "inspections", "readiness")
        for file in (ROOT / app).rglob("*.py")
        if re.search(r"\bDue\(|last_good_on\s*=[^=]", file.read_text(encoding="utf-8"))
        and "migrations" not in file.parts
    }
    allowed = {"inspections/conditions.py", "inspections/intake/entering.py"}
    declared = {"inspections/models/due.py", "inspections/api/lists.py"}  # the column; what is told
    assert writers - declared == allowed
