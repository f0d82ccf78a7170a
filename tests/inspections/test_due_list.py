"""What falls due, by site and week."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from django.test import Client

from inspections.due_board import groups_at
from inspections.models import Due
from inspections.rules.due_weeks import OVERDUE, THIS_WEEK, UNKNOWN, last_day_of, week_of
from register import clock
from register.actions.conditions import quarantine
from register.models import Item, Site, User
from register.models.ledger import Stamp
from register.rules.conditions import Condition
from tests.factories import ItemFactory, PersonFactory, SiteFactory, user_as

MONDAY = date(2026, 3, 9)
WEDNESDAY = date(2026, 3, 11)


@pytest.mark.parametrize(
    ("last_good_on", "week"),
    [
        (None, UNKNOWN),
        (date(2026, 3, 10), OVERDUE),
        (WEDNESDAY, THIS_WEEK),
        (date(2026, 3, 15), THIS_WEEK),
        (date(2026, 3, 16), 1),
        (date(2026, 5, 31), 11),
        (date(2026, 6, 1), 12),
    ],
)
def test_a_week_runs_from_monday_to_sunday(last_good_on: date | None, week: int) -> None:
    assert week_of(last_good_on, WEDNESDAY) == week


def test_the_last_day_of_a_week_is_its_sunday() -> None:
    assert (last_day_of(0, WEDNESDAY), last_day_of(11, MONDAY)) == (
        date(2026, 3, 15),
        date(2026, 5, 31),
    )


def due(site: Site, day: date | None, **particulars: object) -> Item:
    """An item at the site whose stored due day is the day."""
    item: Item = ItemFactory(site=site, **particulars)
    Due.objects.filter(item=item).update(last_good_on=day)
    return item


def test_not_known_comes_first_then_overdue_then_the_weeks(site: Site) -> None:
    later = due(site, WEDNESDAY + timedelta(weeks=3))
    now = due(site, WEDNESDAY)
    unknown = due(site, None)
    late = due(site, MONDAY)
    due(site, WEDNESDAY + timedelta(weeks=20))
    groups = groups_at(site, WEDNESDAY, 12)
    assert [(group.name, [row.item for row in group.rows]) for group in groups] == [
        ("Not known", [unknown]),
        ("Overdue", [late]),
        ("This week, to 15 Mar 2026", [now]),
        ("Week of 30 Mar 2026", [later]),
    ]
    assert groups[0].classes == "Harness 1"


def test_an_item_without_a_stored_due_day_is_not_known(site: Site) -> None:
    item = ItemFactory(site=site)
    Due.objects.filter(item=item).delete()
    assert [(group.name, group.count) for group in groups_at(site, MONDAY, 12)] == [
        ("Not known", 1)
    ]


@pytest.mark.parametrize(
    "particulars",
    [
        {"condition": Condition.AWAY},
        {"condition": Condition.WITHDRAWN},
        {"condition": Condition.QUARANTINED},
        {"custody": "maker"},
    ],
)
def test_what_is_not_here_to_be_inspected_is_not_listed(
    site: Site, particulars: dict[str, str]
) -> None:
    due(site, MONDAY, **particulars)
    assert groups_at(site, WEDNESDAY, 12) == []


def test_an_overdue_item_on_issue_names_its_holder(client: Client, petra: User, site: Site) -> None:
    due(site, MONDAY, holder=PersonFactory(name="Jory Pell"), custody="person")
    client.force_login(petra)
    page = client.get("/due/", {"site": site.code}).content.decode()
    assert "<b>Jory Pell</b>, on issue" in page
    assert "Overdue: 1" in page
    assert "9 Mar 2026" in page


def test_several_sites_are_shown_in_figures(client: Client, oyelaran: User, site: Site) -> None:
    other = SiteFactory(name="Holm Tower")
    due(site, None)
    due(other, clock.today(other))
    due(other, clock.today(other) + timedelta(weeks=2))
    client.force_login(oyelaran)
    page = client.get("/due/").content.decode()
    figures = {
        row.split("</a>")[0]: [
            cell.split("<")[0] for cell in row.split('">')[2:] if "</td>" in cell
        ]
        for row in page.split("weeks=12")[1:]
    }
    assert [name.removeprefix('">') for name in figures] == ["Corrick Quay", "Holm Tower"]
    assert list(figures.values()) == [["1", "0", "0", "0", "0"], ["0", "0", "1", "1", "0"]]


def test_bad_input_is_told_and_stays_in_the_form(client: Client, petra: User) -> None:
    client.force_login(petra)
    page = client.get("/due/", {"weeks": "many"}).content.decode()
    assert "Enter a whole number." in page
    assert 'value="many"' in page


def test_a_site_that_is_not_theirs_is_refused(client: Client, site: Site) -> None:
    other = SiteFactory(name="Holm Tower")
    client.force_login(user_as("manager", site))
    page = client.get("/due/", {"site": other.code}).content.decode()
    assert "none of your sites" in page
    assert "Holm Tower" not in page


def test_what_was_stopped_on_the_tag_page_is_shown(
    client: Client, oyelaran: User, item: Item
) -> None:
    now = Stamp(by=None, at=clock.now(), device="tag page")
    quarantine(item, reason="damage-found", stamp=now)
    client.force_login(oyelaran)
    page = client.get("/due/").content.decode()
    assert "Taken out of use on the tag page" in page
    assert item.shown_code in page


def test_the_page_asks_as_much_for_many_items_as_for_one(
    client: Client, petra: User, site: Site, django_assert_max_num_queries: object
) -> None:
    for days in range(12):
        due(site, MONDAY + timedelta(days=days), holder=PersonFactory())
    client.force_login(petra)
    with django_assert_max_num_queries(14):  # type: ignore[operator]
        client.get("/due/", {"site": site.code})
