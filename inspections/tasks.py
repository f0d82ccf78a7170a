"""Work done in the background: looking through a large file, bringing one in, counting anew."""

from __future__ import annotations

from collections.abc import Callable

from django_tasks import task

from inspections.actions.regime import count_anew
from inspections.documents import audit_pack
from inspections.intake import steps
from inspections.intake.apply import apply_intake
from inspections.intake.reports.way import REPORT_WAY
from inspections.intake.way_steps import apply_file, plan_file
from inspections.intake.ways import Way
from inspections.models import Intake
from register import clock
from register.errands import Kind, Made, Step, enter_kind
from register.intake.unreadable import Unreadable
from register.intake.wording import unreadable_told
from register.models import Errand, Stamp, User

_BROKEN = (
    "The program stopped with an error, which the administrator finds in its log. What went in"
    " before stays in the register; the rest can be started again."
)


@task()
def plan_in_background(intake_pk: int) -> None:
    """Fill in the preview of the intake."""
    intake = Intake.objects.select_related("document").get(pk=intake_pk)
    _done_or_told(intake, lambda: steps.plan_intake(intake))


@task()
def apply_in_background(intake_pk: int, user_pk: int | None) -> None:
    """Bring the intake in, on behalf of the user who asked for it."""
    intake = Intake.objects.select_related("document").get(pk=intake_pk)
    by = User.objects.filter(pk=user_pk).first() if user_pk else None
    stamp = Stamp(by=by, at=clock.now(), device="background")
    _done_or_told(intake, lambda: apply_intake(intake, stamp=stamp))


@task()
def plan_report_in_background(intake_pk: int) -> None:
    """Fill in the preview of an examiner's report."""
    plan_later(REPORT_WAY, intake_pk)


@task()
def apply_report_in_background(intake_pk: int, user_pk: int | None) -> None:
    """Do the lines of an examiner's report, on behalf of the user who accepted it."""
    apply_later(REPORT_WAY, intake_pk, user_pk)


def plan_later(way: Way, intake_pk: int) -> None:
    """Look through a file of any kind."""
    intake = Intake.objects.select_related("document", "by").get(pk=intake_pk)
    _done_or_told(intake, lambda: plan_file(way, intake))


def apply_later(way: Way, intake_pk: int, user_pk: int | None) -> None:
    """Do the lines of a file of any kind."""
    intake = Intake.objects.select_related("document", "by").get(pk=intake_pk)
    by = User.objects.filter(pk=user_pk).first() if user_pk else None
    stamp = Stamp(by=by, at=clock.now(), device="background")
    _done_or_told(intake, lambda: apply_file(way, intake, stamp=stamp))


@task()
def count_anew_in_background() -> None:
    """Every due day that was counted under another regime."""
    count_anew()


def _done_or_told(intake: Intake, work: Callable[[], object]) -> None:
    """Whatever goes wrong is told on the intake's page, and then to the log."""
    try:
        work()
    except Unreadable as reason:
        steps.stop(intake, unreadable_told(reason))
    except Exception:
        steps.stop(intake, _BROKEN)
        raise


def _audit_pack(errand: Errand, step: Step) -> Made:
    def stamp_at() -> Stamp:
        return Stamp(by=errand.asked_by, at=clock.now(), device="background")

    return audit_pack.make_pack(errand, step, stamp_at)


AUDIT_PACK = enter_kind(
    Kind(name="audit-pack", need="paper.issue", words=audit_pack.words_of, run=_audit_pack)
)
