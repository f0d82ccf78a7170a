"""What the chosen schemes ask of one record: how long it is kept, and what it must say."""

from __future__ import annotations

from datetime import date

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.regime import change_regime
from inspections.models import Defect, Inspection
from inspections.particulars import kept_of, said_of
from register.models import Item, Site, User
from tests.factories import DAY, ItemFactory, ProductFactory, passed, stamp


@pytest.fixture
def descender(site: Site) -> Item:
    made: Item = ItemFactory(site=site, product=ProductFactory(equipment_class="descender"))
    return made


def examined(item: Item, on: date = DAY) -> Inspection:
    return passed(item, on, "thorough-examination", site=item.site)


def said(one: Inspection) -> dict[str, str]:
    return {each.name: each.value for each in said_of(one)}


def through(one: Inspection) -> list[date | None]:
    return [each.through for each in kept_of(one)]


def test_a_report_is_kept_until_the_next_or_two_years(descender: Item) -> None:
    """LOLER 1998 reg 11, the later of the two; common practice keeps it for life."""
    one = examined(descender)
    assert through(one) == [None, None]
    examined(descender, date(2026, 9, 9))
    assert through(one) == [date(2028, 3, 9), None]


def test_each_scheme_says_how_long_for_itself(item: Item) -> None:
    change_regime(schemes=["gb", "ie"], shorter={}, stamp=stamp())
    one = passed(item)
    assert through(one) == [None, date(2031, 3, 9)]


def test_a_report_of_a_thorough_examination_says_what_the_schedule_asks(descender: Item) -> None:
    """LOLER 1998 Sch 1: the day of the examination and the day of the report are two things."""
    examined(descender, date(2025, 9, 9))
    told = said(examined(descender))
    assert len(told) == 20
    assert told["Date of the last one"] == "9 Sep 2025"
    assert told["Date of the inspection"] == "9 Mar 2026"
    assert told["Date of the report"] == "9 Mar 2026"
    assert told["Latest date of the next one"] == "9 Sep 2026"
    assert told["Each defect that is or could become a danger"] == "none"
    assert told["Address and qualifications of who made it"] == ""


def test_defects_are_among_the_particulars(descender: Item) -> None:
    one = examined(descender)
    Defect.objects.create(
        inspection=one, grade="B", what="worn sheave", danger_by_on=DAY, action="ordered"
    )
    told = said(one)
    assert told["Each defect that is or could become a danger"] == "B: worn sheave"
    assert told["The day by which a defect could become a danger"] == "9 Mar 2026"
    assert told["Repairs made or needed"] == "ordered"


def test_a_scheme_that_asks_for_nothing_shows_nothing(item: Item) -> None:
    change_regime(schemes=["us"], shorter={"*/*": 12}, stamp=stamp())
    one = passed(item)
    assert (said_of(one), kept_of(one)) == ([], [])


def test_the_page_names_what_is_not_held_here_and_who_asks(
    client: Client, petra: User, descender: Item
) -> None:
    client.force_login(petra)
    one = examined(descender)
    page = client.get(reverse("inspections:inspection-detail", args=[one.pk])).content.decode()
    assert "not held here: see the report" in page
    assert "LOLER 1998 Sch 1 para 8(d)" in page
    assert "read second-hand" in page
    assert "until the next is recorded, and at least 24 months" in page


def test_asking_costs_as_much_for_many_inspections_as_for_few(
    client: Client,
    petra: User,
    descender: Item,
    django_assert_max_num_queries: object,
) -> None:
    client.force_login(petra)
    one = [examined(descender, date(2025, month, 1)) for month in range(1, 13)][5]
    with django_assert_max_num_queries(15):  # type: ignore[operator]
        client.get(reverse("inspections:inspection-detail", args=[one.pk]))
