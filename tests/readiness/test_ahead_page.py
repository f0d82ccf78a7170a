"""The weeks ahead of a site, as the page tells them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from readiness.board.weeks_ahead import ahead_of
from readiness.models import RemedyTerms
from register.models import Role
from tests.factories import DAY, user_as
from tests.readiness.grounds import Ground, arrest_task, covered_site

pytestmark = pytest.mark.django_db
IN_FIVE_WEEKS = DAY + timedelta(weeks=5)


@pytest.fixture
def ground() -> Ground:
    """In five weeks a second task begins, of which nothing is prepared."""
    made = covered_site()
    arrest_task(made.zone, made.shift, "CQ-2", day=IN_FIVE_WEEKS, days=3)
    return made


def shortages(ground: Ground) -> dict[str, tuple[str, int]]:
    """What is short in the week in which the second task begins: words and days left to act."""
    found = ahead_of(ground.site, DAY, 8)
    week = next(one for one in found if one.week.monday <= IN_FIVE_WEEKS <= one.last_on)
    return {one.need.kind: (one.words, (one.act_by - DAY).days) for one in week.shortages}


def test_what_a_new_task_will_lack_is_told_with_the_day_to_act_by(ground: Ground) -> None:
    RemedyTerms.objects.create(kind="install-anchor", lead_hours=25, cost=1)
    begins = (IN_FIVE_WEEKS - DAY).days

    found = shortages(ground)

    assert found["anchors"] == ("Rescue anchors: none usable then for CQ-2.", begins - 2)
    assert found["kits"][0].startswith("Rescue kits: 2 tasks at once (CQ-1 and CQ-2), 0 usable")
    assert found["plans"][0] == "Rescue plans: none that holds then for CQ-2."


def test_what_is_too_late_for_the_lead_time_is_told_as_such(ground: Ground) -> None:
    RemedyTerms.objects.create(kind="hire-kit", lead_hours=24 * 60, cost=1)
    found = ahead_of(ground.site, DAY, 8)
    late = {one.need.kind for ahead in found for one in ahead.shortages if one.late}

    assert "kits" in late
    assert "anchors" not in late


def test_whoever_sees_the_site_reads_its_weeks(ground: Ground, client: Client) -> None:
    client.force_login(user_as(Role.SUPERVISOR, ground.site))

    page = client.get(reverse("readiness:site-ahead", args=["corrick"]))

    assert page.status_code == 200
    assert len(page.context["weeks"]) == 13


def test_the_page_asks_no_more_of_the_database_for_more_tasks(
    ground: Ground, django_assert_max_num_queries
) -> None:
    for number in range(3, 9):
        arrest_task(ground.zone, ground.shift, f"CQ-{number}", day=IN_FIVE_WEEKS)
    with django_assert_max_num_queries(30):
        ahead_of(ground.site, DAY, 13)
