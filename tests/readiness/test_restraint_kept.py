"""Restraint that cover believes: kept sums decide, and what has changed under them proves nothing."""

from __future__ import annotations

import pytest

from inspections.actions.moving import place_at
from readiness.actions.policy import change_policy
from readiness.actions.sums import keep_sums
from readiness.board.instead import restraint_proof
from readiness.facts.sums import restraint_of
from readiness.models import CoverPolicy, Task, TaskSums
from readiness.rules.situation import Policy
from register.models import Item, Product
from register.refusal import Refusal
from tests.factories import ProductFactory, stamp
from tests.readiness.asking import answers
from tests.readiness.fall_figures import at, restraint_figures
from tests.readiness.grounds import Ground, anchor_at, covered_site

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground() -> Ground:
    """Its task is in restraint by typed figures that hold: 2 m of lanyard, 3 m to the edge."""
    found = covered_site()
    typed = {"restraint_reach_m": 2.0, "restraint_deflection_m": 0.0, "restraint_edge_m": 3.0}
    Task.objects.filter(pk=found.task.pk).update(system="restraint", **typed)
    return found


def keep(ground: Ground, **changed: object) -> TaskSums:
    parts = {name: changed.pop(name) for name in ("product", "anchor") if name in changed}
    figures = restraint_figures(**changed)
    return keep_sums(ground.task, topic="restraint", figures=figures, stamp=stamp(), **parts)


def state(ground: Ground) -> str:
    return answers(ground.site)["CQ-1"].state


def test_typed_figures_count_until_sums_are_kept(ground: Ground) -> None:
    assert state(ground) == "no-rescue-cover-needed"
    keep(ground, lanyard_m=3.0)
    assert state(ground) == "covered-no-backup"


def test_proven_by_sums_needs_no_cover(ground: Ground) -> None:
    Task.objects.filter(pk=ground.task.pk).update(restraint_edge_m=1.0)
    assert state(ground) == "covered-no-backup"
    keep(ground)
    assert state(ground) == "no-rescue-cover-needed"


def test_believed_restraint_that_can_be_passed_is_treated_as_arrest(ground: Ground) -> None:
    keep(ground, points=[at(10.5, 4.5)])
    ground.kit.seal_intact = False
    ground.kit.save()
    assert state(ground) == "not-covered"


def test_an_open_rim_is_not_proven(ground: Ground) -> None:
    keep(ground, closed=False)
    answer = answers(ground.site)["CQ-1"]
    assert (answer.state, answer.missing) == ("not-assessed", ("restraint.edge_m",))


def test_an_open_rim_with_an_edge_that_can_be_passed_is_arrest(ground: Ground) -> None:
    keep(ground, closed=False, lanyard_m=3.0)
    assert state(ground) == "covered-no-backup"


def test_an_open_rim_is_not_proven_by_a_smaller_allowance_either(ground: Ground) -> None:
    """2.6 m of lanyard before an edge at 3 m: arrest with an allowance of 0.5 m, unproven with 0.2 m."""
    keep(ground, closed=False, lanyard_m=2.6)
    assert state(ground) == "covered-no-backup"
    change_policy(CoverPolicy(restraint_allowance_m=0.2), stamp=stamp())
    assert state(ground) == "not-assessed"


def test_another_allowance_of_the_employer_is_asked_at_once(ground: Ground) -> None:
    keep(ground)
    change_policy(CoverPolicy(restraint_allowance_m=1.5), stamp=stamp())
    assert state(ground) == "covered-no-backup"


def test_an_anchor_that_was_moved_proves_nothing_until_the_sums_are_done_again(
    ground: Ground,
) -> None:
    anchor = anchor_at(ground.zone, place="AN-9")
    keep(ground, anchor=anchor)
    assert state(ground) == "no-rescue-cover-needed"
    place_at(Item.objects.get(pk=anchor.pk), place="beam", zone=ground.zone, stamp=stamp())
    assert state(ground) == "not-assessed"
    task = Task.objects.get(pk=ground.task.pk)
    _found, doubt = restraint_of(task, list(task.sums.newest_first()), Policy())
    assert doubt is not None
    assert [one.code for one in doubt.changed] == ["anchor_place"]
    keep(ground, anchor=Item.objects.get(pk=anchor.pk))
    assert state(ground) == "no-rescue-cover-needed"


def test_a_lanyard_that_would_hold_is_told_only_where_the_sums_stand_and_the_rim_is_closed(
    ground: Ground,
) -> None:
    anchor = anchor_at(ground.zone, place="AN-9")
    keep(ground, anchor=anchor)
    task = Task.objects.get(pk=ground.task.pk)
    assert "up to 2.5 m would be proven restraint" in restraint_proof(task, Policy())
    place_at(Item.objects.get(pk=anchor.pk), place="beam", zone=ground.zone, stamp=stamp())
    assert "is not known" in restraint_proof(task, Policy())
    keep(ground, closed=False)
    assert "is not known" in restraint_proof(task, Policy())


def test_the_lanyard_counts_at_the_longest_its_product_says(ground: Ground) -> None:
    line = ProductFactory(equipment_class="lanyard", length_m="2.50")
    with pytest.raises(Refusal) as refusal:
        keep(ground, product=line)
    assert refusal.value.code == "shorter-than-product"
    keep(ground, product=line, lanyard_m=2.5)
    Product.objects.filter(pk=line.pk).update(length_m="3.00")
    assert state(ground) == "not-assessed"


def test_figures_that_the_rules_refuse_prove_nothing(ground: Ground) -> None:
    sums = keep(ground)
    TaskSums.objects.filter(pk=sums.pk).update(figures={"format": 99})
    assert state(ground) == "not-assessed"


def test_sums_of_restraint_say_nothing_of_a_task_in_arrest(ground: Ground) -> None:
    keep(ground)
    Task.objects.filter(pk=ground.task.pk).update(system="arrest")
    assert state(ground) == "covered-no-backup"
