"""The employer's regime: it may only shorten, and every date follows at once."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.regime import change_regime
from inspections.models import Due, Regime
from register.models import Entry, Item, Role, Site, User
from register.refusal import Refusal
from tests.factories import DAY, passed, stamp, user_as

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
