"""The page of the sums of restraint: points typed, judged, drawn, and kept for the cover of the task."""

from __future__ import annotations

import re

import pytest
from django.test import Client
from django.urls import reverse

from readiness.actions.sums import keep_sums
from readiness.models import Task, TaskSums
from register.models import Role
from tests.factories import ProductFactory, stamp, user_as
from tests.readiness.fall_figures import restraint_figures
from tests.readiness.grounds import Ground, covered_site

pytestmark = pytest.mark.django_db

CORNERS = ((0, 0, "south eave"), (20, 0, "east gable"), (20, 10, "parapet"), (0, 10, "west gable"))
TYPED: dict[str, str] = {
    "units": "m",
    "anchorage": "anchor",
    "point_x_0": "14",
    "point_y_0": "3",
    "lanyard_m": "2",
    "closed": "on",
    "corner_guarded_2": "on",
    **{f"corner_x_{at}": str(corner[0]) for at, corner in enumerate(CORNERS)},
    **{f"corner_y_{at}": str(corner[1]) for at, corner in enumerate(CORNERS)},
    **{f"corner_name_{at}": corner[2] for at, corner in enumerate(CORNERS)},
}
ROOF_LIGHT = {
    "area_name_2": "roof light",
    **{f"area_x_{at + 2}": x for at, x in enumerate(("8", "9", "9", "8"))},
    **{f"area_y_{at + 2}": y for at, y in enumerate(("4", "4", "5", "5"))},
}


@pytest.fixture
def ground() -> Ground:
    found = covered_site()
    Task.objects.filter(pk=found.task.pk).update(system="restraint")
    return found


def client(ground: Ground, role: Role = Role.PLANNER) -> Client:
    signed_in = Client()
    signed_in.force_login(user_as(role, ground.site))
    return signed_in


def path(ground: Ground) -> str:
    return reverse("readiness:task-restraint", args=[ground.site.code, ground.task.code])


def posted(ground: Ground, **typed: str) -> str:
    return client(ground).post(path(ground), {**TYPED, **typed}).content.decode()


def words(html: str) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


def value(html: str, name: str) -> str:
    box = re.search(rf'<input[^>]*name="{name}"[^>]*>', html)
    assert box, name
    held = re.search(r'value="([^"]*)"', box[0])
    return held[1] if held else ""


def test_nothing_is_proven_before_anything_is_drawn(ground: Ground) -> None:
    html = client(ground).get(path(ground)).content.decode()
    assert "Nothing is proven until the edges are drawn and the sums kept." in html
    assert "No answer yet." in html
    assert 'class="side-view"' not in html


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Proven restraint: 0.5 m to spare at the nearest edge, south eave."),
        ({"lanyard_m": "3"}, "south eave can be passed by 0.5 m: this is arrest."),
        ({"lanyard_m": "3"}, "A lanyard of 2.5 m at most would be proven restraint."),
        (
            {**ROOF_LIGHT, "point_x_0": "10.5", "point_y_0": "4.5"},
            "roof light can be passed by 1 m: this is arrest.",
        ),
        ({"closed": ""}, "Not proven: the rim is not drawn all round."),
        (
            {"closed": ""},
            "Missing: what lies between the last corner (0.00 m, 10.00 m) and the first (0.00 m, 0.00 m).",
        ),
        ({"units": "ft", "lanyard_m": "1"}, "0.3 ft to spare at the nearest edge, south eave."),
    ],
)
def test_the_answer_names_the_edge_and_what_would_hold(
    ground: Ground, typed: dict[str, str], sentence: str
) -> None:
    html = posted(ground, **typed)
    assert sentence in words(html)
    assert "Only if nobody can reach any edge" in html
    assert "Indication only." in html


def test_the_plan_is_drawn_and_told_in_words(ground: Ground) -> None:
    html = posted(ground, **ROOF_LIGHT)
    assert html.count("<svg") == html.count("</svg>")
    assert "Restraint seen from above, to scale" in html
    assert "parapet, guarded." in words(html)
    assert "roof light: 2.59 m to spare." in words(html)


