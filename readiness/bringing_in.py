"""Work done in the background: looking through files about people, and bringing them in."""

from __future__ import annotations

from django_tasks import task

from inspections.tasks import apply_later, plan_later
from readiness.intake.rota.feeding import refresh
from readiness.intake.rota.way import ROTA_WAY
from readiness.intake.training.way import TRAINING_WAY
from readiness.models import RotaFeed
from register import clock
from register.models import Stamp


@task()
def plan_training_in_background(intake_pk: int) -> None:
    """Fill in the preview of a training matrix."""
    plan_later(TRAINING_WAY, intake_pk)


@task()
def apply_training_in_background(intake_pk: int, user_pk: int | None) -> None:
    """Do the lines of a training matrix, on behalf of the user who accepted it."""
    apply_later(TRAINING_WAY, intake_pk, user_pk)


@task()
def plan_rota_in_background(intake_pk: int) -> None:
    """Fill in the preview of a rota."""
    plan_later(ROTA_WAY, intake_pk)


@task()
def apply_rota_in_background(intake_pk: int, user_pk: int | None) -> None:
    """Do the lines of a rota, on behalf of the user who accepted it."""
    apply_later(ROTA_WAY, intake_pk, user_pk)


@task()
def fetch_feed_in_background(feed_pk: int) -> None:
    """Ask a followed calendar once."""
    feed = RotaFeed.objects.followed().select_related("site", "zone").filter(pk=feed_pk).first()
    if feed is not None:
        refresh(feed, stamp=Stamp(by=None, at=clock.now(), device="calendar"))
