"""What somebody's own calendar tells of them: training that ends, and jobs that they took on."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from django.utils.translation import gettext as _

from inspections.calendars.grouping import AHEAD_DAYS, address_of
from readiness.models import Competence, Job, family_name
from register.clock import day_at
from register.links import link_to
from register.models import Person
from register.rules.calendar import Happening, fitted
from register.wording import discreet, short_name

TRAINING, JOB = "training", "job"


def trainings(person: Person, today: date) -> Iterator[Happening]:
    """The last day of each kind; a renewal counts."""
    last: dict[tuple[str, str], Competence] = {}
    for held in Competence.objects.filter(person=person).order_by("through_on"):
        last[held.kind, held.family] = held
    for (kind, family), held in last.items():
        if today <= held.through_on <= today + timedelta(days=AHEAD_DAYS):
            what = family_name(family, held.get_kind_display())
            yield Happening(
                key=f"{TRAINING}-{kind}-{family}",
                topic=TRAINING,
                first_on=held.through_on,
                last_on=held.through_on,
                summary=_("Last good day of your training: %(what)s") % {"what": what},
                detail=_("From the day after you count for no rescue that needs it."),
            )


def jobs(person: Person) -> Iterator[Happening]:
    """One event for each job, on the day by which it is to be done."""
    rows = Job.objects.open().filter(who=person).select_related("site", "about")
    for job in rows:
        day = day_at(job.site, job.due_at)
        about = {job.about.name: short_name(job.about.name)} if job.about else {}
        yield Happening(
            key=f"{JOB}-{job.pk}",
            topic=JOB,
            first_on=day,
            last_on=day,
            summary=fitted(discreet(job.what, about), 300),
            place=address_of(job.site),
            link=link_to("readiness:job-list"),
        )
