"""The employer's regime: it may only shorten, and every date follows at once."""

from __future__ import annotations

import html

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions import regime as actions
from inspections.actions.regime import change_regime, count_anew, not_counted_yet
from inspections.conditions import overdue_on, usable_on, verdict_of
from inspections.due_board import figures_of, groups_at
from inspections.models import Due, Regime
from inspections.regime import scheme, scheme_slugs
from inspections.regime_wording import sections_of
from register.models import Entry, Item, Role, Site, User
from register.refusal import Refusal
from tests.factories import DAY, NOON, passed, stamp, user_as

ADDRESS = "inspections:regime-edit"


def test_a_shorter_interval_brings_the_due_day_forward_at_once(item: Item) -> None:
    passed(item, DAY)
    before = Due.objects.get(item=item).last_good_on
    change_regime(schemes=["gb"], shorter={"harness/*": 2}, stamp=stamp())
    due = Due.objects.get(item=item)
    assert before is not None
    assert due.last_good_on is not None
    assert (due.last_good_on.month, due.last_good_on.day) == (DAY.month + 2, DAY.day)
    assert due.last_good_on < before


def test_a_scheme_of_the_anniversary_takes_a_day_from_the_year(item: Item) -> None:
    """France: less than twelve months before use (arrêté of 19 March 1993, article 1)."""
    passed(item, DAY)
    change_regime(schemes=["fr"], shorter={}, stamp=stamp())
    last = Due.objects.get(item=item).last_good_on
    assert last is not None
    assert last.day == DAY.day - 1


@pytest.mark.parametrize(
    ("schemes", "shorter", "code"),
    [
        ([], {}, "no-scheme"),
        (["atlantis"], {}, "scheme-unknown"),
        (["gb"], {"harness/normal": 60}, "interval-longer"),
        (["gb"], {"*/*": 13}, "interval-longer"),
        (["gb"], {"harness/*": 7}, "interval-longer"),
        (["gb"], {"harness/normal": 0}, "interval-too-short"),
        (["gb"], {"kettle/normal": 1}, "interval-unknown"),
    ],
)
def test_a_regime_that_asks_for_less_or_makes_no_sense_is_refused(
    db: None, schemes: list[str], shorter: dict[str, int], code: str
) -> None:
    with pytest.raises(Refusal) as refused:
        change_regime(schemes=schemes, shorter=shorter, stamp=stamp())
    assert refused.value.code == code
    assert not Regime.objects.exists()


def test_an_interval_for_every_class_is_kept_where_it_shortens_any(db: None) -> None:
    """Great Britain leaves anchors twelve months and harnesses six; seven is less for anchors."""
    change_regime(schemes=["gb"], shorter={"*/*": 7}, stamp=stamp())
    assert Regime.objects.get().shorter == {"*/*": 7}


def test_the_page_adds_an_interval_and_ends_it(client: Client, oyelaran: User) -> None:
    client.force_login(oyelaran)
    added = {"schemes": ["gb"], "equipment_class": "harness", "use_class": "*", "months": 2}
    assert client.post(reverse(ADDRESS), added).status_code == 302
    assert Regime.objects.get().shorter == {"harness/*": 2}
    assert Entry.objects.filter(thing_kind="regime").count() == 1
    page = client.get(reverse(ADDRESS)).content.decode()
    assert "Harness, all conditions of use: 2 months" in page
    assert "from memory, to be verified" in page
    ended = {"schemes": ["gb"], "equipment_class": "*", "use_class": "*", "months": ""}
    client.post(reverse(ADDRESS), ended)
    assert Regime.objects.get().shorter == {}


def test_a_refused_regime_comes_back_filled_in(client: Client, oyelaran: User) -> None:
    client.force_login(oyelaran)
    longer = {"schemes": ["gb"], "equipment_class": "harness", "use_class": "normal", "months": 60}
    answer = client.post(reverse(ADDRESS), longer)
    assert answer.status_code == 422
    assert "may only be shorter" in answer.content.decode()
    assert 'value="60"' in answer.content.decode()


def test_the_manager_of_one_site_looks_and_changes_nothing(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    assert client.get(reverse(ADDRESS)).status_code == 200
    assert client.post(reverse(ADDRESS), {"schemes": ["eu"]}).status_code == 403


def test_a_copy_counted_under_another_regime_is_no_date(
    item: Item, site: Site, oyelaran: User, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Above so many items they are counted later; until then lists say 'not known', not usable."""
    passed(item, DAY)
    assert Item.objects.filter(usable_on(DAY)).count() == 1
    monkeypatch.setattr(actions, "COUNTED_AT_ONCE", 0)
    change_regime(schemes=["gb"], shorter={"harness/*": 2}, stamp=stamp())
    assert not_counted_yet().get() == item
    assert not Item.objects.filter(usable_on(DAY)).exists()
    assert list(Item.objects.filter(overdue_on(DAY))) == [item]
    (figures,) = figures_of([site], NOON, 4)
    assert (figures.not_known, figures.overdue) == (1, 0)
    assert groups_at(site, DAY, 4)[0].rows[0].due_on is None
    assert verdict_of(item, DAY).usable  # one item is always judged from its records
    client.force_login(oyelaran)
    assert "1 item is still being counted anew" in client.get(reverse(ADDRESS)).content.decode()
    assert count_anew() == 1
    assert not not_counted_yet().exists()
    assert Item.objects.filter(usable_on(DAY)).count() == 1


def test_the_page_has_them_counted_in_the_background(
    item: Item, oyelaran: User, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(actions, "COUNTED_AT_ONCE", 0)
    client.force_login(oyelaran)
    client.post(reverse(ADDRESS), {"schemes": ["eu"], "equipment_class": "*", "use_class": "*"})
    assert not not_counted_yet().exists()


def test_an_employer_may_read_the_anniversary_as_too_late(item: Item) -> None:
    passed(item, DAY)
    change_regime(schemes=["gb"], shorter={}, anniversary_is_late=True, stamp=stamp())
    last = Due.objects.get(item=item).last_good_on
    assert last is not None
    assert last.day == DAY.day - 1


def test_a_scheme_without_intervals_is_told_to_leave_equipment_unusable(
    client: Client, oyelaran: User, item: Item
) -> None:
    passed(item, DAY)
    change_regime(schemes=["us"], shorter={}, stamp=stamp())
    assert dict(verdict_of(item, DAY).facts)["missing"] == "interval"
    client.force_login(oyelaran)
    page = client.get(reverse(ADDRESS)).content.decode()
    assert "they are not usable until you choose another scheme" in page
    change_regime(schemes=["us"], shorter={"*/*": 12}, stamp=stamp())
    assert verdict_of(item, DAY).usable
    assert "not usable until you choose" not in client.get(reverse(ADDRESS)).content.decode()


@pytest.mark.parametrize("slug", scheme_slugs())
def test_the_page_shows_every_line_of_every_scheme_and_how_it_is_known(
    client: Client, oyelaran: User, slug: str
) -> None:
    change_regime(schemes=["eu"], shorter={}, stamp=stamp())
    client.force_login(oyelaran)
    page = html.unescape(client.get(reverse(ADDRESS), {"look": slug}).content.decode())
    for name, _heads, rows in sections_of(scheme(slug)):
        assert name in page
        for row in rows:
            assert dict(row)["Source"] in page
            assert dict(row)["How known"] in page
