"""The limits of rescue cover: the employer's, kept with an act, felt at every site."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from readiness.actions.policy import change_policy
from readiness.models import CoverPolicy
from register.models import Entry, Role, Site, User
from register.refusal import Refusal
from tests.factories import stamp, user_as

ADDRESS = "readiness:policy-edit"
LIMITS = {
    "alarm_minutes": 2,
    "share_within_minutes": 2,
    "first_aid_within_minutes": 10,
    "plan_review_months": 12,
    "drill_months": 6,
    "restraint_allowance_m": 0.5,
    "rescuer_kg": 100,
    "swing_look_deg": 20,
    "swing_most_deg": 30,
}


def test_changed_limits_are_kept_once_and_every_site_has_newer_facts(
    client: Client, oyelaran: User, site: Site
) -> None:
    client.force_login(oyelaran)
    for _ in range(2):
        assert client.post(reverse(ADDRESS), LIMITS).status_code == 302
    policy = CoverPolicy.objects.get()
    assert (policy.alarm_minutes, policy.drill_months) == (2, 6)
    assert Entry.objects.filter(thing_kind="coverpolicy").count() == 2
    site.refresh_from_db()
    assert site.facts_version == 2


def test_limits_that_make_no_sense_are_refused(db: None) -> None:
    with pytest.raises(Refusal):
        change_policy(CoverPolicy(drill_months=0), stamp=stamp())
    with pytest.raises(Refusal):
        change_policy(CoverPolicy(restraint_allowance_m=-1), stamp=stamp())
    for look, most in ((0, 30), (35, 30), (20, 75)):
        with pytest.raises(Refusal):
            change_policy(CoverPolicy(swing_look_deg=look, swing_most_deg=most), stamp=stamp())
    assert not CoverPolicy.objects.exists()


def test_a_blank_limit_comes_back_with_the_form(client: Client, oyelaran: User) -> None:
    client.force_login(oyelaran)
    answer = client.post(reverse(ADDRESS), {**LIMITS, "alarm_minutes": ""})
    assert answer.status_code == 422
    assert not CoverPolicy.objects.exists()


def test_the_manager_of_one_site_changes_no_limit(client: Client, site: Site) -> None:
    client.force_login(user_as(Role.MANAGER, site))
    assert client.post(reverse(ADDRESS), LIMITS).status_code == 403
