"""The clocks of an item: what starts them, when they end, and which one governs."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from inspections.rules.clocks import (
    CLOCK_NAMES,
    Clock,
    clocks,
    governing,
    if_passed,
    last_day_after,
)
from inspections.rules.item_facts import InspectionFact, ItemFacts
from inspections.rules.kinds import KINDS
from inspections.rules.scheme_files import read_scheme
from inspections.rules.schemes import Scheme
from inspections.rules.verdict import VERDICTS

ROOT = Path(__file__).parents[2]


def scheme(slug: str) -> Scheme:
    return read_scheme((ROOT / f"fixtures/schemes/{slug}.json").read_text(encoding="utf-8"))


SCHEMES = {file.stem: scheme(file.stem) for file in (ROOT / "fixtures/schemes").glob("*.json")}
GB, FR, PRACTICE = SCHEMES["gb"], SCHEMES["fr"], SCHEMES["practice"]
DUE_DATES = list(csv.DictReader((ROOT / "tests/vectors/due-dates.csv").open(encoding="utf-8")))

HARNESS = ItemFacts(class_slug="harness", use_class="normal")
DESCENDER = ItemFacts(class_slug="descender", use_class="rescue")
ANCHOR = ItemFacts(class_slug="anchor", use_class="normal")


def passed(on: str, kind: str = "detailed", **more: object) -> InspectionFact:
    base = InspectionFact(kind=kind, performed_on=day(on), verdict="pass", counts=True)
    return replace(base, **more)  # type: ignore[arg-type]


def day(text: str) -> date:
    return date.fromisoformat(text)


def inspected(facts: ItemFacts, *inspections: InspectionFact) -> ItemFacts:
    return replace(facts, inspections=inspections)


def last_days(facts: ItemFacts) -> dict[str, str | None]:
    return {
        clock.name: clock.last_day.isoformat() if clock.last_day else None
        for clock in clocks(facts, (GB, PRACTICE))
    }


@pytest.mark.parametrize("row", DUE_DATES, ids=lambda row: f"{row['performed']}+{row['months']}")
def test_the_last_good_day_is_the_due_day(row: dict[str, str]) -> None:
    nowhere = read_scheme(
        '{"scheme": "xx", "name": "Nowhere", "last_day_rule": "inclusive", "last_day_source": "-",'
        '"intervals": [{"classes": ["@every"], "uses": ["every"], "kind": "detailed", "months": '
        + row["months"]
        + ', "source": "made up for this test", "status": "policy"}]}'
    )
    first = governing(clocks(inspected(HARNESS, passed(row["performed"])), (nowhere,)))
    assert str(first.last_day) == row["last_day_in_date"]


def test_in_france_the_last_good_day_is_the_one_before_the_anniversary() -> None:
    light = replace(HARNESS, use_class="light", inspections=(passed("2025-05-31"),))
    assert governing(clocks(light, (FR,))).last_day == date(2026, 5, 30)


def test_a_clock_names_its_start_its_length_and_its_source() -> None:
    assert clocks(inspected(HARNESS, passed("2026-02-14")), (GB,)) == (
        Clock(
            "detailed",
            date(2026, 8, 14),
            date(2026, 2, 14),
            6,
            "HSE INDG367: webbing lanyards at least every 6 months; "
            "principles carried to harnesses and rope",
        ),
    )


def test_an_item_without_any_inspection_on_record_has_a_clock_that_is_not_known() -> None:
    first = governing(clocks(HARNESS, (GB,)))
    assert (first.name, first.last_day, first.missing) == ("detailed", None, "inspection")


def test_a_class_without_an_interval_is_not_known_either() -> None:
    assert clocks(inspected(HARNESS, passed("2026-01-01")), ()) == (
        Clock("detailed", None, missing="interval"),
    )


def test_an_early_inspection_restarts_the_clock_from_its_own_day() -> None:
    twice = inspected(HARNESS, passed("2026-01-31"), passed("2026-03-02"))
    assert last_days(twice) == {"detailed": "2026-09-02"}


@pytest.mark.parametrize("verdict", [slug for slug in VERDICTS if not slug.startswith("pass")])
def test_an_inspection_that_is_not_passed_makes_no_due_date(verdict: str) -> None:
    one = passed("2026-06-01", verdict=verdict)
    assert last_days(inspected(HARNESS, one)) == {"detailed": None}
    assert last_days(inspected(HARNESS, passed("2026-01-01"), one)) == {"detailed": "2026-07-01"}


def test_an_inspection_that_does_not_count_moves_nothing() -> None:
    late = passed("2026-06-01", counts=False)
    assert last_days(inspected(HARNESS, passed("2026-01-01"), late)) == {"detailed": "2026-07-01"}


@pytest.mark.parametrize("kind", ["pre-use", "sighting", "interim", "kit-check", "maker-service"])
def test_a_weaker_kind_does_not_move_the_periodic_clock(kind: str) -> None:
    weaker = passed("2026-06-01", kind)
    assert last_days(inspected(HARNESS, passed("2026-01-01"), weaker)) == {"detailed": "2026-07-01"}


def test_a_periodic_examination_stands_in_for_an_interim_inspection() -> None:
    arduous = replace(HARNESS, use_class="arduous", inspections=(passed("2026-01-10"),))
    assert last_days(arduous) == {"interim": "2026-02-10", "detailed": "2026-04-10"}


def test_a_thorough_examination_is_periodic_only_if_it_followed_the_makers_procedure() -> None:
    periodic = passed("2026-01-01")
    thorough = passed("2026-03-01", "thorough-examination")
    told = replace(thorough, covers_periodic=True)
    assert last_days(inspected(DESCENDER, periodic, thorough)) == {
        "detailed": "2026-07-01",
        "thorough-examination": "2026-09-01",
    }
    assert last_days(inspected(DESCENDER, periodic, told)) == {
        "detailed": "2026-09-01",
        "thorough-examination": "2026-09-01",
    }


def test_new_equipment_runs_from_its_acceptance() -> None:
    assert last_days(replace(HARNESS, accepted_on=day("2026-01-05"))) == {"detailed": "2026-07-05"}
    accepted = inspected(DESCENDER, passed("2026-01-05", "acceptance"))
    assert last_days(accepted) == {"detailed": "2026-07-05", "thorough-examination": "2026-07-05"}


def test_first_use_before_acceptance_starts_the_clock_and_later_use_does_not() -> None:
    accepted = replace(HARNESS, accepted_on=day("2026-01-05"))
    before = replace(accepted, first_used_on=day("2025-12-01"))
    after = replace(accepted, first_used_on=day("2026-03-01"))
    assert last_days(before) == {"detailed": "2026-06-01"}
    assert last_days(after) == {"detailed": "2026-07-05"}


def test_first_use_without_an_acceptance_starts_nothing() -> None:
    used = replace(HARNESS, first_used_on=day("2026-01-05"))
    assert last_days(used) == {"detailed": None}


def test_a_second_acceptance_does_not_restart_a_clock() -> None:
    again = inspected(HARNESS, passed("2026-01-01"), passed("2026-05-01", "acceptance"))
    assert last_days(again) == {"detailed": "2026-07-01"}


def test_an_anchor_runs_from_its_installation_and_not_from_acceptance_in_stores() -> None:
    assert last_days(replace(ANCHOR, accepted_on=day("2026-01-05"))) == {"detailed": None}
    fixed = inspected(ANCHOR, passed("2026-02-01", "installation"))
    assert last_days(fixed) == {"detailed": "2027-02-01"}


def test_a_harder_use_counts_from_the_last_inspection_and_may_be_overdue_at_once() -> None:
    normal = inspected(HARNESS, passed("2026-01-10"))
    assert governing(clocks(normal, (GB,))).last_day == date(2026, 7, 10)
    harder = replace(normal, use_class="training")
    assert governing(clocks(harder, (GB, PRACTICE))).last_day == date(2026, 4, 10)


def test_the_makers_and_the_employers_shorter_intervals_govern() -> None:
    both = replace(HARNESS, periodic_months=4, own_months=2, inspections=(passed("2026-01-10"),))
    first = governing(clocks(both, (GB,)))
    assert (first.last_day, first.source) == (date(2026, 3, 10), "employer")


def test_the_makers_service_has_its_own_clock() -> None:
    block = ItemFacts(class_slug="retractable", use_class="light", service_months=12)
    both = inspected(block, passed("2026-03-01"), passed("2025-06-01", "maker-service"))
    assert last_days(both) == {"maker-service": "2026-06-01", "detailed": "2027-03-01"}


def test_an_earlier_day_written_by_the_inspector_governs_until_the_next_pass() -> None:
    short = passed("2026-01-01", valid_until_on=day("2026-03-31"))
    assert last_days(inspected(HARNESS, short)) == {
        "inspector-date": "2026-03-31",
        "detailed": "2026-07-01",
    }
    assert last_days(inspected(HARNESS, short, passed("2026-03-20"))) == {"detailed": "2026-09-20"}


def test_a_later_day_written_by_the_inspector_lengthens_nothing() -> None:
    generous = passed("2026-01-01", valid_until_on=day("2027-01-01"))
    first = governing(clocks(inspected(HARNESS, generous), (GB,)))
    assert (first.name, first.last_day) == ("detailed", date(2026, 7, 1))


def test_a_defect_to_come_is_a_clock_until_a_later_periodic_examination_is_passed() -> None:
    found = passed("2026-01-01", verdict="pass-with-conditions", danger_by=(day("2026-02-15"),))
    looked_at = passed("2026-02-01", "interim")
    put_right = passed("2026-02-10")
    assert last_days(inspected(HARNESS, found, looked_at)) == {
        "defect": "2026-02-15",
        "detailed": "2026-07-01",
    }
    assert last_days(inspected(HARNESS, found, put_right)) == {"detailed": "2026-08-10"}


def test_a_defect_found_by_someone_not_authorised_is_a_clock_all_the_same() -> None:
    found = passed("2026-01-01", "pre-use", counts=False, danger_by=(day("2026-02-15"),))
    assert last_days(inspected(HARNESS, passed("2025-12-01"), found))["defect"] == "2026-02-15"


def test_life_runs_from_manufacture_and_from_first_use() -> None:
    aged = replace(
        HARNESS,
        made_on=day("2016-02-29"),
        first_used_on=day("2017-05-01"),
        life_from_made_months=120,
        life_from_first_use_months=60,
        inspections=(passed("2026-01-10"),),
    )
    assert last_days(aged) == {
        "life-from-first-use": "2022-05-01",
        "life-from-made": "2026-02-28",
        "detailed": "2026-07-10",
    }


def test_life_without_a_made_date_is_not_known_and_comes_first() -> None:
    aged = replace(HARNESS, life_from_made_months=120, inspections=(passed("2026-01-10"),))
    first = governing(clocks(aged, (GB,)))
    assert (first.name, first.last_day, first.missing) == ("life-from-made", None, "made-date")


def test_storage_life_ends_with_a_first_use_in_time_and_stays_after_one_too_late() -> None:
    stored = replace(
        HARNESS, made_on=day("2024-01-01"), storage_months=24, inspections=(passed("2026-01-10"),)
    )
    assert last_days(stored)["storage"] == "2026-01-01"
    assert "storage" not in last_days(replace(stored, first_used_on=day("2026-01-01")))
    assert last_days(replace(stored, first_used_on=day("2026-01-02")))["storage"] == "2026-01-01"


def test_hire_and_notice_days_are_clocks_too() -> None:
    hired = replace(
        HARNESS,
        hire_end_on=day("2026-04-30"),
        notice_deadlines=(day("2026-03-01"), day("2026-02-01")),
        inspections=(passed("2026-01-10"),),
    )
    assert [(clock.name, str(clock.last_day)) for clock in clocks(hired, (GB,))] == [
        ("notice", "2026-02-01"),
        ("notice", "2026-03-01"),
        ("hire", "2026-04-30"),
        ("detailed", "2026-07-10"),
    ]


def test_what_a_pass_would_bring_is_known_before_it_is_given() -> None:
    due = inspected(HARNESS, passed("2026-01-10"))
    assert if_passed(due, (GB,), kind="detailed", on=day("2026-08-01")).last_day == date(2027, 2, 1)
    assert if_passed(due, (GB,), kind="interim", on=day("2026-08-01")).last_day == date(2026, 7, 10)


DAYS = st.dates(min_value=date(2020, 1, 1), max_value=date(2026, 12, 31))
INSPECTIONS = st.builds(
    InspectionFact,
    kind=st.sampled_from(sorted(KINDS)),
    performed_on=DAYS,
    verdict=st.sampled_from(sorted(VERDICTS)),
    counts=st.booleans(),
    valid_until_on=st.none() | DAYS,
    danger_by=st.lists(DAYS, max_size=2).map(tuple),
    covers_periodic=st.booleans(),
)
ITEMS = st.builds(
    ItemFacts,
    class_slug=st.sampled_from(["harness", "descender", "anchor", "rescue-kit", "retractable"]),
    use_class=st.sampled_from(["light", "arduous", "rescue"]),
    accepted_on=st.none() | DAYS,
    first_used_on=st.none() | DAYS,
    service_months=st.none() | st.just(12),
    inspections=st.lists(INSPECTIONS, max_size=6).map(tuple),
)


@given(ITEMS, st.randoms(use_true_random=False))
def test_the_order_in_which_inspections_were_recorded_makes_no_difference(
    facts: ItemFacts, source: Random
) -> None:
    shuffled = list(facts.inspections)
    source.shuffle(shuffled)
    assert clocks(inspected(facts, *shuffled), (GB, FR)) == clocks(facts, (GB, FR))


@given(ITEMS)
def test_the_earliest_clock_governs_and_no_clock_is_unnamed(facts: ItemFacts) -> None:
    found = clocks(facts, (GB,))
    assert governing(reversed(found)) == found[0]
    assert [clock.name for clock in found if clock.name not in CLOCK_NAMES] == []
    assert [clock for clock in found if (clock.last_day is None) != bool(clock.missing)] == []
    if found[0].last_day:
        assert found[0].last_day == min(clock.last_day for clock in found if clock.last_day)


@given(ITEMS, INSPECTIONS)
def test_an_inspection_that_does_not_count_never_lengthens_anything(
    facts: ItemFacts, one: InspectionFact
) -> None:
    more = inspected(facts, *facts.inspections, replace(one, counts=False))
    before, after = governing(clocks(facts, (GB,))), governing(clocks(more, (GB,)))
    assert (after.last_day or date.min) <= (before.last_day or date.min)


@given(ITEMS)
def test_a_stricter_reading_of_the_last_day_never_lengthens_anything(facts: ItemFacts) -> None:
    inclusive, strict = GB, replace(GB, last_day_rule="day-before")
    one, two = governing(clocks(facts, (inclusive,))), governing(clocks(facts, (strict,)))
    floor = date.min + timedelta(days=1)
    assert (two.last_day or floor) <= (one.last_day or floor)


# The clocks of installed equipment: WAHR 2005 reg 12(2), not used until inspected in that position.
def test_an_anchor_put_up_elsewhere_is_inspected_there_before_use() -> None:
    fixed = inspected(ANCHOR, passed("2026-02-01", "installation"))
    moved = replace(fixed, fixed_on=day("2026-05-01"))
    first = governing(clocks(moved, (GB,)))
    assert (first.name, first.last_day, first.missing) == ("installation", None, "moved")
    assert first.source.startswith("Work at Height Regulations 2005 reg 12(2)")
    again = inspected(moved, *moved.inspections, passed("2026-05-01", "installation"))
    assert last_days(again) == {"detailed": "2027-05-01"}


@pytest.mark.parametrize("kind", ["pre-use", "interim", "sighting", "acceptance", "maker-service"])
def test_no_weaker_look_makes_a_moved_anchor_good(kind: str) -> None:
    moved = replace(ANCHOR, fixed_on=day("2026-05-01"))
    looked = inspected(moved, passed("2026-02-01", "installation"), passed("2026-05-02", kind))
    assert governing(clocks(looked, (GB,))).missing == "moved"


def test_a_moved_anchor_is_inspected_there_under_any_scheme_or_none() -> None:
    moved = replace(ANCHOR, fixed_on=day("2026-05-01"))
    assert [clock.missing for clock in clocks(moved, ())] == ["interval", "moved"]


def test_what_is_not_installed_may_hang_anywhere() -> None:
    moved = replace(HARNESS, fixed_on=day("2026-05-01"), inspections=(passed("2026-02-01"),))
    assert last_days(moved) == {"detailed": "2026-08-01"}


def test_the_base_material_asks_for_a_proof_test_of_its_own() -> None:
    tested = replace(ANCHOR, proof_test_months=6)
    both = inspected(tested, passed("2026-02-01", "installation"), passed("2026-04-01"))
    assert last_days(both) == {"installation": "2026-08-01", "detailed": "2027-04-01"}
    never = inspected(tested, passed("2026-04-01"))
    assert governing(clocks(never, (GB,))).missing == "inspection"


def test_a_standard_may_end_a_life_that_the_maker_leaves_open() -> None:
    """AS/NZS 1891.4: textiles at most ten years from manufacture."""
    old = replace(HARNESS, made_on=day("2016-02-29"), inspections=(passed("2026-01-10"),))
    assert "life-from-made" not in {clock.name for clock in clocks(old, (GB,))}
    life = governing(clocks(old, (scheme("au-nz"),)))
    assert (life.name, life.last_day) == ("life-from-made", date(2026, 2, 28))
    shorter = replace(old, life_from_made_months=60)
    assert governing(clocks(shorter, (scheme("au-nz"),))).last_day == date(2021, 2, 28)
    longer = replace(old, life_from_made_months=240)
    assert governing(clocks(longer, (scheme("au-nz"),))).last_day == date(2026, 2, 28)


def test_every_day_agrees_with_an_independent_calendar() -> None:
    """python-dateutil's relativedelta, over every day of five years with two leap days."""
    relativedelta = pytest.importorskip("dateutil.relativedelta").relativedelta
    start = date(2023, 12, 1)
    for days in range(0, 5 * 366, 7):
        performed = start + timedelta(days=days)
        for months in (1, 3, 6, 12, 60, 120):
            due = performed + relativedelta(months=months)
            assert last_day_after(performed, months, "inclusive") == due
            assert last_day_after(performed, months, "day-before") == due - timedelta(days=1)


@given(ITEMS, st.sampled_from(["life_from_made_months", "own_months", "periodic_months"]))
def test_one_more_limit_never_lengthens_anything(facts: ItemFacts, limit: str) -> None:
    bounded = replace(facts, made_on=day("2019-01-01"), **{limit: 9})
    free = replace(bounded, **{limit: None})
    less, more = governing(clocks(bounded, (GB,))), governing(clocks(free, (GB,)))
    assert (less.last_day or date.min) <= (more.last_day or date.min)


@given(ITEMS, st.sets(st.sampled_from(sorted(SCHEMES)), min_size=1))
def test_one_more_scheme_never_lengthens_anything(facts: ItemFacts, chosen: set[str]) -> None:
    some = tuple(SCHEMES[slug] for slug in sorted(chosen))
    one, more = governing(clocks(facts, (GB,))), governing(clocks(facts, (GB, *some)))
    assert (more.last_day or date.min) <= (one.last_day or date.min)
