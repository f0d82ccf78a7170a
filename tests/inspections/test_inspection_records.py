"""Records and their corrections, and who may inspect what."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from inspections.models import Authorisation, Due, Inspection
from register import clock
from register.models import Item, Site, User
from register.rules.photos import plain_photo
from tests.factories import PNG, PersonFactory, SiteFactory, inspector, passed, user_as

NO_DEFECT = {"form-TOTAL_FORMS": "3", "form-INITIAL_FORMS": "0"}


@pytest.fixture
def huw(site: Site) -> User:
    return inspector(on=clock.today(site))


@pytest.fixture
def record(item: Item, huw: User) -> Inspection:
    """Huw's pass of yesterday."""
    on = clock.today(item.site) - timedelta(days=1)
    return passed(item, on, inspector=huw.person, recorded_by=huw)


def corrected(client: Client, record: Inspection, **changed: object) -> str:
    told = {
        "kind": record.kind,
        "right_verdict": record.verdict,
        "performed_on": record.performed_on.isoformat(),
        "reason": "Entered for the wrong day",
        **NO_DEFECT,
        **changed,
    }
    address = reverse("inspections:inspection-correct", args=[record.pk])
    return client.post(address, told, follow=True).content.decode()


def seen(client: Client, record: Inspection) -> str:
    return client.get(reverse("inspections:inspection-detail", args=[record.pk])).content.decode()


def test_a_corrected_record_and_the_right_one_both_stay_readable(
    client: Client, huw: User, record: Inspection
) -> None:
    client.force_login(huw)
    day = record.performed_on - timedelta(days=100)
    before = Due.objects.get(item=record.item).last_good_on
    page = corrected(client, record, performed_on=day.isoformat())
    right = Inspection.objects.get(supersedes=record)
    assert "This corrects" in page
    assert "Entered for the wrong day" in seen(client, record)
    assert str(right.pk) in seen(client, record)
    assert Due.objects.get(item=record.item).last_good_on < before


def test_a_correction_needs_a_reason_and_a_day_that_has_been(
    client: Client, huw: User, record: Inspection
) -> None:
    client.force_login(huw)
    page = corrected(client, record, reason="", performed_on="2999-01-01", note="left leg")
    assert "1 Jan 2999 is in the future" in page
    assert "Fill in “What was wrong with the record”." in page
    assert "left leg" in page
    assert Inspection.objects.count() == 1


def test_nobody_else_turns_a_record_into_a_pass(client: Client, record: Inspection) -> None:
    client.force_login(inspector())
    assert f"Only {record.inspector_name} can correct this record" in corrected(client, record)
    assert Inspection.objects.count() == 1


def test_the_correction_begins_with_the_record_and_its_defects(
    client: Client, huw: User, record: Inspection
) -> None:
    record.defects.create(grade="C", what="fuzz at the stitching")
    client.force_login(huw)
    page = client.get(reverse("inspections:inspection-correct", args=[record.pk])).content.decode()
    assert 'value="fuzz at the stitching"' in page
    assert f'value="{record.performed_on.isoformat()}"' in page


def test_a_photograph_is_shown_to_who_sees_the_item(
    client: Client, huw: User, record: Inspection, site: Site
) -> None:
    client.force_login(huw)
    photo = SimpleUploadedFile("x.png", PNG)
    defect = {"form-0-grade": "A", "form-0-what": "cut", "form-0-photo": photo}
    corrected(client, record, right_verdict="fail", **defect)
    kept = Inspection.objects.get(supersedes=record).defects.get()
    answer = client.get(reverse("inspections:defect-photo", args=[kept.pk]))
    assert (answer["Content-Type"], b"".join(answer.streaming_content)) == (
        "image/jpeg",
        plain_photo(PNG),
    )
    client.force_login(user_as("worker", SiteFactory()))
    assert client.get(reverse("inspections:defect-photo", args=[kept.pk])).status_code == 404


def test_a_record_of_another_site_is_not_shown(client: Client, record: Inspection) -> None:
    client.force_login(user_as("competent-person", SiteFactory()))
    address = reverse("inspections:inspection-detail", args=[record.pk])
    assert client.get(address).status_code == 404


def test_a_manager_authorises_and_everyone_concerned_reads_it(
    client: Client, oyelaran: User
) -> None:
    person = PersonFactory(name="Ines Farrow")
    client.force_login(oyelaran)
    days = {"from_on": "2026-01-01", "through_on": "2999-12-31"}
    told = {"person": person.pk, "classes": ["retractable"], "basis": "course C-7", **days}
    address = reverse("inspections:authorisation-new")
    page = client.post(address, told, follow=True).content.decode()
    given = Authorisation.objects.get()
    assert (given.classes, given.kinds, given.given_by) == (["retractable"], [], oyelaran)
    assert "Ines Farrow" in page
    assert "Retractable fall arrester" in page
    assert "every kind" in page
    assert "in force" in page


def test_an_authorisation_that_ends_before_it_begins_keeps_the_form(
    client: Client, oyelaran: User
) -> None:
    client.force_login(oyelaran)
    days = {"from_on": "2026-02-01", "through_on": "2026-01-01"}
    told = {"person": PersonFactory().pk, "basis": "course C-7", **days}
    page = client.post(reverse("inspections:authorisation-new"), told).content.decode()
    assert "The last day comes before the first." in page
    assert "course C-7" in page
    assert not Authorisation.objects.exists()


def test_who_manages_one_site_authorises_nobody_of_another(client: Client, site: Site) -> None:
    stranger = PersonFactory(home_site=SiteFactory())
    client.force_login(user_as("manager", site))
    days = {"from_on": "2026-01-01", "through_on": "2026-12-31"}
    told = {"person": stranger.pk, "basis": "course C-7", **days}
    client.post(reverse("inspections:authorisation-new"), told)
    assert not Authorisation.objects.exists()


def test_an_inspector_authorises_nobody(client: Client, huw: User) -> None:
    client.force_login(huw)
    assert client.get(reverse("inspections:authorisation-new")).status_code == 403
    assert client.get(reverse("inspections:authorisation-list")).status_code == 200


def test_an_item_elsewhere_now_is_read_by_its_new_site(client: Client, record: Inspection) -> None:
    other = SiteFactory()
    Inspection.objects.filter(pk=record.pk).update(site=record.item.site)
    Item.objects.filter(pk=record.item_id).update(site=other)
    client.force_login(user_as("stores-controller", other))
    address = reverse("inspections:inspection-detail", args=[record.pk])
    assert client.get(address).status_code == 200


@pytest.mark.parametrize("said", ["danger", "restricted"])
def test_nobody_else_takes_back_what_an_inspector_has_warned_of(
    client: Client, record: Inspection, said: str
) -> None:
    if said == "danger":
        record.defects.create(grade="B", what="worn", danger_by_on=record.performed_on)
    else:
        Inspection.objects.filter(pk=record.pk).update(restricted_to="restraint only")
    client.force_login(inspector())
    page = corrected(client, record, right_verdict="not-presented")
    assert f"Only {record.inspector_name} can correct this record" in page
    assert Inspection.objects.count() == 1
