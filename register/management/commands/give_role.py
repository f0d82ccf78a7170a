"""Give a user a role from the command line, for when nobody can get at the page."""

from __future__ import annotations

import argparse

from django.core.management.base import BaseCommand, CommandError

from register import clock
from register.actions.users import give_role
from register.models import Role, Site, Stamp, User
from register.refusal import Refusal


class Command(BaseCommand):
    help = "Gives a user a role, at one site or at every one."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("username")
        parser.add_argument("role", choices=Role.values)
        parser.add_argument("--site", help="code of the one site; without it, every site")

    def handle(self, *_args: object, username: str, role: str, **options: object) -> None:
        user = User.objects.filter(username__iexact=username).first()
        if user is None:
            raise CommandError(f"No user is called {username}.")
        code = options["site"]
        site = Site.objects.filter(code=code).first() if code else None
        if code and site is None:
            known = ", ".join(Site.objects.order_by("code").values_list("code", flat=True))
            raise CommandError(f"No site has the code {code}. There are: {known or 'none'}.")
        stamp = Stamp(by=None, at=clock.now(), device="command")
        try:
            grant = give_role(user, role=role, site=site, stamp=stamp)
        except Refusal as refusal:
            raise CommandError(refusal.sentence) from refusal
        self.stdout.write(f"{grant}.")
