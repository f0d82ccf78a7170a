"""Sums of a task: kept as versions, told to the rule of cover, and not counted once overtaken."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.moving import place_at
from readiness.actions.sums import keep_sums
from readiness.actions.tasks import change_task
from readiness.facts import timelines
from readiness.facts.sums import clearance_of
from readiness.models import Task, TaskSums
from readiness.rules.facts_hash import facts_hash
from readiness.rules.situation import Policy
from register.actions.conditions import quarantine, withdraw
from register.models import Entry, Item, Product, Role, Site
from register.refusal import Refusal
from tests.factories import DAY, ProductFactory, ZoneFactory, stamp, user_as
from tests.readiness.asking import answers, situation
from tests.readiness.fall_figures import lanyard_figures, retractable_figures
from tests.readiness.grounds import Ground, anchor_at, covered_site

pytestmark = pytest.mark.django_db


@pytest.fixture
def ground() -> Ground:
    """Its task: heaviest 110 kg, 6.75 m needed and 18 m there by the figures typed."""
    return covered_site()


def figures(**changed: object) -> dict[str, object]:
    return lanyard_figures(mass_kg=110, max_kg=140, **changed)


def kept(ground: Ground, **changed: object) -> TaskSums:
    parts = {name: changed.pop(name) for name in ("product", "anchor") if name in changed}
    return keep_sums(ground.task, topic="fall", figures=figures(**changed), stamp=stamp(), **parts)


def room(ground: Ground) -> tuple[float | None, float | None]:
    (task,) = situation(ground.site).tasks
    return task.clearance.required_m, task.clearance.available_m


def test_sums_are_kept_as_the_next_version_with_one_act_and_a_new_version_of_the_facts(
    ground: Ground,
) -> None:
    before = Site.objects.get(pk=ground.site.pk).facts_version
    first, second = kept(ground), kept(ground, length_m=1.5)
    assert (first.version, second.version, second.made_on) == (1, 2, DAY)
    assert Site.objects.get(pk=ground.site.pk).facts_version == before + 2
    entries = Entry.objects.filter(
        thing_kind="task", thing_id=ground.task.pk, act__verb="keep-sums"
    )
    assert [entry.facts["version"] for entry in entries] == [1, 2]
    assert not hasattr(second, "required_m"), "what the sums give is never stored"


@pytest.mark.parametrize(
    ("changed", "code"),
    [
        ({"mass_kg": 100}, "other-mass"),
        ({"lightest_kg": 80}, "other-mass"),
        ({"below": None}, "missing"),
        ({"system": "no-absorber", "rule": None, "max_kg": None}, "no-absorber"),
    ],
)
def test_sums_without_an_answer_or_for_somebody_else_are_not_kept(
    ground: Ground, changed: dict[str, object], code: str
) -> None:
    told = {"mass_kg": 110, "max_kg": 140, **changed}
    with pytest.raises(Refusal) as refusal:
        keep_sums(ground.task, topic="fall", figures=lanyard_figures(**told), stamp=stamp())
    assert refusal.value.code == code
    assert not TaskSums.objects.exists()


@pytest.mark.parametrize(
    ("recorded", "changed", "code"),
    [
        ({"max_user_kg": 100}, {}, "outside-product"),
        ({"min_user_kg": 80}, {}, "outside-product"),
        ({"min_user_kg": 80}, {"lightest_kg": 70, "min_kg": 50}, "outside-product"),
        ({"edge_tested": False}, {"over_edge": True, "edge_rated": True}, "not-edge-rated"),
        ({"length_m": "2.20"}, {}, "shorter-than-product"),
    ],
)
def test_sums_are_not_kept_past_what_the_product_says_on_its_record(
    ground: Ground, recorded: dict[str, object], changed: dict[str, object], code: str
) -> None:
    """People of 70 to 110 kg, by the task; what was typed says 140 kg and 2 m."""
    line = ProductFactory(equipment_class="energy-absorbing-lanyard", **recorded)
    with pytest.raises(Refusal) as refusal:
        kept(ground, product=line, **changed)
    assert refusal.value.code == code


def test_a_lightest_person_that_was_not_typed_is_the_one_of_the_task(ground: Ground) -> None:
    with pytest.raises(Refusal) as refusal:
        kept(ground, min_kg=80)
    assert refusal.value.code == "outside-product"
    assert kept(ground, min_kg=70)


def test_an_anchor_is_of_the_site_and_is_one(ground: Ground) -> None:
    other = covered_site("other", "Other")
    for anchor, code in ((other.anchor, "other-site"), (ground.kit.item, "not-an-anchor")):
        with pytest.raises(Refusal) as refusal:
            kept(ground, anchor=anchor)
        assert refusal.value.code == code


def test_cover_goes_by_the_sums_where_there_are_any(ground: Ground) -> None:
    assert room(ground) == (6.75, 18.0)
    kept(ground)
    assert room(ground) == (4.75, 6.0)
    assert answers(ground.site)["CQ-1"].state == "covered-no-backup"


def test_the_need_is_rounded_up_and_what_there_is_down(ground: Ground) -> None:
    kept(ground, length_m=1.8288, below=[{"name": "deck", "depth_m": 6.0999}])
    assert room(ground) == (4.58, 6.09)


def test_sums_that_are_short_are_kept_and_leave_the_task_uncovered(ground: Ground) -> None:
    kept(ground, anchor_m=0.0, below=[{"name": "conveyor", "depth_m": 4.2}])
    (reason,) = answers(ground.site)["CQ-1"].reasons
    assert (reason.code, dict(reason.facts)) == (
        "clearance-too-small",
        {"required_m": 6.75, "available_m": 4.2},
    )


def _heavier(ground: Ground) -> None:
    task = Task.objects.get(pk=ground.task.pk)
    task.heaviest_kg = 120
    change_task(task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())


def _lighter(ground: Ground) -> None:
    task = Task.objects.get(pk=ground.task.pk)
    task.lightest_kg = 50
    change_task(task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())


def _less_height(ground: Ground) -> None:
    task = Task.objects.get(pk=ground.task.pk)
    task.clearance_available_m = 3.5
    change_task(task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())


def _moved(ground: Ground) -> None:
    anchor = Item.objects.get(place="AN-9")
    place_at(anchor, place="the other beam", zone=ground.zone, stamp=stamp())


def _withdrawn(ground: Ground) -> None:
    withdraw(Item.objects.get(place="AN-9"), ground="damaged", stamp=stamp())


def _quarantined(ground: Ground) -> None:
    quarantine(Item.objects.get(place="AN-9"), reason="damage-found", stamp=stamp())


def _other_limit(ground: Ground) -> None:
    Product.objects.filter(designation="Line 2").update(max_user_kg=120)


@pytest.mark.parametrize(
    ("change", "code"),
    [
        (_heavier, "heaviest_kg"),
        (_lighter, "lightest_kg"),
        (_less_height, "clear_height_m"),
        (_moved, "anchor_place"),
        (_withdrawn, "anchor_in_use"),
        (_quarantined, "anchor_in_use"),
        (_other_limit, "product_max_kg"),
    ],
)
def test_sums_do_not_count_once_what_they_rest_on_has_changed(
    ground: Ground, change: Callable[[Ground], None], code: str
) -> None:
    line = ProductFactory(
        equipment_class="energy-absorbing-lanyard", designation="Line 2", max_user_kg=140
    )
    kept(ground, product=line, anchor=anchor_at(ground.zone, place="AN-9"))
    assert answers(ground.site)["CQ-1"].state == "covered-no-backup"
    change(ground)
    task = Task.objects.get(pk=ground.task.pk)
    assert room(ground) == (None, 6.0)
    answer = answers(ground.site)["CQ-1"]
    assert (answer.state, answer.missing) == ("not-assessed", ("clearance.required_m",))
    _found, doubt = clearance_of(task, list(task.sums.newest_first()), Policy())
    assert doubt is not None
    assert [one.code for one in doubt.changed] == [code]


def test_sums_made_for_another_zone_do_not_count(ground: Ground) -> None:
    kept(ground)
    task = Task.objects.get(pk=ground.task.pk)
    task.zone = ZoneFactory(site=ground.site)
    change_task(task, shifts=[ground.shift], anchors=[ground.anchor], stamp=stamp())
    assert room(ground) == (None, 6.0)
    _found, doubt = clearance_of(task, list(task.sums.newest_first()), Policy())
    assert doubt is not None
    assert [one.code for one in doubt.changed] == ["task_zone"]


def test_sums_done_again_count_again(ground: Ground) -> None:
    kept(ground)
    _heavier(ground)
    heavier = figures() | {"mass_kg": 120}
    keep_sums(ground.task, topic="fall", figures=heavier, stamp=stamp())
    assert room(ground) == (4.75, 6.0)


@pytest.mark.parametrize("topic", ["fall", "restraint", "rescue"])
def test_figures_of_another_format_leave_the_page_to_do_the_sums_again(
    ground: Ground, client: Client, topic: str
) -> None:
    TaskSums.objects.create(
        task=ground.task,
        topic=topic,
        figures={"format": 99, "kits": [{}]},
        made_on=DAY,
        made_at=stamp().at,
    )
    client.force_login(user_as(Role.PLANNER, ground.site))
    page = client.get(reverse(f"readiness:task-{topic}", args=[ground.site.code, ground.task.code]))
    assert page.status_code == 200


def test_figures_that_the_rules_refuse_leave_the_need_unknown(ground: Ground) -> None:
    sums = kept(ground)
    TaskSums.objects.filter(pk=sums.pk).update(figures={"format": 99})
    assert room(ground) == (None, None)
    assert answers(ground.site)["CQ-1"].state == "not-assessed"


def test_a_swing_that_strikes_leaves_the_need_unknown(ground: Ground) -> None:
    beam = {"name": "beam", "left_m": -1.0, "right_m": 0.5, "bottom_m": 0.5, "top_m": 1.0}
    told = retractable_figures(mass_kg=110, max_kg=140, obstacles=[beam])
    keep_sums(ground.task, topic="fall", figures=told, stamp=stamp())
    assert room(ground) == (None, None)


def test_the_facts_of_the_site_are_others_with_other_sums(ground: Ground) -> None:
    def hashed() -> str:
        return facts_hash(timelines([ground.site], DAY, DAY)[0])

    kept(ground)
    before = hashed()
    kept(ground, length_m=1.5)
    assert hashed() != before
