"""Jurisdiction files: what they say, how they are read, and that the shortest interval wins."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from inspections.rules.kinds import KINDS, may_release, satisfies
from inspections.rules.scheme_files import read_scheme
from inspections.rules.schemes import (
    Interval,
    Scheme,
    asked_after,
    interval,
    kept_until,
    last_day_rule,
    needed_before_use,
)
from register.rules.classes import CLASSES, USE_CLASSES
from register.rules.conditions import QUARANTINE_REASONS

FOLDER = Path(__file__).parents[2] / "fixtures" / "schemes"


def scheme(slug: str) -> Scheme:
    return read_scheme((FOLDER / f"{slug}.json").read_text(encoding="utf-8"), f"{slug}.json")


GB, EU, FR, PRACTICE = scheme("gb"), scheme("eu"), scheme("fr"), scheme("practice")


def months(class_slug: str, use: str, kind: str = "detailed", *schemes: Scheme) -> int | None:
    found = interval(schemes or (GB, PRACTICE), class_slug, use, kind)
    return found and found.months


@pytest.mark.parametrize("path", sorted(FOLDER.glob("*.json")), ids=lambda path: path.stem)
def test_every_jurisdiction_file_is_read_and_is_called_after_its_scheme(path: Path) -> None:
    assert read_scheme(path.read_text(encoding="utf-8"), path.name).slug == path.stem


@pytest.mark.parametrize("one", [GB, EU, FR], ids=lambda one: one.slug)
def test_every_class_in_every_use_is_examined_at_least_every_twelve_months(one: Scheme) -> None:
    found = [
        months(class_slug, use, "detailed", one) for class_slug in CLASSES for use in USE_CLASSES
    ]
    assert [n for n in found if n is None or n > 12] == []


# Sources: HSE INDG367 (textiles 6 and 3 months), BS 7883 (anchors 12), EN 365 (cap 12);
# the other rows follow the typical employer's regime in the file, marked as policy.
@pytest.mark.parametrize(
    ("class_slug", "use", "expected"),
    [
        ("energy-absorbing-lanyard", "light", 6),
        ("harness", "normal", 6),
        ("harness", "arduous", 3),
        ("rope", "light", 6),
        ("connector", "light", 12),
        ("connector", "normal", 6),
        ("retractable", "arduous", 3),
        ("anchor", "normal", 12),
        ("anchor", "arduous", 12),
        ("descender", "rescue", 6),
        ("harness", "training", 3),
    ],
)
def test_periodic_examinations_in_great_britain(class_slug: str, use: str, expected: int) -> None:
    assert months(class_slug, use) == expected


# Source: LOLER 1998 reg 9(3)(a)(i), six months for lifting persons.
@pytest.mark.parametrize(
    ("class_slug", "use", "expected"),
    [
        ("descender", "rescue", 6),
        ("lifting-device", "normal", 6),
        ("rescue-kit", "rescue", 6),
        ("connector", "rescue", 6),
        ("connector", "normal", None),
        ("energy-absorbing-lanyard", "normal", None),
        ("anchor", "normal", None),
    ],
)
def test_thorough_examinations_in_great_britain(
    class_slug: str, use: str, expected: int | None
) -> None:
    assert months(class_slug, use, "thorough-examination") == expected


def test_the_shortest_of_all_schemes_wins() -> None:
    assert months("rope", "light", "detailed", EU) == 12
    assert months("rope", "light", "detailed", EU, GB) == 6
    assert months("rope", "light", "detailed", GB, EU) == 6


def test_a_maker_or_an_employer_can_only_shorten_an_interval() -> None:
    longer, shorter = Interval(24, "maker", "stated"), Interval(2, "employer", "stated")
    shortest = interval((GB,), "harness", "normal", "detailed", own=(longer,))
    assert shortest is not None
    assert shortest.months == 6
    assert interval((GB,), "harness", "normal", "detailed", own=(longer, shorter)) == shorter


def test_the_strictest_reading_of_the_last_day_wins() -> None:
    assert [last_day_rule(some) for some in ((GB,), (FR,), (GB, FR))] == [
        "inclusive",
        "day-before",
        "day-before",
    ]


def file_with(**changes: object) -> str:
    line = {
        "classes": ["harness"],
        "uses": ["every"],
        "kind": "detailed",
        "months": 6,
        "source": "made up for this test",
        "status": "policy",
    }
    head = {"scheme": "xx", "name": "Nowhere", "last_day_rule": "inclusive", "last_day_source": "-"}
    return json.dumps({**head, "intervals": [{**line, **changes}]})


def test_a_new_jurisdiction_is_a_file_and_no_code() -> None:
    nowhere = read_scheme(file_with(classes=["@metal", "@not-lifts-persons"], months=4))
    assert months("connector", "light", "detailed", nowhere) == 4
    assert months("descender", "light", "detailed", nowhere) is None


# Expected by hand from the trade's rule 'a stronger kind satisfies a weaker one'.
@pytest.mark.parametrize(
    ("kind", "restarts", "restarts_if_told"),
    [
        ("pre-use", [], []),
        ("acceptance", [], []),
        ("interim", ["interim"], ["interim"]),
        ("detailed", ["detailed", "interim"], ["detailed", "interim"]),
        (
            "thorough-examination",
            ["interim", "thorough-examination"],
            ["detailed", "interim", "thorough-examination"],
        ),
        ("after-event", [], ["detailed"]),
        ("special", [], ["detailed"]),
        ("maker-service", ["maker-service"], ["detailed", "maker-service"]),
        ("installation", ["detailed", "interim"], ["detailed", "interim"]),
        ("kit-check", ["kit-check"], ["kit-check"]),
        ("sighting", [], []),
    ],
)
def test_which_clocks_a_kind_of_inspection_restarts(
    kind: str, restarts: list[str], restarts_if_told: list[str]
) -> None:
    timed = ["detailed", "interim", "kit-check", "maker-service", "thorough-examination"]
    assert [one for one in timed if satisfies(kind, one, covers_periodic=False)] == restarts
    assert [one for one in timed if satisfies(kind, one, covers_periodic=True)] == restarts_if_told


def test_every_kind_is_listed_above() -> None:
    assert len(KINDS) == 11


@pytest.mark.parametrize("reason", QUARANTINE_REASONS)
def test_no_user_check_or_sighting_ends_a_quarantine(reason: str) -> None:
    assert not may_release(reason, "pre-use")
    assert not may_release(reason, "sighting")
    assert [kind for kind in KINDS if may_release(reason, kind)] != []


def test_a_safety_notice_needs_its_special_inspection() -> None:
    assert [kind for kind in KINDS if may_release("safety-notice", kind)] == ["special"]


JURISDICTIONS = (
    *("gb", "ni", "ie", "eu", "fr", "de", "us", "us-ca", "us-ansi", "ca", "au-nz"),
    "practice",
)


def test_the_jurisdictions_are_these() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.json")) == sorted(JURISDICTIONS)


# Sources beside each row; intervals without one were not found in the texts read.
@pytest.mark.parametrize(
    ("slug", "class_slug", "use", "expected"),
    [
        ("ni", "harness", "normal", 6),  # as Great Britain
        ("ie", "connector", "normal", 12),  # EN 365
        ("fr", "harness", "light", 12),  # arrêté of 19 March 1993 art. 1
        ("de", "rope", "arduous", 12),  # DGUV 112-198 and 112-199
        ("us", "harness", "arduous", None),  # no federal periodic interval
        ("us-ca", "harness", "light", 6),  # Title 8 s. 1670, twice a year
        ("us-ansi", "harness", "arduous", 12),  # Z359.2, yearly
        ("us-ansi", "retractable", "light", 12),  # Z359.14, by type of use, the shorter end
        ("us-ansi", "retractable", "normal", 6),
        ("us-ansi", "retractable", "rescue", 6),
        ("us-ansi", "retractable", "arduous", 3),
        ("us-ansi", "retractable", "training", 3),
        ("ca", "harness", "normal", 12),  # CSA Z259.10
        ("au-nz", "harness", "light", 6),  # AS/NZS 1891.4 section 9
        ("au-nz", "anchor", "normal", 12),
        ("au-nz", "horizontal-lifeline", "normal", 6),
    ],
)
def test_periodic_examinations_elsewhere(
    slug: str, class_slug: str, use: str, expected: int | None
) -> None:
    assert months(class_slug, use, "detailed", scheme(slug)) == expected


def test_only_france_takes_the_anniversary_as_too_late() -> None:
    found = {slug for slug in JURISDICTIONS if scheme(slug).last_day_rule == "day-before"}
    assert found == {"fr"}


@pytest.mark.parametrize("slug", JURISDICTIONS)
def test_every_jurisdiction_says_what_follows_an_arrest_and_who_looks(slug: str) -> None:
    one = scheme(slug)
    if slug != "practice":
        for class_slug in CLASSES:
            assert list(asked_after([one], class_slug, "arrested-a-fall"))
        assert one.examiners
        assert one.user_checks


def test_no_line_is_called_read_that_was_read_as_a_paraphrase() -> None:
    lines = [line for slug in JURISDICTIONS for line in sourced(scheme(slug))]
    assert [one for one in lines if one.status == "read" and "paraphrase" in one.source] == []
    assert [one for one in lines if one.status == "read" and "not read" in one.source] == []


def sourced(one: Scheme) -> list[Any]:
    told: list[Any] = [line.interval for line in (*one.lines, *one.lives)]
    others = (one.user_checks, one.before_use, one.after_events, one.retention)
    return told + [line for each in (*others, one.particulars, one.examiners) for line in each]


# LOLER 1998 reg 9(1): new, and declared no more than twelve months before first service.
@pytest.mark.parametrize(
    ("declared", "passes", "needed"),
    [
        (date(2025, 3, 9), [], 0),
        (date(2025, 3, 8), [], 1),
        (None, [], 1),
        (None, ["detailed"], 1),
        (None, ["thorough-examination"], 0),
    ],
)
def test_lifting_equipment_is_examined_before_first_use_unless_new(
    declared: date | None, passes: list[str], needed: int
) -> None:
    found = needed_before_use(
        [GB], "descender", date(2026, 3, 9), declared_on=declared, made_on=None, passed=passes
    )
    assert len(found) == needed


def test_what_has_lain_for_more_than_a_year_is_looked_at_before_first_use() -> None:
    def needed(made: date | None) -> int:
        on, years = date(2026, 3, 9), {"declared_on": None, "made_on": made, "passed": ()}
        return len(needed_before_use([PRACTICE], "harness", on, **years))  # type: ignore[arg-type]

    assert [needed(made) for made in (date(2025, 3, 9), date(2025, 3, 8), None)] == [0, 1, 1]


def test_exceptional_circumstances_ask_for_a_thorough_examination_of_lifting_equipment() -> None:
    """LOLER 1998 reg 9(3)(a)(iv), beside the inspection of the Work at Height Regulations."""
    asked = [line.kinds for line in asked_after([GB], "descender", "suspected-load")]
    assert frozenset({"thorough-examination"}) in asked
    plain = [line.kinds for line in asked_after([GB], "harness", "suspected-load")]
    assert all("after-event" in kinds for kinds in plain)
    assert list(asked_after([GB], "descender", "label-unreadable")) == []


def test_a_reason_that_no_table_knows_counts_as_an_event() -> None:
    assert [line.source for line in asked_after([GB], "harness", "struck-by-lightning")] != []


# The worked examples of LOLER 1998 reg 11: until the next report or two years, the later.
@pytest.mark.parametrize(
    ("next_on", "expected"),
    [
        (date(2025, 9, 1), date(2027, 3, 1)),
        (date(2027, 6, 1), date(2027, 6, 1)),
        (None, None),
    ],
)
def test_a_report_is_kept_until_the_next_or_two_years(
    next_on: date | None, expected: date | None
) -> None:
    (line,) = [one for one in GB.retention if one.record == "thorough-examination"]
    assert kept_until(line, made_on=date(2025, 3, 1), next_made_on=next_on) == expected


def test_a_record_is_kept_five_years_in_ireland_whatever_follows() -> None:
    (line,) = [one for one in scheme("ie").retention if one.record == "inspection"]
    for next_on in (None, date(2026, 1, 1)):
        found = kept_until(line, made_on=date(2024, 2, 29), next_made_on=next_on)
        assert found == date(2029, 2, 28)


def test_a_declaration_is_kept_while_the_equipment_is_in_use() -> None:
    (line,) = [one for one in GB.retention if one.record == "declaration"]
    assert kept_until(line, made_on=date(2025, 3, 1), next_made_on=date(2026, 3, 1)) is None
