"""A file that was written is answered as the site itself."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given

from readiness.rules.cover import answers
from readiness.rules.situation import Person, Situation
from readiness.rules.what_if import as_json, read_what_if
from readiness.rules.what_if_writing import what_if_file
from tests.readiness.cover_sites import site as drawn
from tests.readiness.cover_sites import sites
from tests.readiness.test_cover_properties import sampled


def through_the_file(site: Situation) -> Situation:
    ((_, read),) = read_what_if(what_if_file([("S", site)]))
    return read


@sampled
@given(sites(most_tasks=3))
def test_a_written_site_is_answered_the_same(site: Situation) -> None:
    assert as_json(answers(through_the_file(site))) == as_json(answers(site))


@sampled
@given(sites(most_tasks=2))
def test_what_was_written_and_read_is_written_the_same_again(site: Situation) -> None:
    once = what_if_file([("S", site)])

    assert what_if_file(read_what_if(once)) == once


def test_two_people_of_one_name_stay_two_people() -> None:
    people = (Person("1", "Ada", "A"), Person("2", "Ada", "B"))

    read = through_the_file(Situation(on=date(2026, 3, 9), people=people))

    assert [one.name for one in read.people] == ["Ada (1)", "Ada (2)"]


@pytest.mark.parametrize("change", ["exposed", "due"])
def test_what_is_not_known_never_reads_better_than_it_is(change: str) -> None:
    site = next(one for one in (drawn(seed, 1) for seed in range(99)) if _all_covered(one))
    if change == "exposed":
        unknown = replace(site, tasks=tuple(replace(one, exposed=()) for one in site.tasks))
    else:
        unknown = replace(site, anchors=tuple(replace(one, due=None) for one in site.anchors))

    states = {answer.state for answer in answers(through_the_file(unknown)).values()}

    assert states <= {"not-assessed", "not-covered"}


def _all_covered(site: Situation) -> bool:
    found = answers(site)
    return bool(found) and all(one.covered for one in found.values())


def test_the_file_names_its_limits() -> None:
    made = json.loads(what_if_file([("S", Situation(on=date(2026, 3, 9)))]))

    assert made["policy"]["alarm_minutes"] == 1
