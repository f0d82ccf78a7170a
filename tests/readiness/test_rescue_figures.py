"""One rescue with one kit by numbers, and what contradicts the kit's record."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from readiness.rules.sums.rescue import KitSum, RescueKit, RescueTask, kit_sum
from readiness.rules.sums.rescue_figures import read_rescue
from readiness.rules.sums.rescue_load import Component
from readiness.rules.sums.rescue_times import Timed
from readiness.rules.sums.values import Refused
from readiness.wording.rescue import FINDINGS, finding_sentence

TASK = RescueTask(
    recovery="lower",
    heaviest_kg=110,
    lightest_kg=70,
    lower_m=18,
    raise_m=None,
    rescuer_kg=0,
    times=2,
    alarm_s=60,
    target_minutes=15,
    drill=None,
)
KIT = RescueKit(
    name="RK-1",
    functions=frozenset({"lower"}),
    max_load_kg=150,
    min_load_kg=0,
    max_height_m=40,
    energy_j=1.5e6,
    components=(Component("descender", 150),),
    unmarked=("rope",),
    rope_m=None,
    reach_s=120,
)


def summed(task: RescueTask = TASK, kit: RescueKit = KIT, **typed: Any) -> KitSum:
    own = {name: typed.pop(name) for name in list(typed) if name in OF_A_KIT}
    figures = {"format": 1, "rig_s": 180, "kits": [{"kit": "RK-1", "rope_m": 45, **own}], **typed}
    return kit_sum(task, kit, read_rescue(figures))


OF_A_KIT = ("rope_m", "ratio", "efficiency", "en341_class", "used", "doubled", "stopper", "pole_m")


def codes(found: KitSum) -> list[str]:
    return [flag.code for flag in found.findings]


def test_a_long_enough_strong_and_quick_kit_is_short_of_nothing() -> None:
    found = summed()
    assert (found.short, found.unknown, found.findings) == ((), (), ())
    assert found.rope is not None
    assert found.rope.need_m == 20
    assert found.rope.spare_m == 25
    assert found.minutes is not None
    assert [step.rests_on for step in found.minutes.steps] == [
        *("policy", "travel", "estimate", "speed", "speed")
    ]
    assert found.minutes.minutes == pytest.approx((60 + 120 + 180 + 0.3 / 0.3 + 18 / 0.5) / 60)


def test_a_drill_that_proves_the_plan_goes_before_every_estimate() -> None:
    drilled = replace(TASK, drill=Timed(360, date(2026, 2, 1)))
    found = summed(drilled).minutes
    assert found is not None
    assert found.minutes == 9
    assert summed(replace(drilled, target_minutes=8)).short == ("time",)


def test_rope_doubled_takes_twice_the_height_and_may_be_too_short() -> None:
    assert summed(doubled=True).rope.need_m == 38  # type: ignore[union-attr]
    assert summed(doubled=True, rope_m=37).short == ("rope",)


def test_the_makers_height_governs_where_it_leaves_less() -> None:
    assert summed(replace(TASK, lower_m=42)).short[:1] == ("rope",)


def test_an_accompanied_descent_counts_the_rescuer_in_load_and_energy() -> None:
    found = summed(replace(TASK, rescuer_kg=100))
    assert found.short == ("load", "energy")
    assert found.load is not None
    assert found.load.heaviest_kg == 210


def test_descents_go_by_the_class_read_at_the_device_else_by_the_energy_on_record() -> None:
    assert summed().descents.left == 77  # type: ignore[union-attr]  # 1.5 MJ / 110 g 18 m
    by_class = summed(en341_class="C").descents
    assert by_class is not None
    assert by_class.left == 25
    by_both = summed(en341_class="A").descents
    assert by_both is not None
    assert by_both.left == 77, "class A has 7.5 MJ; the record says 1.5: the smaller counts"
    assert summed(en341_class="C", used=25).short == ("energy",)
    assert "energy" in summed(kit=replace(KIT, energy_j=None)).unknown


def test_raising_asks_for_the_ratio_and_counts_the_losses_of_each_pulley() -> None:
    up = replace(TASK, recovery="raise", raise_m=6)
    able = replace(KIT, functions=frozenset({"raise"}))
    assert "ratio" in summed(up, able).unknown
    assert summed(up, able).minutes is None, "nobody knows how much rope is to be pulled"
    found = summed(up, able, ratio=4, efficiency=0.9)
    assert found.rope.need_m == 26  # type: ignore[union-attr]
    assert found.haul is not None
    assert found.haul.effort_n == pytest.approx(110 * 9.81 / 3.439)
    assert found.haul.effort_n > found.haul.ideal_n
    assert found.descents is None


def test_a_kit_that_cannot_go_the_way_of_the_task_is_short_of_it() -> None:
    assert summed(replace(TASK, recovery="both", raise_m=6)).short == ("way",)


def test_either_way_is_judged_by_lowering_where_the_kit_does_both() -> None:
    both = replace(KIT, functions=frozenset({"lower", "raise"}))
    assert summed(replace(TASK, recovery="either", raise_m=6), both).ways == ("lower",)


def test_a_pole_has_to_reach() -> None:
    remote = replace(TASK, remote_attach=True)
    assert "pole" in summed(remote).unknown
    assert summed(remote, pole_m=3, to_casualty_m=3.5).short == ("pole",)


@pytest.mark.parametrize(
    ("task", "kit", "code"),
    [
        (replace(TASK, heaviest_kg=None), KIT, "heaviest"),
        (replace(TASK, lightest_kg=None), replace(KIT, min_load_kg=50), "lightest"),
        (
            replace(TASK, lightest_kg=None),
            replace(KIT, components=(Component("descender", 150, 50),)),
            "lightest",
        ),
        (replace(TASK, lower_m=None), KIT, "height"),
        (replace(TASK, target_minutes=None), KIT, "target"),
        (TASK, replace(KIT, reach_s=None), "reach"),
    ],
)
def test_what_is_not_known_is_named_and_never_counted_as_enough(
    task: RescueTask, kit: RescueKit, code: str
) -> None:
    assert code in summed(task, kit).unknown


def test_a_rope_nobody_measured_is_not_known_unless_the_record_tells_its_length() -> None:
    unmeasured = read_rescue({"format": 1, "rig_s": 180})
    assert kit_sum(TASK, KIT, unmeasured).unknown == ("rope",)
    assert kit_sum(TASK, replace(KIT, rope_m=45), unmeasured).unknown == ()


CONTRADICTIONS = [
    (KIT, {"rope_m": 41.9}, "rope-short-of-rating"),
    (replace(KIT, components=(Component("descender", 140),)), {}, "part-below-rating"),
    (replace(KIT, rope_m=44), {}, "rope-longer-than-delivered"),
    (KIT, {"en341_class": "C"}, "energy-over-class"),
]


@pytest.mark.parametrize(("kit", "typed", "code"), CONTRADICTIONS)
def test_what_contradicts_the_record_is_a_finding(
    kit: RescueKit, typed: dict[str, Any], code: str
) -> None:
    found = summed(kit=kit, **typed)
    assert codes(found) == [code]
    told = finding_sentence(found.findings[0], "m")
    assert "%(" not in told
    assert told.endswith("Mend the kit’s record, or put the figure right.")


def test_every_finding_has_its_sentence_and_its_example() -> None:
    assert set(FINDINGS) == {code for _kit, _typed, code in CONTRADICTIONS}


@pytest.mark.parametrize(
    ("typed", "field", "code"),
    [
        ({"rope_m": -1}, "kits.0.rope_m", "out-of-range"),
        ({"ratio": 2.5}, "kits.0.ratio", "not-whole"),
        ({"used": 1.9}, "kits.0.used", "not-whole"),
        ({"efficiency": 1.2}, "kits.0.efficiency", "out-of-range"),
        ({"en341_class": "Z"}, "kits.0.en341_class", "not-a-class"),
        ({"lower_m_s": 0}, "lower_m_s", "out-of-range"),
        ({"speed": 1}, "speed", "not-known"),
    ],
)
def test_figures_out_of_range_are_refused(typed: dict[str, Any], field: str, code: str) -> None:
    with pytest.raises(Refused) as refused:
        summed(**typed)
    assert (refused.value.field, refused.value.code) == (field, code)
