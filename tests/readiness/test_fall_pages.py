"""The page of the sums of a fall: looked at, typed into, reckoned, kept, and on paper."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from readiness.actions.sums import keep_sums
from readiness.models import Task, TaskSums
from register.models import Role
from register.wording import shown_day
from tests.factories import ProductFactory, stamp, user_as
from tests.readiness.fall_figures import lanyard_figures, retractable_figures
from tests.readiness.grounds import Ground, anchor_at, covered_site

pytestmark = pytest.mark.django_db

TYPED = {
    "units": "m",
    "system": "lanyard",
    "where": "en",
    "rule_lanyard": "en-355",
    "mass_kg": "110",
    "max_kg": "140",
    "length_m": "2",
    "anchor_m": "2",
    "below_name_0": "conveyor",
    "below_depth_0": "6",
}


@pytest.fixture
def ground() -> Ground:
    return covered_site()


def client(ground: Ground, role: Role = Role.PLANNER) -> Client:
    signed_in = Client()
    signed_in.force_login(user_as(role, ground.site))
    return signed_in


def path(ground: Ground, name: str = "task-fall") -> str:
    return reverse(f"readiness:{name}", args=[ground.site.code, ground.task.code])


def posted(ground: Ground, **typed: str) -> str:
    return client(ground).post(path(ground), {**TYPED, **typed}).content.decode()


def words(html: str) -> str:
    """Without the marks, so that a sentence can be looked for."""
    return " ".join(re.sub(r"<[^>]+>", " ", html).replace("&#x27;", "'").split())


def test_the_form_is_prefilled_from_the_task_and_says_that_nothing_was_done(ground: Ground) -> None:
    html = client(ground).get(path(ground)).content.decode()
    assert "Not done: typed figures." in html
    assert 'name="mass_kg" value="110"' in html
    assert 'name="below_depth_0" value="18"' in html
    assert "<svg" not in html.split('id="fall-answer"')[1].split("</form>")[0]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Enough by 1.25 m above conveyor, on these figures."),
        (
            {"anchor_m": "0", "below_depth_0": "4.2"},
            "Not enough: strikes conveyor, short by 2.55 m.",
        ),
        (
            {
                "units": "ft",
                "mass_kg": "240",
                "max_kg": "300",
                "length_m": "6",
                "anchor_m": "6",
                "below_depth_0": "20",
                "rule_lanyard": "osha",
                "where": "us",
            },
            "Enough by 6.5 ft above conveyor, on these figures.",
        ),
    ],
)
def test_the_answer_is_told_never_as_safe(
    ground: Ground, typed: dict[str, str], sentence: str
) -> None:
    html = posted(ground, **typed)
    assert sentence in html
    assert "Indication only." in html
    assert " safe" not in words(html).lower().replace("safety notices", "").replace(" safety", "")


def test_parts_planes_force_and_levers_stand_with_their_basis(ground: Ground) -> None:
    told = words(posted(ground, anchor_m="0", below_depth_0="4.2", force_n="6", mass_kg="110"))
    for part in (
        "lanyard 2 m as given",
        "absorber extension 1.75 m EN 355:2002",
        "below the walking surface 6.75 m 4.2 m",
        "below the harness attachment before the fall 8.25 m 5.7 m",
        "Fall factor 1.75.",
        "6 kN on the person; the limit is 6 kN.",
        "United States: 6 kN on the person; the limit is 8 kN.",
        "Absorber used: 44 per cent",
        "Without an absorber the same fall would pull about",
        "Raise the anchor to 2.5 m above the walking surface: 2.5 m more, then still short by 0.05 m.",
        "Work in restraint",
    ):
        assert part in told, part


def test_a_swing_too_far_never_reads_as_enough(ground: Ground) -> None:
    aside = {"system": "retractable", "anchor_m": "7.5", "offset_m": "3.5", "below_depth_0": "20"}
    told = words(posted(ground, **aside))
    assert "Swings farther than you allow: 30.3° where 30° is the limit." in told
    assert "The room alone would do, by 15.55 m above conveyor." in told
    assert "Enough by" not in told
    assert "enough by" not in told, "neither in the picture nor in its list"
    assert "The work as put in, 3.50 m aside, lies outside it." in told


def test_zone_anchor_and_lightest_are_told_in_both_units(ground: Ground) -> None:
    typed = {"system": "retractable", "anchor_m": "7.5", "offset_m": "2", "lightest_kg": "60"}
    told = words(posted(ground, **typed, anchor_rating_n="10", below_depth_0="20"))
    for part in (
        "Within 3.46 m of plumb below the anchor",
        "Farther out the angle is past the employer’s limit.",
        "1.00 m lower down: within 4.04 m.",
        "The anchor needs 12 kN for so many at once: 1.",
        "It is rated 10 kN: not enough, it needs 12 kN.",
        "On the lightest person, 60 kg, the limit of 6 kN would be 10.2 times their weight: slowed "
        "down with 9.2 g at most.",
    ):
        assert part in told, part
    feet = words(posted(ground, **typed, to_units="ft"))
    assert "Within 11.3 ft of plumb below the anchor" in feet
    assert "The anchor needs 2698 lbf" in feet
    assert "On the lightest person, 132 lb" in feet


def test_a_row_of_anchors_is_kept_typed_again_and_told(ground: Ground) -> None:
    row = {"point_at_0": "2", "point_at_1": "10", "row_from_m": "0", "row_to_m": "12"}
    typed = {**TYPED, "system": "retractable", "anchor_m": "7.5", "below_depth_0": "20", **row}
    told = words(posted(ground, **typed))
    assert "this lies outside: 5.46 to 6.54 m" in told
    assert "swings too far" in told
    client(ground).post(path(ground), {**typed, "keep": "1"})
    figures = TaskSums.objects.get().figures
    assert figures["row"] == [{"at_m": 2.0}, {"at_m": 10.0}]
    assert figures["row_work"] == {"from_m": 0.0, "to_m": 12.0}
    again = client(ground).get(path(ground)).content.decode()
    assert 'name="point_at_1" value="10"' in again
    assert 'name="row_to_m" value="12"' in again
    html = posted(ground, **{**typed, "row_to_m": "-3"})
    assert "where the work along the row ends" in html.split('id="says-row_to_m"')[1][:400]


def test_enough_room_is_not_enough_where_the_fall_is_stopped_too_hard(ground: Ground) -> None:
    told = words(posted(ground, force_n="7"))
    assert "Too hard: 7 kN on the person: more than the limit of 6 kN." in told


def test_a_retractable_carries_its_caution_and_a_lanyard_does_not(ground: Ground) -> None:
    caution = "not for use over edges or lying flat unless marked"
    block = {"system": "retractable", "rule_retractable": "en-360", "anchor_m": "3.5"}
    assert caution in words(posted(ground, **block))
    assert caution not in words(posted(ground))


def test_other_units_tell_the_rows_of_a_chart_anew(ground: Ground) -> None:
    """6.2 m is 20.3412 ft; a line nobody can read is marked, and stays unread in the other units."""
    chart = {"chart_source": "leaflet", "chart_axes": "mass_kg", "chart_plane": "anchor"}
    html = posted(ground, **chart, chart_rows="100 5.5\n140 6.2\nabc 7", to_units="ft")
    box = html.split('name="chart_rows"')[1].split("</textarea>")[0]
    assert "220.4623 18.0446" in box
    assert "308.6472 20.3412" in box
    assert "abc 7 (m)" in box


def test_the_page_says_which_of_chart_and_formula_it_used(ground: Ground) -> None:
    chart = {
        "chart_source": "leaflet, page 4",
        "chart_axes": "mass_kg",
        "chart_plane": "anchor",
        "chart_rows": "100 5.5\n140 6.2",
        "chart_includes": ["harness", "margin"],
    }
    told = words(posted(ground, **chart))  # type: ignore[arg-type]
    assert "By the product’s own chart (leaflet, page 4), not by formula." in told
    assert "Enough by 1.8 m" in told  # 6.2 - 2 = 4.2 of 6


def test_a_refusal_stands_beside_its_box_and_nothing_typed_is_lost(ground: Ground) -> None:
    html = posted(ground, anchor_m="40", below_name_1="belt", below_depth_1="7")
    beside = html.split('id="says-anchor_m"')[1].split("</div>")[0]
    assert "40 m is outside what this sum holds for" in beside
    assert 'value="belt"' in html
    assert 'value="40"' in html


def test_a_refusal_in_feet_names_feet(ground: Ground) -> None:
    html = posted(ground, units="ft", anchor_m="400", length_m="6")
    assert "from -16.4 to 98.42 ft" in html


def test_other_units_tell_the_same_figures(ground: Ground) -> None:
    html = posted(ground, to_units="ft")
    assert 'name="length_m" value="6.5617"' in html
    assert 'name="mass_kg" value="242.5085"' in html
    assert "Enough by 4 ft" in html


def test_a_lanyard_without_absorber_is_a_warning_only(ground: Ground) -> None:
    html = posted(ground, system="no-absorber")
    assert "Do not fall on this." in html
    assert 'name="below_depth_0" value="6"' in html, "what was typed for other systems is carried"
    refused = client(ground).post(path(ground), {**TYPED, "system": "no-absorber", "keep": "1"})
    assert not TaskSums.objects.exists()
    assert refused.status_code == 422


def test_the_picture_is_in_the_page_with_its_words_and_without_style(ground: Ground) -> None:
    html = posted(ground, system="retractable", anchor_m="7.5", offset_m="2")
    drawn = re.findall(r"<svg.*?</svg>", html.split('id="fall-answer"')[1], re.DOTALL)
    assert len(drawn) == 3  # the side view, the swing, the zone from above
    assert "style=" not in "".join(drawn)
    ids = re.findall(r'\sid="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert "The swing drops 0.32 m through 18.4°" in html


def test_only_the_answer_is_sent_while_somebody_types(ground: Ground) -> None:
    headers = {"HX-Request": "true", "HX-Target": "fall-answer"}
    html = client(ground).post(path(ground), {**TYPED, "anchor_m": "40"}, headers=headers)
    text = html.content.decode()
    assert html.status_code == 200
    assert "<form" not in text
    assert 'id="says-anchor_m" hx-swap-oob="true"' in text


def test_sums_are_kept_by_who_may_plan_and_told_on_the_task(ground: Ground) -> None:
    line = ProductFactory(equipment_class="energy-absorbing-lanyard")
    beam = anchor_at(ground.zone, place="beam 4")
    typed = {**TYPED, "keep": "1", "product": line.pk, "anchor": beam.pk}
    assert client(ground, Role.SUPERVISOR).post(path(ground), typed).status_code == 403
    assert client(ground).post(path(ground), typed).status_code == 302
    kept = TaskSums.objects.get()
    assert (kept.product, kept.anchor) == (line, beam)
    assert kept.figures["below"] == [{"name": "conveyor", "depth_m": 6.0}]
    detail = client(ground).get(path(ground, "task-detail")).content.decode()
    assert f"Enough by 1.25 m on these figures, done {shown_day(kept.made_on)} by" in detail
    assert "4.75 m needed" in detail
    again = client(ground).get(path(ground)).content.decode()
    assert "Enough by 1.25 m above conveyor" in again
    assert "beam 4" in again


def test_sums_for_a_lighter_person_than_the_task_has_are_not_kept(ground: Ground) -> None:
    response = client(ground).post(path(ground), {**TYPED, "mass_kg": "90", "keep": "1"})
    assert response.status_code == 422
    assert "110 kg" in response.content.decode()
    assert not TaskSums.objects.exists()


def test_every_page_says_why_sums_are_to_be_done_again(ground: Ground) -> None:
    keep_sums(
        ground.task,
        topic="fall",
        figures=lanyard_figures(mass_kg=110, max_kg=140),
        stamp=stamp(),
    )
    Task.objects.filter(pk=ground.task.pk).update(heaviest_kg=120, to_on=date(2100, 1, 1))
    why = "are to be done again: heaviest person 120 kg, they were done for 110 kg."
    pages = [path(ground), path(ground, "task-detail"), path(ground, "task-edit")]
    pages += [
        path(ground, "task-why") + "?on=2026-03-09&at=12:00",
        f"/sites/{ground.site.code}/cover/",
    ]
    for page in pages:
        assert why in client(ground).get(page).content.decode(), page


@pytest.mark.parametrize(
    "figures",
    [
        lanyard_figures(
            mass_kg=110,
            max_kg=140,
            min_kg=50,
            lightest_kg=60,
            force_n=4000,
            extension_m=1.2,
            sling_m=0.3,
            crouch_m=0.4,
            edge_rated=True,
            over_edge=True,
            setback_m=1.0,
            margin_m=0.8,
            anchor_m=1.1,
            lifeline={"span_m": 8, "modulus_n": 1_000_000.0, "users": 2},
            chart={
                "source": "leaflet",
                "axes": ["mass_kg", "anchor_m"],
                "plane": "surface",
                "includes": ["swing"],
                "rows": [{"at": [110, 0.8], "required_m": 4.0}],
            },
        ),
        retractable_figures(
            mass_kg=110,
            max_kg=140,
            arrest_m=1.4,
            obstacles=[
                {"name": "b", "left_m": -9, "right_m": -8, "bottom_m": 0, "top_m": 1.0},
            ],
        ),
        retractable_figures(
            system="guided-flexible", rule=None, offset_m=None, mass_kg=110, max_kg=140
        )
        | {"line_stretch_m": 0.5},
    ],
)
@pytest.mark.parametrize("units", ["m", "ft"])
def test_what_is_kept_comes_back_into_the_boxes_and_out_again(
    ground: Ground, figures: dict[str, object], units: str
) -> None:
    first = keep_sums(ground.task, topic="fall", figures=figures, stamp=stamp())
    page = client(ground)
    response = page.get(path(ground) + f"?units={units}")
    form = response.context["form"]
    assert form.errors == {}
    data = {name: value for name, value in form.data.lists() if value}
    kept = page.post(path(ground), {**data, "units": units, "keep": "1"})
    assert kept.status_code == 302, words(kept.content.decode())[:2000]
    again = TaskSums.objects.get(version=2)
    assert _rounded(again.figures) == _rounded(first.figures)


def _rounded(value: object) -> object:
    """To a tenth of a millimetre: what stands in a box has so many digits."""
    if isinstance(value, dict):
        return {key: _rounded(one) for key, one in value.items()}
    if isinstance(value, list):
        return [_rounded(one) for one in value]
    return value if isinstance(value, bool | str) else round(float(value), 3)  # type: ignore[arg-type]


def test_the_sheet_is_a_pdf_of_what_is_kept_or_of_what_is_typed(ground: Ground) -> None:
    page, sheet = client(ground), path(ground, "task-fall-sheet")
    assert page.get(sheet).status_code == 302, "nothing is kept yet"
    typed = page.post(sheet, TYPED)
    assert typed["Content-Type"] == "application/pdf"
    assert "Not kept: figures as typed." in pdf_text(typed.content)
    page.post(path(ground), {**TYPED, "keep": "1"})
    told = pdf_text(page.get(sheet).content)
    assert "Enough by 1.25 m above conveyor" in told
    assert "Indication only." in told
    assert shown_day(TaskSums.objects.get().made_on) in told


def pdf_text(paper: bytes) -> str:
    import pypdfium2

    pages = pypdfium2.PdfDocument(paper)
    return " ".join(" ".join(one.get_textpage().get_text_range() for one in pages).split())


def test_a_products_figures_are_taken_from_the_register(ground: Ground) -> None:
    line = ProductFactory(
        equipment_class="energy-absorbing-lanyard",
        length_m="1.50",
        max_user_kg=130,
        edge_tested=True,
    )
    html = posted(ground, fill="product", product=str(line.pk))
    assert 'name="length_m" value="1.5"' in html
    assert 'name="max_kg" value="130"' in html
    assert re.search(r'name="edge_rated"[^>]*checked', html)


def test_a_sheet_of_sums_that_do_not_count_says_so_first(ground: Ground) -> None:
    keep_sums(
        ground.task,
        topic="fall",
        figures=lanyard_figures(mass_kg=110, max_kg=140),
        stamp=stamp(),
    )
    Task.objects.filter(pk=ground.task.pk).update(heaviest_kg=120)
    told = pdf_text(client(ground).get(path(ground, "task-fall-sheet")).content)
    again, enough = told.index("are to be done again"), told.index("Enough by 1.25 m")
    assert again < enough


def test_a_phone_has_the_answer_in_a_few_words_with_the_way_to_the_drawing_and_back(
    ground: Ground,
) -> None:
    """Without a script as well: plain links to what is on the page."""
    aside = {"system": "retractable", "anchor_m": "7.5", "offset_m": "3.5", "below_depth_0": "20"}
    for typed, brief in (
        ({}, "Enough by 1.25 m"),
        (aside, "Swings too far"),
        ({"mass_kg": ""}, "No answer yet."),
    ):
        html = posted(ground, **typed)
        bar = html.split('class="fall-brief"')[1].split("</div>")[0]
        assert brief in bar
        for target in re.findall(r'href="#([^"]+)"', bar):
            assert html.count(f'id="{target}"') == 1
