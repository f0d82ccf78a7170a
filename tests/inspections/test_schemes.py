"""Jurisdiction files: what they say, how they are read, and that the shortest interval wins."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from inspections.rules.kinds import KINDS, may_release, satisfies
from inspections.rules.scheme_files import read_scheme
from inspections.rules.schemes import Interval, Scheme, interval, last_day_rule
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
