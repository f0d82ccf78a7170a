"""Side views: what a scene must hold whatever was worked out, in rules, picture and words."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from reportlab.graphics import renderPDF
from reportlab.graphics.shapes import String

from readiness.documents.hatching import ROLES
from readiness.documents.side_view import picture, picture_svg
from readiness.documents.side_view_columns import PITCH_PT, spread
from readiness.documents.side_view_drawing import HEIGHT_PT, WIDTH_PT, scale_of
from readiness.rules.sums.clearance import Below, Place, clearance
from readiness.rules.sums.clearance_lanyard import Lanyard
from readiness.rules.sums.restraint import Anchorage, Area, Layout, Side, restrained
from readiness.rules.sums.restraint_view import restraint_scene
from readiness.rules.sums.retractable import Retractable
from readiness.rules.sums.side_view import Break, Scene, extent
from readiness.rules.sums.side_view_clearance import Fall, clearance_scene, lowest_point
from readiness.rules.sums.side_view_rescue import Recovery, rescue_scene
from readiness.rules.sums.side_view_swing import Swung, swing_scene
from readiness.rules.sums.swing import swing
from readiness.rules.sums.swing_path import block, strikes, sweep
from readiness.rules.sums.values import Plane, Refused
from readiness.wording.side_view import scene_lines, span_words


def fall(anchor: float, *below: Below, system: Any = None, **place: Any) -> Fall:
    where = Place(anchor, below, **place)
    return Fall(clearance(system or Lanyard(2.0), where, 100), where, "AN-0417", "platform 3")


SHORT = fall(0, Below("conveyor", 4.2), Below("hall floor", 7), Below("pit", 40))
ENOUGH = fall(2, Below("conveyor", 6))
RETRACTABLE = fall(2.6, Below("ground", 5), system=Retractable(), swing_m=0.3)


def swung() -> Scene:
    found = swing(4.5, 2.6)
    path = sweep(found, 6.0, 1.5)
    stands = (block("column", -2.6, -2.2, -6, 3), block("beam", -1, 1, 4, 4.4))
    return swing_scene(Swung(found, path, stands, strikes(found, path, stands), 7.0))


def plan() -> Scene:
    sides = (
        Side("south eave", (0, 0), (20, 0)),
        Side("east gable", (20, 0), (20, 10)),
        Side("parapet", (20, 10), (0, 10), guarded=True),
        Side("west gable", (0, 10), (0, 0)),
    )
    light = Area("roof light", ((8, 4), (9.5, 4), (9.5, 5.5), (8, 5.5)))
    layout, line = Layout(sides, (light,)), Anchorage("LL-2", ((3, 7.5), (13, 7.5), (17, 5)), 0.8)
    return restraint_scene(layout, line, restrained(layout, line, 2.0))


TALL = Recovery("lower", 2.2, -4, -92, 3.5, "AN-9", "RK-05", "yard")
SCENES = {
    "short": clearance_scene(SHORT),
    "enough": clearance_scene(ENOUGH),
    "retractable": clearance_scene(RETRACTABLE),
    "swing": swung(),
    "plan": plan(),
    "tall": rescue_scene(TALL),
    "raise": rescue_scene(Recovery("raise", 2.2, -4, 0, 3.5)),
}
every_scene = pytest.mark.parametrize("scene", SCENES.values(), ids=SCENES)


@every_scene
def test_nothing_is_drawn_outside_the_scene(scene: Scene) -> None:
    left, right, bottom, top = scene.box
    for shape in scene.shapes:
        ends = extent(shape)
        assert left <= ends[0] <= ends[1] <= right, shape
        assert bottom <= ends[2] <= ends[3] <= top, shape
    for column in scene.columns:
        assert column.spans[0].top_m <= top
        assert column.spans[-1].bottom_m >= bottom


@every_scene
def test_nothing_is_drawn_outside_the_paper(scene: Scene) -> None:
    drawing = picture(scene)
    assert drawing.width <= WIDTH_PT
    assert drawing.height <= HEIGHT_PT
    for piece in drawing.contents:
        left, bottom, right, top = piece.getBounds()
        assert left >= -1
        assert bottom >= 0
        assert right <= drawing.width + 1, piece.getProperties()
        assert top <= drawing.height + 1


@every_scene
def test_a_metre_along_is_a_metre_up(scene: Scene) -> None:
    scale = scale_of(scene)
    x, y = scale.at((0, scene.box[3] - 1))
    assert scale.at((1, 0))[0] - x == pytest.approx(scale.pt)
    assert scale.at((0, scene.box[3]))[1] - y == pytest.approx(scale.pt)


@every_scene
def test_each_role_is_inked_and_goes_onto_paper(scene: Scene) -> None:
    assert {shape.role for shape in scene.shapes} <= set(ROLES)
    assert renderPDF.drawToString(picture(scene)).startswith(b"%PDF")


@given(
    anchor=st.floats(-1, 3.4),
    length=st.floats(0.5, 2.0),
    depth=st.floats(0.5, 30),
    crouch=st.floats(0, 0.9),
)
def test_the_hanging_bodys_lowest_point_is_the_sums_total_less_its_margin(
    anchor: float, length: float, depth: float, crouch: float
) -> None:
    try:
        found = fall(anchor, Below("floor", depth), system=Lanyard(length), crouch_m=crouch)
    except Refused:
        assume(False)
    scene = clearance_scene(found)
    bodies = [extent(shape)[2] for shape in scene.of("hanging")]
    margin = next(p.metres for p in found.needed.parts if p.code == "margin")
    total = found.needed.below(Plane.SURFACE)
    assert min(bodies) == pytest.approx(lowest_point(found))
    assert min(bodies) - margin == pytest.approx(-total)
    needed = scene.columns[0]
    assert needed.spans[-1].bottom_m == pytest.approx(-total)
    assert sum(span.metres for span in needed.spans) == pytest.approx(found.needed.metres)
    clear = scene.columns[1]
    reaches = depth if found.answer.enough else max(depth, total)
    assert -clear.spans[-1].bottom_m == pytest.approx(reaches, abs=0.021)
    assert scene.gap is None


def test_short_strikes_by_name_and_enough_does_not() -> None:
    short, enough = SCENES["short"], SCENES["enough"]
    assert [shape.name for shape in short.of("struck")] == ["conveyor"]
    assert enough.of("struck") == ()
    assert [span.code for span in short.columns[1].spans] == ["clear-height", "short"]
    assert [span.code for span in enough.columns[1].spans] == ["taken", "spare"]


def test_what_lies_far_below_is_told_and_not_drawn() -> None:
    assert "pit" not in [shape.name for shape in SCENES["short"].shapes]
    assert any("pit" in line for line in scene_lines(SCENES["short"], "m"))


def test_only_a_tall_rescue_has_a_break() -> None:
    assert [name for name, scene in SCENES.items() if scene.gap] == ["tall"]
    gap = SCENES["tall"].gap
    assert gap == Break(-88, -8)
    heights = [SCENES["tall"].drawn_z(z) for z in (-92, -88, -8, -4, 0, 2)]
    assert heights == sorted(heights)
    assert heights[-1] - heights[-2] == 2  # above the gap a metre is a metre
    assert heights[1] - heights[0] == 4
    assert heights[2] - heights[1] == pytest.approx(1.0)


@every_scene
@pytest.mark.parametrize("unit", ["m", "ft"])
def test_the_page_gets_plain_attributes_and_ids_of_its_own(scene: Scene, unit: Any) -> None:
    text = picture_svg(scene, "view-7", unit)
    assert "style=" not in text
    assert "<style" not in text
    assert "<!DOCTYPE" not in text
    root = ET.fromstring(text)  # noqa: S314 - our own
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(each.startswith("view-7-") for each in ids)
    used = re.findall(r"url\(#([^)]*)\)", text)
    assert set(used) <= set(ids)
    colours = {element.get(key) for element in root.iter() for key in ("fill", "stroke")}
    assert colours <= {"currentColor", "#fff", "none", None}


@every_scene
def test_the_picture_says_in_words_what_it_shows(scene: Scene) -> None:
    lines = scene_lines(scene, "m")
    root = ET.fromstring(picture_svg(scene, "v"))  # noqa: S314 - our own
    described = root.find("{*}desc")
    assert described is not None
    assert described.text == " ".join(lines)
    told = " ".join(lines)
    named = {shape.name for shape in scene.shapes if shape.role != "surface"} - {""}
    assert [name for name in named if name not in told] == []


def test_the_verdict_stands_last_with_its_figures() -> None:
    assert scene_lines(SCENES["short"], "m")[-1] == (
        "Needed below the walking surface: 6.75 m; there is 4.2 m. "
        "Not enough: strikes conveyor, short by 2.55 m."
    )
    assert scene_lines(SCENES["enough"], "m")[-1].endswith("Enough by 1.25 m on these figures.")


def test_in_feet_what_is_needed_rounds_up_and_what_there_is_down() -> None:
    """4.75 m are 15.58 ft, 6 m are 19.69 ft; the difference is that of the two as told."""
    assert scene_lines(SCENES["enough"], "ft")[-1] == (
        "Needed below the walking surface: 15.6 ft; there is 19.6 ft to conveyor. "
        "Enough by 4 ft on these figures."
    )


@every_scene
def test_in_a_bar_no_figure_is_cut_off(scene: Scene) -> None:
    for column in scene.columns:
        for span in column.spans:
            words = span_words(span, column, "m")
            assert re.match(r"[\d.]+ m ", words)
    cut = [
        piece.text
        for piece in picture(scene).contents
        if isinstance(piece, String) and "..." in piece.text
    ]
    assert cut == []


def test_a_line_that_meets_something_is_told_apart_from_a_body_that_does() -> None:
    lines = scene_lines(SCENES["swing"], "m")
    assert "It strikes column at 3.5 m/s." in lines
    assert any(line.startswith("The line meets beam") for line in lines)


def test_a_raise_shows_no_landing_below() -> None:
    assert SCENES["raise"].of("landing") == ()
    assert "raised by 4.00 m" in " ".join(scene_lines(SCENES["raise"], "m"))


def test_seen_from_above_what_can_be_passed_is_inked_apart() -> None:
    scene = SCENES["plan"]
    assert [shape.name for shape in scene.of("fragile-passed")] == ["roof light"]
    assert scene.of("edge-passed") == ()
    assert [shape.name for shape in scene.of("guarded")] == ["parapet"]
    assert len(scene.of("reach")) == 2  # a span each


@given(st.lists(st.floats(0, 600), max_size=9))
def test_labels_of_a_bar_never_lie_on_one_another(middles: list[float]) -> None:
    places = spread(sorted(middles, reverse=True))
    gaps = [upper - lower for upper, lower in pairwise(places)]
    assert all(gap >= PITCH_PT - 1e-6 for gap in gaps)


def test_a_picture_without_a_height_is_refused() -> None:
    with pytest.raises(Refused) as refused:
        rescue_scene(Recovery("lower", float("nan"), -4, -92, 3))
    assert refused.value.field == "anchor_m"
