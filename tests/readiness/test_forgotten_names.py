"""A forgotten name stands no longer in what rescue cover keeps as text, and the cover stays."""

from __future__ import annotations

from datetime import datetime, time, timedelta

import pytest

from readiness.actions.checks import keep_check
from readiness.board.keeping import bring_up_to_date
from readiness.models import KeptStatement
from register.actions.erasing import erase_person
from register.models import Role
from tests.factories import DAY, NOON, stamp, user_as
from tests.readiness.grounds import covered_site
from tests.readiness.timelines import ZONE

pytestmark = pytest.mark.django_db


def test_a_forgotten_rescuer_is_a_number_in_kept_checks_and_statements() -> None:
    ground = covered_site()
    rescuer = ground.rescuer
    rescuer.name = "Ines Carrow"
    rescuer.save()
    begins, ends = (datetime.combine(DAY, time(hour), tzinfo=ZONE) for hour in (13, 18))
    by = stamp(user_as(Role.SUPERVISOR, ground.site))
    check = keep_check(
        ground.task, permit_reference="PTW-17", begins_at=begins, ends_at=ends, stamp=by
    )
    bring_up_to_date(ground.site, NOON)
    assert "Ines Carrow" in KeptStatement.objects.get().body

    rescuer.left_on = DAY - timedelta(days=1)
    rescuer.save()
    erase_person(rescuer, stamp=stamp(user_as(Role.ADMINISTRATOR)))
    check.refresh_from_db()
    (served,) = check.promised
    assert served["people"] == [str(rescuer.pk)]
    assert served["names"] == [f"Person {rescuer.pk:04d}"]
    ground.site.refresh_from_db()
    bring_up_to_date(ground.site, NOON)
    assert "Ines Carrow" not in KeptStatement.objects.get().body