@pytest.mark.parametrize(
    ("typed", "box", "sentence"),
    [
        ({"lanyard_m": ""}, "says-lanyard_m", "This field is required."),
        ({"lanyard_m": "200"}, "says-lanyard_m", "200 m is outside what this sum holds for"),
        ({"point_x_0": "140"}, "says-point_x_0", "This lies outside the rim that is drawn"),
        ({"corner_y_1": ""}, "says-corner_x_1", "Not known: where a point lies, across."),
        ({"anchorage": "line"}, "says-point_x_0", "Too few points"),
        (
            {"anchorage": "line", "point_x_1": "15", "point_y_1": "3"},
            "says-deflection_m",
            "Not known: how far the line gives sideways.",
        ),
        (
            {"area_name_3": "hatch", "area_x_3": "3", "area_y_3": "3"},
            "says-area_x_3",
            "Too few points",
        ),
    ],
)
def test_a_refusal_stands_beside_its_box_and_nothing_typed_is_lost(
    ground: Ground, typed: dict[str, str], box: str, sentence: str
) -> None:
    response = client(ground).post(path(ground), {**TYPED, **typed, "keep": "1"})
    html = response.content.decode()
    assert response.status_code == 422
    assert not TaskSums.objects.exists()
    beside = html.split(f'id="{box}"')[1].split("</div>")[0]
    assert sentence in beside
    assert value(html, "corner_name_0") == "south eave"


def test_a_rectangle_is_a_quick_way_to_four_points(ground: Ground) -> None:
    rim = {"draw": "corner", "rect_corner_x": "1", "rect_corner_y": "2"}
    html = posted(ground, **rim, rect_corner_wide="18", rect_corner_deep="7")
    assert [value(html, f"corner_x_{at}") for at in range(4)] == ["1", "19", "19", "1"]
    assert [value(html, f"corner_y_{at}") for at in range(4)] == ["2", "2", "9", "9"]
    light = {"draw": "area", "rect_area_name": "hatch", "rect_area_x": "4", "rect_area_y": "4"}
    html = posted(ground, **ROOF_LIGHT, **light, rect_area_wide="1", rect_area_deep="1")
    assert value(html, "area_name_2") == "roof light"
    assert value(html, "area_name_6") == "hatch"
    assert "hatch: " in words(html)


def test_more_rows_are_a_button_away(ground: Ground) -> None:
    assert 'name="corner_x_7"' in posted(ground, more="corner")


def test_other_units_keep_what_was_typed(ground: Ground) -> None:
    html = posted(ground, to_units="ft")
    assert value(html, "lanyard_m") == "6.5617"
    assert value(html, "point_x_0") == "45.9318"
    assert value(html, "corner_name_2") == "parapet"
    assert "1.6 ft to spare at the nearest edge" in html


def test_while_somebody_types_the_answer_alone_comes_back(ground: Ground) -> None:
    response = client(ground).post(path(ground), TYPED, headers={"HX-Request": "true"})
    html = response.content.decode()
    assert "<html" not in html
    assert "Proven restraint: 0.5 m to spare" in html
    assert 'id="says-lanyard_m" hx-swap-oob="true"' in html


def test_kept_sums_stand_there_again_and_decide_on_the_cover(ground: Ground) -> None:
    planner = client(ground)
    assert planner.post(path(ground), {**TYPED, **ROOF_LIGHT, "keep": "1"}).status_code == 302
    kept = TaskSums.objects.get()
    assert kept.figures == restraint_figures(name="One anchor")
    html = planner.get(path(ground)).content.decode()
    assert "Kept: Proven restraint: 0.5 m to spare" in words(html)
    assert value(html, "area_name_0") == "roof light"
    cover = reverse("readiness:task-why", args=[ground.site.code, ground.task.code])
    assert planner.get(cover).status_code == 200


def test_what_the_action_refuses_is_told_over_the_form(ground: Ground) -> None:
    line = ProductFactory(equipment_class="lanyard", length_m="2.50")
    html = posted(ground, product=str(line.pk), keep="1")
    assert "is 2.5 m long; these sums are for 2 m." in html
    assert not TaskSums.objects.exists()


def test_sums_that_something_has_overtaken_are_told_as_not_proven(ground: Ground) -> None:
    line = ProductFactory(equipment_class="lanyard", length_m="2.00")
    keep_sums(
        ground.task, topic="restraint", figures=restraint_figures(), product=line, stamp=stamp()
    )
    line.length_m = "2.50"
    line.save()
    html = client(ground).get(path(ground)).content.decode()
    told = "Not proven: the sums of 9 Mar 2026 are to be done again"
    assert told in words(html)
    site = reverse("readiness:site-cover", args=[ground.site.code])
    assert told in words(client(ground).get(f"{site}?on=2026-03-09").content.decode())


def test_who_may_look_may_reckon_but_only_a_planner_keeps(ground: Ground) -> None:
    worker = client(ground, Role.WORKER)
    assert "Keep these sums" not in worker.post(path(ground), TYPED).content.decode()
    assert worker.post(path(ground), {**TYPED, "keep": "1"}).status_code == 403
    assert not TaskSums.objects.exists()


def test_a_task_in_arrest_is_told_that_restraint_does_not_count(ground: Ground) -> None:
    Task.objects.filter(pk=ground.task.pk).update(system="arrest")
    html = client(ground).get(path(ground)).content.decode()
    assert "count for its cover only once it is declared as restraint" in words(html)
