"""Sites, zones, shifts and the minutes between zones: entered and changed on their pages."""

from __future__ import annotations

from datetime import time

import pytest
from django.test import Client
from django.urls import reverse

from readiness.models import RotaEntry
from register.actions.places import set_passages
from register.models import Entry, Passage, Role, Shift, Site, User, Zone
from register.refusal import Refusal
from tests.factories import (
    DAY,
    PersonFactory,
    ShiftFactory,
    SiteFactory,
    ZoneFactory,
    stamp,
    user_as,
)

NEW_SITE = {
    "name": "Ashby Row stores",
    "code": "ashby",
    "address": "1 Ashby Row",
    "time_zone": "Europe/Dublin",
    "is_store": "on",
}


@pytest.fixture
def manager(client: Client, oyelaran: User) -> Client:
    client.force_login(oyelaran)
    return client


def facts_version(site: Site) -> int:
    return Site.objects.get(pk=site.pk).facts_version


def post_shift(manager: Client, site: Site, name: str, begins: str, ends: str) -> list[str]:
    """Enter a shift; the sentences of what is refused."""
    told = {"shift-name": name, "shift-begins": begins, "shift-ends": ends}
    answer = manager.post(reverse("register:shift-new", args=[site.code]), told)
    return [] if answer.status_code == 302 else answer.context["shift_form"].non_field_errors()


def test_a_site_is_entered_and_stands_in_the_ledger(manager: Client) -> None:
    answer = manager.post(reverse("register:site-new"), NEW_SITE)
    assert answer.status_code == 302
    site = Site.objects.get(code="ashby")
    assert answer["Location"] == reverse("register:site-places", args=["ashby"])
    assert (site.name, site.time_zone, site.is_store) == ("Ashby Row stores", "Europe/Dublin", True)
    [entry] = Entry.objects.filter(thing_kind="site", thing_id=str(site.pk))
    assert entry.facts["time_zone"] == "Europe/Dublin"


def test_a_time_zone_that_does_not_exist_is_refused_and_the_form_kept(manager: Client) -> None:
    told = {**NEW_SITE, "time_zone": "Europe/Ashby"}
    answer = manager.post(reverse("register:site-new"), told)
    assert answer.status_code == 422
    form = answer.context["form"]
    assert form.errors["time_zone"] == [
        "“Europe/Ashby” is no time zone. Write one like Europe/London."
    ]
    assert form["name"].value() == "Ashby Row stores"
    assert not Site.objects.filter(code="ashby").exists()


def test_two_sites_have_neither_one_code_nor_one_name(site: Site, manager: Client) -> None:
    for change in ({"code": "corrick"}, {"name": "corrick quay"}):
        form = manager.post(reverse("register:site-new"), {**NEW_SITE, **change}).context["form"]
        assert len(form.non_field_errors()) == 1
    assert list(Site.objects.all()) == [site]


def test_who_holds_one_site_enters_no_other(site: Site, client: Client) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    assert client.post(reverse("register:site-new"), NEW_SITE).status_code == 403
    assert not Site.objects.filter(code="ashby").exists()


def test_a_changed_site_keeps_its_code(site: Site, manager: Client) -> None:
    told = {"name": "Corrick Old Quay", "time_zone": "Europe/London", "code": "other"}
    assert manager.post(reverse("register:site-edit", args=["corrick"]), told).status_code == 302
    assert Site.objects.get(pk=site.pk).name == "Corrick Old Quay"
    assert facts_version(site) == 1


def test_a_zone_is_entered_once(site: Site, manager: Client) -> None:
    address = reverse("register:zone-new", args=["corrick"])
    assert manager.post(address, {"zone-name": "Silo", "zone-code": "silo"}).status_code == 302
    again = manager.post(address, {"zone-name": "Silo head", "zone-code": "silo"})
    assert again.status_code == 422
    assert again.context["zone_form"].non_field_errors() == [
        "Corrick Quay has a zone with the code “silo” already."
    ]
    assert again.context["zone_form"]["name"].value() == "Silo head"
    assert [zone.name for zone in site.zones.all()] == ["Silo"]
    assert facts_version(site) == 1


def test_a_zone_is_renamed(site: Site, manager: Client) -> None:
    zone = ZoneFactory(site=site, code="silo", name="Silo")
    address = reverse("register:zone-edit", args=["corrick", "silo"])
    assert manager.post(address, {"name": "Grain silo"}).status_code == 302
    assert Zone.objects.get(pk=zone.pk).name == "Grain silo"


def test_a_night_shift_runs_past_midnight(site: Site, manager: Client) -> None:
    assert post_shift(manager, site, "Night", "22:00", "06:00") == []
    assert Shift.objects.get(site=site).hours == "22:00–06:00"


def test_a_shift_of_no_length_is_refused(site: Site, manager: Client) -> None:
    assert post_shift(manager, site, "Day", "06:00", "06:00") == [
        "The shift ends when it begins. Give its first and last minute."
    ]


