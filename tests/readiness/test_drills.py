"""A drill uses a kit up: it covers nobody until it has been checked and sealed again."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse

from inspections.actions.inspecting import Finding, inspect
from inspections.actions.using import release_from_quarantine
from inspections.conditions import out_since, verdict_of
from readiness.actions.plans import record_drill
from readiness.models import Drill
from register.actions.kits import seal_kit
from register.models import Item, Kit
from register.refusal import Refusal
from tests.factories import DAY, NOON, inspector, stamp, user_as
from tests.readiness.grounds import Ground, covered_site


@pytest.fixture
def ground(db: None) -> Ground:
    return covered_site()


HOUR = timedelta(hours=1)


def drilled(ground: Ground, kit: Kit | None, **told: object) -> Drill:
    told = {"drilled_on": DAY, "minutes": 7.5, "stamp": stamp(), **told}
    return record_drill(ground.task.plans.get(), kit=kit, **told)  # type: ignore[arg-type]


def bag_of(kit: Kit) -> Item:
    return Item.objects.select_related("product", "site").get(pk=kit.item_id)


def checked(kit: Kit, after: timedelta) -> None:
    huw, at = inspector(), NOON + after
    look = Finding(kind="kit-check", verdict="pass", performed_at=at, inspector=huw.person)
    inspect(bag_of(kit), finding=look, stamp=stamp(huw, at=at))
    if bag_of(kit).condition == "quarantined":
        release_from_quarantine(bag_of(kit), stamp=stamp(huw, at=at))


def test_the_kit_of_a_drill_is_out_until_it_is_checked_and_sealed(ground: Ground) -> None:
    kit, version = ground.kit, ground.site.facts_version
    assert drilled(ground, kit).kit == kit
    assert not verdict_of(bag_of(kit), DAY).usable
    assert out_since([bag_of(kit)]) == {kit.item_id: NOON}
    ground.site.refresh_from_db()
    assert ground.site.facts_version > version
    seal_kit(kit, number="S-9", on=DAY, stamp=stamp(at=NOON + HOUR))
    assert not verdict_of(bag_of(kit), DAY).usable  # sealed, and not looked at
    checked(kit, 2 * HOUR)
    assert verdict_of(bag_of(kit), DAY).usable


def test_a_kit_that_was_checked_and_not_sealed_stays_out(ground: Ground) -> None:
    drilled(ground, ground.kit)
    checked(ground.kit, HOUR)
    verdict = verdict_of(bag_of(ground.kit), DAY)
    assert dict(verdict.facts) == {"problem": "seal-broken"}


def test_a_look_that_came_before_the_drill_releases_no_kit(ground: Ground) -> None:
    checked(ground.kit, -HOUR)
    drilled(ground, ground.kit)
    with pytest.raises(Refusal, match="stays in quarantine"):
        release_from_quarantine(bag_of(ground.kit), stamp=stamp(inspector(), at=NOON + HOUR))


def test_a_drill_told_late_leaves_a_kit_alone_that_was_put_right_since(ground: Ground) -> None:
    kit = ground.kit
    checked(kit, timedelta(0))
    Kit.objects.filter(pk=kit.pk).update(sealed_on=DAY)
    drilled(ground, kit, drilled_on=DAY - timedelta(days=2), stamp=stamp(at=NOON + HOUR))
    assert verdict_of(bag_of(kit), DAY).usable


def test_a_drill_told_late_takes_out_a_kit_that_nobody_looked_at(ground: Ground) -> None:
    kit = ground.kit
    Kit.objects.filter(pk=kit.pk).update(sealed_on=DAY)
    kit.item.inspections.all().update(performed_on=DAY - timedelta(days=9))
    drilled(ground, kit, drilled_on=DAY - timedelta(days=2))
    assert not verdict_of(bag_of(kit), DAY).usable
    since = out_since([bag_of(kit)])[kit.item_id]
    assert since.date() == DAY - timedelta(days=2)


def test_a_drill_without_a_kit_of_ours_takes_nothing_out(ground: Ground) -> None:
    drilled(ground, None)
    ground.kit.refresh_from_db()
    assert ground.kit.seal_intact


def test_the_form_asks_which_kit_and_takes_no_silence_for_none(
    client: Client, ground: Ground
) -> None:
    client.force_login(user_as("supervisor", ground.site))
    address = reverse("readiness:drill-new", args=[ground.site.code, ground.task.code])
    sent = {"drilled_on": DAY.isoformat(), "minutes": "7"}
    assert "This field is required." in client.post(address, sent).content.decode()
    assert not Drill.objects.filter(drilled_on=DAY, minutes=7).exists()
    client.post(address, {**sent, "used": ground.kit.name})
    assert Drill.objects.get(drilled_on=DAY, minutes=7).kit == ground.kit
    ground.kit.refresh_from_db()
    assert not ground.kit.seal_intact
    client.post(address, {**sent, "minutes": "8", "used": "-"})
    assert Drill.objects.get(minutes=8).kit is None
