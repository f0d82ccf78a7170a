"""`manage.py bring_in FILE --site CODE --day-first --as USERNAME --apply`: a workbook from the shell."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from inspections.intake import steps
from inspections.intake.apply import apply_intake
from inspections.intake.looking import begin_intake
from inspections.models import Intake
from register import clock
from register.access import may, sites_for
from register.intake.unreadable import Unreadable
from register.intake.wording import OUTCOME_NAMES, unreadable_told
from register.models import Site, Stamp, User

NEED = "intake.bring-in"
SHOWN = 50  # lines that stay out; the workbook of leftovers holds them all


class Command(BaseCommand):
    help = "Bring in a workbook of equipment. Without --apply it only says what would happen."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path)
        parser.add_argument("--as", dest="user", required=True, help="who brings it in: a username")
        parser.add_argument("--site", default="", help="code of the site of lines that name none")
        order = parser.add_mutually_exclusive_group()
        order.add_argument("--day-first", dest="order", action="store_const", const="day-first")
        order.add_argument("--month-first", dest="order", action="store_const", const="month-first")
        parser.add_argument("--apply", action="store_true", help="bring it in")

    def handle(self, *args: Any, **options: Any) -> None:
        user = _user(options["user"])
        intake = self._begun(user, options)
        steps.plan_intake(intake)
        self._tell(intake)
        if not options["apply"]:
            self.stdout.write("Nothing has gone in. Run it again with --apply to bring it in.")
            return
        stamp = Stamp(by=user, at=clock.now(), device="command line")
        counts = apply_intake(steps.start(intake, Intake.State.APPLYING, at=stamp.at), stamp=stamp)
        self.stdout.write(f"{counts.new} went in, {counts.bad} stayed out.")
        if counts.intake.leftover:
            self.stdout.write(f"What stayed out: {counts.intake.leftover.file.path}")

    def _begun(self, user: User, options: dict[str, Any]) -> Intake:
        file: Path = options["file"]
        sites = list(sites_for(user, NEED))
        own = _site(options["site"], user) if options["site"] else None
        first = own or next(iter(sites), None)
        if first is None:
            raise CommandError("There is no site to bring equipment to. Add the site first.")
        stamp = Stamp(by=user, at=clock.now(), device="command line")
        try:
            content = file.read_bytes()
            begun = begin_intake(
                content, file.name, on=clock.today(first), stamp=stamp, sites=sites
            )
        except OSError as error:
            raise CommandError(f"{file} cannot be read: {error.strerror}.") from error
        except Unreadable as reason:
            raise CommandError(unreadable_told(reason)) from reason
        begun.choices |= {"site": own.code if own else "", "date_order": options["order"] or ""}
        begun.save(update_fields=["choices"])
        return begun

    def _tell(self, intake: Intake) -> None:
        for outcome, number in intake.counts.items():
            self.stdout.write(f"{number:7} {OUTCOME_NAMES[outcome]}")
        for sheet, line, _serial, why in intake.findings["lists"]["bad"][:SHOWN]:
            self.stdout.write(f"{sheet}, line {line}: {why}")


def _user(name: str) -> User:
    user = User.objects.filter(username=name).first()
    if user is None:
        raise CommandError(f"There is no user {name!r}.")
    if not may(user, NEED):
        raise CommandError(f"{name} may not bring workbooks in. A stores controller may.")
    return user


def _site(code: str, user: User) -> Site:
    site = Site.objects.filter(code=code).first()
    if site is None:
        raise CommandError(f"There is no site with the code {code!r}.")
    if not may(user, NEED, site):
        raise CommandError(f"{user.username} may not bring workbooks in at {site}.")
    return site
