"""Every code of rescue cover has words, with the names, figures and days it rests on."""

from __future__ import annotations

from datetime import date

import pytest

from readiness.board.lapses import KINDS, kind_of
from readiness.rules.cover import STATES, Answer
from readiness.rules.demand import Resource
from readiness.rules.reasons import CODES, MISSING_KEYS, Reason
from readiness.wording import cause_kind, missing_name, reason_sentence, state_name, state_phrase

FRIDAY = date(2026, 3, 6)
KIT_FINE = {
    "kit": "RK-05",
    "condition": "in service",
    "seal_intact": True,
    "missing": (),
    "passed": (),
}
LOAD = {
    "kit": "RK-05",
    "load_kg": 112,
    "rescuer_kg": 0,
    "max_load_kg": 150,
    "lightest_kg": 68,
    "min_load_kg": 30,
}
WAY = {"minutes": 12, "alarm_minutes": 1, "target_minutes": 10}
FAR = {**WAY, "minutes": float("inf")}
LAPSED = {"person": "Yusuf Karadag", "family": "controlled descent", "valid_to": FRIDAY}
OTHER = {
    "person": "Morag Dunnet",
    "family": "haul and lower",
    "trained_on": ("controlled descent",),
}
CASES: list[tuple[str, dict[str, object], str]] = [
    (
        "restraint-not-proven",
        {"reach_m": 2, "deflection_m": 0.3, "allowance_m": 0.5, "total_m": 2.8, "edge_m": 2.2},
        "Not proven as restraint, so judged as fall arrest: lanyard 2 m, stretch 0.3 m and "
        "allowance 0.5 m make 2.8 m; the edge is at 2.2 m.",
    ),
    (
        "clearance-too-small",
        {"required_m": 6.75, "available_m": 4.2},
        "The system needs 6.75 m of clearance; there are 4.2 m.",
    ),
    ("no-plan", {}, "There is no rescue plan."),
    (
        "plan-relies-on-emergency-services",
        {"method": "call them"},
        "The plan relies on calling the emergency services; that is no rescue plan.",
    ),
    (
        "plan-for-another-method",
        {"method": "lower from above"},
        "The rescue plan is for another way of working than the one used now.",
    ),
    (
        "plan-review-overdue",
        {"reviewed": FRIDAY, "months": 12},
        "The rescue plan was last reviewed on Fri 6 Mar 2026; it is due every 12 months.",
    ),
    (
        "plan-review-overdue",
        {"reviewed": None, "months": 12},
        "The rescue plan was never reviewed.",
    ),
    ("no-kit", {}, "There is no rescue kit at this site."),
    (
        "kit-not-usable",
        {**KIT_FINE, "passed": (("pulley PU-17", "periodic examination", FRIDAY),)},
        "Kit RK-05 is out: pulley PU-17 was last in date on Fri 6 Mar 2026 (periodic examination).",
    ),
    (
        "kit-not-usable",
        {**KIT_FINE, "condition": "quarantined", "seal_intact": False, "missing": ("a hook",)},
        "Kit RK-05 is out: it is quarantined; the seal is broken or not the recorded one; "
        "a hook is missing.",
    ),
    (
        "kit-not-usable",
        {**KIT_FINE, "missing": ("a hook", "pole", "rope 4F (in quarantine: damage found)")},
        "Kit RK-05 is out: a hook and pole are missing; "
        "rope 4F (in quarantine: damage found) cannot be used.",
    ),
    (
        "kit-not-usable",
        {**KIT_FINE, "passed": (("rope", "life", None),)},
        "Kit RK-05 is out: rope has no date on record (life).",
    ),
    (
        "kit-lacks-function",
        {"kit": "RK-05", "lacking": ("raise", "remote attach")},
        "Kit RK-05 cannot raise and attach from a distance, which this rescue needs.",
    ),
    (
        "kit-too-short",
        {"kit": "RK-05", "way": "lower", "height_m": 92, "max_height_m": 40},
        "Kit RK-05 lowers 40 m; this work is 92 m up.",
    ),
    (
        "kit-too-short",
        {"kit": "RK-05", "way": "raise", "height_m": 92, "max_height_m": 40},
        "Kit RK-05 raises 40 m; here it is 92 m up to safety.",
    ),
    (
        "kit-too-short",
        {"kit": "RK-05", "way": "raise", "height_m": None, "max_height_m": 40},
        "Kit RK-05 can only raise, and the height to raise is not known.",
    ),
    (
        "kit-load-out-of-range",
        {**LOAD, "load_kg": 160},
        "Kit RK-05 carries 150 kg; the heaviest here is 160 kg.",
    ),
    (
        "kit-load-out-of-range",
        {**LOAD, "load_kg": 248, "rescuer_kg": 100},
        "Kit RK-05 carries 150 kg; with the rescuer it is 248 kg.",
    ),
    (
        "kit-load-out-of-range",
        {**LOAD, "lightest_kg": 25},
        "Kit RK-05 needs 30 kg or more; the lightest is 25 kg.",
    ),
    (
        "kit-load-out-of-range",
        {**LOAD, "lightest_kg": None},
        "Kit RK-05 needs 30 kg or more; the lightest is not known.",
    ),
    (
        "kit-descent-energy-exceeded",
        {"kit": "RK-05", "energy_j": 1_600_500, "max_energy_j": 1_500_000, "stranded": 3},
        "The descender of kit RK-05 takes 1500 kJ; 3 to lower make 1600.5 kJ.",
    ),
    (
        "kit-out-of-reach",
        {"kit": "RK-05", "locked": True, **WAY},
        "Kit RK-05 is locked away in these hours.",
    ),
    (
        "kit-out-of-reach",
        {"kit": "RK-05", "locked": False, **WAY},
        "Kit RK-05 is 12 min away, with the alarm 1 min more; the target is 10 min.",
    ),
    (
        "kit-out-of-reach",
        {"kit": "RK-05", "locked": False, **FAR},
        "It is not recorded where kit RK-05 hangs, or not how far that is from this task.",
    ),
    ("no-rescue-anchor", {"anchors": ()}, "No rescue anchor is recorded for this task."),
    (
        "no-rescue-anchor",
        {
            "anchors": (
                {"id": "AN-1", "name": "", "condition": "in service", "due": FRIDAY},
                {"id": "AN-2", "name": "Roof east", "condition": "quarantined", "due": FRIDAY},
                {"id": "AN-3", "name": "", "condition": "in service", "due": None},
            )
        },
        "No rescue anchor is usable: AN-1 was last in date on Fri 6 Mar 2026; "
        "Roof east is quarantined; AN-3 has no date on record.",
    ),
    ("no-rescuer", {}, "Nobody on site in these hours is trained in rescue."),
    (
        "no-rescuer",
        {"person": "Huw Penry", "on_site": False},
        "Huw Penry is not on site in these hours.",
    ),
    (
        "no-rescuer",
        {"person": "Huw Penry", "on_site": True},
        "Huw Penry is not trained in rescue.",
    ),
    (
        "rescuer-lapsed",
        {"family": "controlled descent", "needed": 1, "misses": (LAPSED,)},
        "Yusuf Karadag: training on controlled descent ended on Fri 6 Mar 2026.",
    ),
    (
        "rescuer-for-other-kit",
        OTHER,
        "Morag Dunnet is trained on controlled descent, not on haul and lower.",
    ),
    (
        "rescuer-is-exposed",
        {"family": "rope", "needed": 1, "people": ("Tomasz Bielak",), "tasks": ("CQ-2",)},
        "Only Tomasz Bielak is trained on this kit in these hours, and may be the one on the rope.",
    ),
    (
        "rescuer-is-exposed",
        {"family": "rope", "needed": 1, "people": ("Ines Carrow", "Tomasz Bielak"), "tasks": ()},
        "Only Ines Carrow and Tomasz Bielak are trained on this kit in these hours, "
        "and they may be the ones on the rope.",
    ),
    (
        "rescuer-is-exposed",
        {"misses": ({"person": "Dilip Nair", "tasks": ("SV-2", "SV-3")},)},
        "Dilip Nair may be the one on the rope of SV-2 and SV-3.",
    ),
    (
        "rescuer-is-exposed",
        {"person": "Dilip Nair", "tasks": ("SV-2",)},
        "Dilip Nair may be the one on the rope of SV-2.",
    ),
    (
        "too-few-rescuers",
        {"family": "rope", "needed": 2, "people": ("Morag Dunnet",)},
        "Only Morag Dunnet can rescue with this kit in these hours; 2 are needed.",
    ),
    (
        "rescuer-out-of-reach",
        {"misses": ({"person": "Morag Dunnet", **WAY}, {"person": "Huw Penry", **FAR})},
        "Morag Dunnet is 12 min away, with the alarm 1 min more; the target is 10 min. "
        "No way is recorded from Huw Penry to this task.",
    ),
    (
        "no-first-aider",
        {"within_minutes": 10, "exposed": ()},
        "No first aider in date is within 10 min.",
    ),
    (
        "no-first-aider",
        {"within_minutes": 10, "exposed": ("Ines Carrow",)},
        "The only first aider near enough is Ines Carrow, who may be the one on the rope.",
    ),
    ("drill-due", {"drill_on": None, "months": 12}, "This rescue plan was never drilled."),
    (
        "drill-due",
        {"drill_on": FRIDAY, "months": 12},
        "The last drill was on Fri 6 Mar 2026; one is due every 12 months.",
    ),
    (
        "drill-due",
        {"drill_on": FRIDAY, "months": 1},
        "The last drill was on Fri 6 Mar 2026; one is due every month.",
    ),
    (
        "drill-too-slow",
        {"minutes": 14, "target_minutes": 10},
        "The last drill took 14 min; the target is 10 min.",
    ),
    (
        "rescue-too-slow",
        {**WAY, "kit": "RK-05", "kit_minutes": 5, "way_minutes": 5, "drill_minutes": 6},
        "Alarm 1, way 5 and drill 6 make 12 min with kit RK-05; the target is 10 min.",
    ),
    (
        "contested",
        {"tasks": ("SV-1", "SV-3")},
        "It could be covered alone, but SV-1 and SV-3 need the same kit or people then: give first "
        "call, or do them at different times.",
    ),
    (
        "contested",
        {"tasks": ("SV-2",)},
        "It could be covered alone, but SV-2 needs the same kit or people then: give one of them "
        "first call, or do them at different times.",
    ),
    (
        "search-not-finished",
        {"tasks": ("SV-1",)},
        "Too many tasks, kits and people depend on each other here: the search was not finished, "
        "so the task does not count as covered.",
    ),
]


@pytest.mark.parametrize(("code", "facts", "sentence"), CASES)
def test_a_reason_is_told_in_one_plain_sentence(
    code: str, facts: dict[str, object], sentence: str
) -> None:
    assert reason_sentence(Reason(code, facts)) == sentence


def test_no_code_is_left_without_a_sentence() -> None:
    assert {code for code, _, _ in CASES} == {*CODES, "restraint-not-proven"}


def test_every_state_and_every_missing_key_has_words() -> None:
    assert all(state_name(state) for state in STATES)
    assert all(missing_name(key) for key in MISSING_KEYS)


def test_what_cover_hangs_on_is_named() -> None:
    answer = Answer(
        "covered-no-backup", hangs_on=(Resource("kit", "RK-01"), Resource("person", "17"))
    )
    assert (
        state_phrase(answer, {"17": "Morag Dunnet"})
        == "Covered, no backup: hangs on RK-01 and Morag Dunnet"
    )
    assert state_phrase(Answer("not-covered"), {}) == "Not covered"


def test_every_kind_of_cause_has_a_heading() -> None:
    assert len({cause_kind(kind) for kind in KINDS}) == len(KINDS)
    assert {kind_of(Reason(code)) for code in CODES} == set(KINDS)
