"""`manage.py keep_cover`: keeps every site's statement of cover up to date, until it is ended.

It may be killed at any moment and run twice at once: each statement is kept in one transaction, and
an older one never replaces a newer. Without it pages make what they need themselves, but slowly.
"""

from __future__ import annotations

import argparse
import logging
import time
from collections.abc import Callable

from django.core.management.base import BaseCommand
from django.db import close_old_connections

from readiness.board.keeping import bring_up_to_date, lacking, longest_unread
from readiness.models import KeptStatement
from readiness.rules.slices import Solver
from register import clock
from register.models import Site

logger = logging.getLogger(__name__)

LOOKS_EVERY = 2.0  # seconds
LEFT_ALONE = 60.0  # seconds until a site whose statement failed is tried again
REMEMBERED = 200  # sites whose solved contests are kept in memory
MOST_CONTESTS = 5_000  # of one site


class Command(BaseCommand):
    help = "Keeps every site's statement of rescue cover up to date. Ends with Ctrl-C."

    def __init__(self) -> None:
        super().__init__()
        self._solvers: dict[int, Solver] = {}
        self._failed: dict[int, float] = {}

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--once", action="store_true", help="bring all up to date and stop")
        parser.add_argument(
            "--every", type=float, default=LOOKS_EVERY, help="seconds between two looks"
        )

    def handle(self, *_args: object, once: bool, every: float, **_options: object) -> None:
        if once:
            made = self.look()
            self.stdout.write(f"{made} statements of cover were brought up to date.")
            return
        self.run_until_ended(lambda: time.sleep(every))

    def run_until_ended(self, pause: Callable[[], None]) -> None:
        while True:
            close_old_connections()
            try:
                if not self.look():
                    self.compare_one()
            except Exception:
                logger.exception("Looking for changed sites failed; tried again soon.")
            pause()

    def look(self) -> int:
        """Bring all that lacks it up to date; how many were."""
        sites = list(lacking(clock.now()))
        return sum(self._kept(site) for site in sites if not self._left_alone(site))

    def compare_one(self) -> None:
        """With nothing to do, read one site's facts though nothing says that they have changed.

        Every act says which sites it may reach. Were one ever to forget a site, this would find it.
        """
        site = longest_unread()
        if site is None or self._left_alone(site):
            return
        before = KeptStatement.objects.filter(site=site).values_list("facts", "facts_version")
        told = before.first()
        self._kept(site)
        facts, version = before.first() or ("", 0)
        if told and told[1] == version and told[0] != facts:
            logger.error("The facts of %s changed, and no act said so.", site.code)

    def _kept(self, site: Site) -> bool:
        """One site that cannot be judged must not keep the others waiting."""
        try:
            bring_up_to_date(site, clock.now(), self._solver(site))
        except Exception:
            logger.exception("The statement of cover of %s failed.", site.code)
            self._failed[site.pk] = time.monotonic()
            return False
        self._failed.pop(site.pk, None)
        return True

    def _left_alone(self, site: Site) -> bool:
        failed_at = self._failed.get(site.pk)
        return failed_at is not None and time.monotonic() - failed_at < LEFT_ALONE

    def _solver(self, site: Site) -> Solver:
        """What was solved for this site before; after one change little of it is new."""
        solver = self._solvers.pop(site.pk, None)
        if solver is None or len(solver.known) > MOST_CONTESTS:
            solver = Solver()
        self._solvers[site.pk] = solver
        if len(self._solvers) > REMEMBERED:
            self._solvers.pop(next(iter(self._solvers)))
        return solver