def test_a_shifts_name_stands_once_a_site(site: Site, manager: Client) -> None:
    ShiftFactory(site=site, name="Day")
    assert post_shift(manager, site, "day", "06:00", "14:00") == [
        "A shift of this site is called day already."
    ]


def test_the_hours_of_an_unused_shift_change(site: Site, manager: Client) -> None:
    shift = ShiftFactory(site=site)
    told = {"name": "Early", "begins": "05:00", "ends": "13:00"}
    address = reverse("register:shift-edit", args=["corrick", shift.pk])
    assert manager.post(address, told).status_code == 302
    shift.refresh_from_db()
    assert (shift.name, shift.begins, shift.ends) == ("Early", time(5), time(13))


def test_a_shift_with_a_rota_keeps_its_hours_and_takes_a_name(site: Site, manager: Client) -> None:
    shift = ShiftFactory(site=site)
    zone = ZoneFactory(site=site)
    person = PersonFactory()
    RotaEntry.objects.create(site=site, person=person, day_on=DAY, shift=shift, zone=zone)
    address = reverse("register:shift-edit", args=["corrick", shift.pk])
    refused = manager.post(address, {"name": "Early", "begins": "05:00", "ends": "13:00"})
    assert refused.status_code == 422
    assert refused.context["form"].non_field_errors()[0].startswith("The hours of Day stay 06:00")
    assert (
        manager.post(address, {"name": "Early", "begins": "06:00", "ends": "18:00"}).status_code
        == 302
    )
    shift.refresh_from_db()
    assert (shift.name, shift.begins) == ("Early", time(6))


def test_the_minutes_between_zones_are_kept_changed_and_taken_out(
    site: Site, manager: Client
) -> None:
    quay, silo = ZoneFactory(site=site, code="quay"), ZoneFactory(site=site, code="silo")
    out, back = f"from-{quay.pk}-to-{silo.pk}", f"from-{silo.pk}-to-{quay.pk}"
    address = reverse("register:site-passages", args=["corrick"])
    kept = []
    for told in ({out: "4", back: ""}, {out: "4", back: "6"}, {out: "", back: "6"}):
        assert manager.post(address, told).status_code == 302
        kept.append(sorted(Passage.objects.values_list("start__code", "end__code", "minutes")))
    assert kept == [
        [("quay", "silo", 4)],
        [("quay", "silo", 4), ("silo", "quay", 6)],
        [("silo", "quay", 6)],
    ]
    assert facts_version(site) == 3


def test_minutes_that_did_not_change_are_no_act(site: Site, manager: Client) -> None:
    quay, silo = ZoneFactory(site=site), ZoneFactory(site=site)
    told = {f"from-{quay.pk}-to-{silo.pk}": "4"}
    for _ in range(2):
        manager.post(reverse("register:site-passages", args=["corrick"]), told)
    assert Entry.objects.filter(thing_kind="site").count() == 1


def test_minutes_nobody_can_mean_come_back_filled_in(site: Site, manager: Client) -> None:
    quay, silo = ZoneFactory(site=site), ZoneFactory(site=site)
    box = f"from-{quay.pk}-to-{silo.pk}"
    answer = manager.post(reverse("register:site-passages", args=["corrick"]), {box: "4000"})
    assert answer.status_code == 422
    assert answer.context["passages"][box].value() == "4000"
    assert not Passage.objects.exists()


def test_minutes_that_contradict_each_other_come_back_filled_in(
    site: Site, manager: Client
) -> None:
    """Straight across takes longer than the way round, so one of the three is wrong."""
    deck, quay, silo = (ZoneFactory(site=site, code=code) for code in ("deck", "quay", "silo"))
    given = {(deck, quay): "2", (quay, silo): "3", (deck, silo): "30"}
    told = {f"from-{start.pk}-to-{end.pk}": taken for (start, end), taken in given.items()}

    answer = manager.post(reverse("register:site-passages", args=["corrick"]), told)

    assert answer.status_code == 422
    assert f"by way of {quay} it takes 5" in answer.content.decode()
    assert not Passage.objects.exists()


def test_a_passage_joins_two_zones_of_the_one_site(site: Site) -> None:
    quay, strange = ZoneFactory(site=site), ZoneFactory(site=SiteFactory())
    codes = []
    for way in ((quay, quay), (quay, strange)):
        with pytest.raises(Refusal) as refused:
            set_passages(site, minutes={way: 3}, stamp=stamp())
        codes.append(refused.value.code)
    assert codes == ["same-zone", "other-site"]
    assert not Passage.objects.exists()


def test_ten_zones_cost_as_many_queries_as_two(
    site: Site, manager: Client, django_assert_max_num_queries: object
) -> None:
    for _ in range(10):
        ZoneFactory(site=site)
    with django_assert_max_num_queries(9):  # type: ignore[operator]
        assert manager.get(reverse("register:site-places", args=["corrick"])).status_code == 200
