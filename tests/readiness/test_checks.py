"""Kept checks of cover: what they promise, who is told when it breaks, what the open page shows."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, time, timedelta
from typing import Any

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from readiness.actions.checks import keep_check, know_change
from readiness.actions.permits import cancel_permit, close_permit, sign_permit
from readiness.board.checks import look_again
from readiness.board.keeping import bring_up_to_date
from readiness.board.losses import changes_to_tell
from readiness.models import CoverChange, CoverCheck, Exposure, Permit, RotaEntry
from readiness.rules.reasons import CODES
from readiness.wording.checks import reason_kind
from register.actions.conditions import quarantine
from register.clock import now, today
from register.models import Entry, Role
from register.refusal import Refusal
from tests.factories import DAY, NOON, SiteFactory, stamp, user_as
from tests.readiness.grounds import Ground, covered_site, rated_kit
from tests.readiness.timelines import ZONE

pytestmark = pytest.mark.django_db
BEGINS, ENDS = (datetime.combine(DAY, time(hour), tzinfo=ZONE) for hour in (13, 18))
AT_ONE = BEGINS
MINUTE = timedelta(minutes=1)


@pytest.fixture
def ground() -> Ground:
    cache.clear()
    return covered_site()


def a_check(ground: Ground, **hours: Any) -> CoverCheck:
    edges = {"begins_at": BEGINS, "ends_at": ENDS, **hours}
    user = user_as(Role.SUPERVISOR, ground.site)
    return keep_check(ground.task, permit_reference="PTW-17", stamp=stamp(user), **edges)


def out_of_use(ground: Ground, at: datetime = AT_ONE) -> None:
    quarantine(ground.kit.item, reason="seal-broken", stamp=stamp(at=at))


def test_a_check_keeps_kit_people_anchor_minutes_and_the_facts_it_rests_on(ground: Ground) -> None:
    check = a_check(ground)

    (served,) = check.promised
    assert (served["kit"], served["anchor"]) == (ground.kit.name, ground.anchor.code)
    assert served["people"] == [str(ground.rescuer.pk)]
    assert served["minutes"] == 7
    assert len(check.facts) == 64
    assert Entry.objects.get(thing_kind="covercheck").facts["permit"] == "PTW-17"


def test_no_check_is_kept_of_what_is_not_covered_in_every_hour(ground: Ground) -> None:
    RotaEntry.objects.filter(person=ground.rescuer).update(ends=time(17))

    with pytest.raises(Refusal) as refused:
        a_check(ground)

    assert refused.value.code == "not-covered"
    assert not CoverCheck.objects.exists()


def test_no_check_is_kept_of_hours_that_are_over(ground: Ground) -> None:
    with pytest.raises(Refusal) as refused:
        a_check(ground, begins_at=NOON - 2 * MINUTE, ends_at=NOON)

    assert refused.value.code == "time-over"


def test_a_check_is_true_broken_or_over(ground: Ground) -> None:
    check = a_check(ground)
    assert look_again(check, AT_ONE).verdict == "true"

    out_of_use(ground, AT_ONE + MINUTE)

    seen = look_again(check, AT_ONE)
    assert seen.verdict == "broken"
    assert seen.since.endswith("13:01")
    assert seen.kinds == ("the rescue kit",)
    assert look_again(check, ENDS).verdict == "over"


def test_who_relied_on_lost_cover_is_told_once(ground: Ground) -> None:
    bring_up_to_date(ground.site, NOON)
    check = a_check(ground)
    out_of_use(ground)
    for at in (AT_ONE + MINUTE, AT_ONE + 2 * MINUTE):
        bring_up_to_date(ground.site, at)
        ground.site.__class__.objects.filter(pk=ground.site.pk).update(facts_version=50)

    (loss,) = changes_to_tell([ground.site], AT_ONE + MINUTE)

    check.refresh_from_db()
    assert check.untrue_at == AT_ONE
    assert loss.since.endswith("13:00")
    assert loss.said == "no longer covered"
    assert loss.reasons
    assert loss.checks == (check,)
    assert CoverChange.objects.count() == 2
    know_change(loss.change, stamp=stamp())
    assert changes_to_tell([ground.site], AT_ONE + MINUTE) == []


def test_a_check_kept_while_something_changed_is_looked_at_again(ground: Ground) -> None:
    """The keeper had read the change before the check was there."""
    check = a_check(ground)
    out_of_use(ground)
    CoverCheck.objects.filter(pk=check.pk).update(untrue_at=ENDS)  # not there yet
    bring_up_to_date(ground.site, AT_ONE)
    CoverCheck.objects.filter(pk=check.pk).update(untrue_at=None)

    bring_up_to_date(ground.site, AT_ONE + MINUTE)

    check.refresh_from_db()
    assert check.untrue_at is not None


def test_another_kit_that_serves_breaks_the_check_and_not_the_cover(ground: Ground) -> None:
    check = a_check(ground)
    rated_kit(ground.zone, "RK-99")
    out_of_use(ground)

    bring_up_to_date(ground.site, AT_ONE)

    (told,) = changes_to_tell([ground.site], AT_ONE)
    assert told.said == "covered by another kit, crew or anchor than before"
    assert look_again(check, AT_ONE).verdict == "broken"


def test_a_loss_that_is_mended_is_told_as_mended(ground: Ground) -> None:
    bring_up_to_date(ground.site, NOON)
    out_of_use(ground)
    bring_up_to_date(ground.site, AT_ONE + MINUTE)
    rated_kit(ground.zone, "RK-99")
    ground.site.__class__.objects.filter(pk=ground.site.pk).update(facts_version=50)

    bring_up_to_date(ground.site, AT_ONE + 3 * MINUTE)

    assert CoverChange.objects.get().covered_again_at == AT_ONE + 3 * MINUTE


def test_that_somebody_knows_is_an_act_and_said_once(ground: Ground) -> None:
    bring_up_to_date(ground.site, NOON)
    out_of_use(ground)
    bring_up_to_date(ground.site, AT_ONE + MINUTE)
    change = CoverChange.objects.get()

    know_change(change, stamp=stamp(user_as(Role.SUPERVISOR, ground.site)))

    assert changes_to_tell([ground.site], AT_ONE + MINUTE) == []
    assert Entry.objects.filter(thing_kind="coverchange").count() == 1
    with pytest.raises(Refusal):
        know_change(change, stamp=stamp())


def test_every_kind_of_reason_has_words_that_name_nobody() -> None:
    assert all(reason_kind(code) for code in CODES)


@pytest.fixture
def check() -> CoverCheck:
    """Of today, for the page has a clock of its own."""
    cache.clear()
    day = today(SiteFactory())
    ground = covered_site(day=day)
    at = now()
    ground.shift.begins, ground.shift.ends = time(0), time(0)
    ground.shift.save()
    ends = at + timedelta(seconds=50)
    return a_check(ground, begins_at=at - timedelta(seconds=1), ends_at=ends)


def page(check: CoverCheck, client: Client | None = None) -> str:
    response = (client or Client()).get(check.get_absolute_url())
    assert response.status_code == 200
    return response.content.decode()


def names(check: CoverCheck) -> set[str]:
    exposed = {one.person.name for one in Exposure.objects.filter(task=check.task)}
    return exposed | {name for one in check.promised for name in one["names"]}


def test_the_paper_tells_whether_it_holds_and_names_nobody(check: CoverCheck) -> None:
    shown = page(check)

    assert "Still true" in shown
    assert check.task.code in shown
    assert check.site.name in shown
    assert not [name for name in names(check) if name in shown]
    assert "PTW-17" not in shown


def test_a_broken_check_tells_the_kind_of_reason_and_names_nobody(check: CoverCheck) -> None:
    RotaEntry.objects.all().delete()

    shown = page(check)

    assert "No longer true" in shown
    assert "the rescuers" in shown
    assert not [name for name in names(check) if name in shown]


@pytest.mark.parametrize(
    ("end", "told"),
    [
        (lambda permit: cancel_permit(permit, because="Ada saw wind", stamp=stamp()), "cancelled"),
        (lambda permit: close_permit(permit, stamp=stamp()), "handed back"),
    ],
)
def test_the_paper_of_a_permit_that_was_ended_is_no_longer_true(
    check: CoverCheck, end: Callable[[Permit], Permit], told: str
) -> None:
    end(sign_permit(check, stamp=stamp()))

    shown = page(check)

    assert "Still true" not in shown
    assert f"Its permit was {told}" in shown
    assert "Ada saw wind" not in shown


def test_who_has_a_role_at_the_site_sees_who_serves(check: CoverCheck) -> None:
    client, stranger = Client(), Client()
    client.force_login(user_as(Role.SUPERVISOR, check.site))
    stranger.force_login(user_as(Role.MANAGER, SiteFactory()))

    assert "PTW-17" in page(check, client)
    assert check.promised[0]["names"][0] in page(check, client)
    assert check.promised[0]["names"][0] not in page(check, stranger)


def test_guessing_at_references_ends_after_some_looks(ground: Ground) -> None:
    address = reverse("readiness:cover-check", args=["2345678"])
    seen = [Client().get(address).status_code for _ in range(61)]

    assert seen[:60] == [404] * 60
    assert seen[60] == 429


def test_a_check_is_kept_on_a_page_and_its_refusal_is_told_there(check: CoverCheck) -> None:
    client = Client()
    client.force_login(user_as(Role.SUPERVISOR, check.site))
    address = reverse("readiness:check-keep", args=[check.site.code, check.task.code])
    given = {"on": f"{today(check.site):%Y-%m-%d}", "shift": check.task.shifts.get().pk}

    assert client.post(address, given).status_code == 302
    assert CoverCheck.objects.count() == 2
    RotaEntry.objects.all().delete()
    refused = client.post(address, given)
    assert refused.status_code == 422
    assert "is not covered in all of these hours" in refused.content.decode()
