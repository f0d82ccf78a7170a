"""Promises of the style sheets: contrast in both schemes, size, one place for colours."""

import re
from pathlib import Path

import pytest

SHEETS = Path(__file__).resolve().parents[2] / "register" / "static" / "register"
TAG = (SHEETS / "tag.css").read_text(encoding="utf-8")
APP = (SHEETS / "app.css").read_text(encoding="utf-8")

COLOUR = re.compile(r"--([\w-]+): (#[0-9a-f]{6})")
LIGHT_PART, DARK_PART = TAG.split("@media (prefers-color-scheme: dark)")
LIGHT = dict(COLOUR.findall(LIGHT_PART))
DARK = LIGHT | dict(COLOUR.findall(DARK_PART.split("*, ::before")[0]))


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, 'relative luminance'."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.2, 'contrast ratio'."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("scheme", [LIGHT, DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["canvas", "paper"])
@pytest.mark.parametrize(
    ("name", "least"),
    [
        ("ink", 7.0),  # all words on site and on the tag page
        ("link", 7.0),
        ("oxide", 7.0),
        ("slate", 4.5),  # second-rank words in stores; on site they are ink
        ("rope-deep", 4.5),
        ("edge", 3.0),  # borders of controls, WCAG 2.2, 1.4.11
        ("rope", 3.0),
        ("hivis", 3.0),
    ],
)
def test_a_colour_stands_out_enough_in_both_schemes(
    scheme: dict[str, str], ground: str, name: str, least: float
) -> None:
    assert contrast(scheme[name], scheme[ground]) >= least


def test_the_dark_scheme_gives_every_colour_again() -> None:
    assert set(COLOUR.findall(DARK_PART.split("*, ::before")[0])) >= {
        (name, DARK[name]) for name in LIGHT
    }


def test_colours_are_named_in_one_place() -> None:
    screen = APP.split("@media print")[0]
    assert re.findall(r"#[0-9a-f]{3,8}\b|rgba?\(|hsla?\(", screen) == []


def test_the_hivis_colour_marks_only_what_falls_short() -> None:
    users = re.findall(r"^(\S.*?) \{[^}]*var\(--hivis\)", TAG + APP, re.MULTILINE)
    assert sorted(users) == [".d-short", ".line .fray"]


def test_the_sheets_stay_small() -> None:
    assert len(TAG.encode()) < 8_000
    assert len(APP.splitlines()) < 600


def test_nothing_is_fetched_from_elsewhere() -> None:
    assert re.findall(r"url\(|@import|https?:", TAG + APP) == []
