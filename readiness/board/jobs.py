"""Open jobs as their pages show them: due by the clock of their site."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from readiness.models import Job
from readiness.wording.acts import by_when


@dataclass(frozen=True, slots=True)
class JobRow:
    job: Job
    due: str
    late: bool


def job_rows(jobs: Iterable[Job], now: datetime) -> list[JobRow]:
    """Jobs need their site loaded."""
    return [
        JobRow(job, by_when(job.due_at, ZoneInfo(job.site.time_zone)), job.due_at < now)
        for job in jobs
    ]
