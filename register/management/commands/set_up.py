"""Begin a register of one's own: the first site, the first person, the first user and its roles."""

from __future__ import annotations

import argparse
import getpass
from collections.abc import Sequence

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.utils.text import slugify

from register import clock
from register.actions.places import add_site
from register.actions.users import add_user_and_person, change_password, new_first_password
from register.documents.sealing import make_ready
from register.models import Role, Site, Stamp, User
from register.refusal import Refusal

FIRST_ROLES = (Role.MANAGER, Role.ADMINISTRATOR)
TRIES = 3


class Command(BaseCommand):
    help = "Begins a register: the first site and the first user. Asks for what is not given."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--employer-site", help="name of the first site or store")
        parser.add_argument("--time-zone", default="Europe/London", help="of that site")
        parser.add_argument("--username", help="what the first user types to sign in")
        parser.add_argument("--name", help="the first user's own name")
        parser.add_argument(
            "--role",
            action="append",
            choices=Role.values,
            help="at every site; give it once a role",
        )
        parser.add_argument("--another", action="store_true", help="though there is a user already")

    def handle(self, *_args: object, **options: object) -> None:
        _refuse_without_tables()
        if not options["another"]:
            _refuse_second_beginning()
        site = _text(options["employer_site"])
        if not site and not options["another"] and not options["username"]:
            site = _asked("Name of the first site or store (empty for none yet): ")
        username = _text(options["username"]) or _asked("User name to sign in with: ")
        name = _text(options["name"]) or _asked("Name of the person: ")
        roles = _roles(options["role"])
        password = _chosen_password(username)
        make_ready()  # the key that seals papers
        try:
            _begin(site, str(options["time_zone"]), username, name, roles=roles, password=password)
        except Refusal as refusal:
            raise CommandError(refusal.sentence) from refusal
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        self.stdout.write(f"{name} can sign in as {username.lower()}. Next: enter zones and shifts")
        self.stdout.write("and the employer's name under Sites, and who else signs in under Users.")


@transaction.atomic
def _begin(
    site: str, time_zone: str, username: str, name: str, *, roles: Sequence[str], password: str
) -> None:
    stamp = Stamp(by=None, at=clock.now(), device="command")
    if site:
        add_site(
            code=_code_of(site),
            name=site,
            address="",
            time_zone=time_zone,
            is_store=False,
            stamp=stamp.again(),
        )
    user = add_user_and_person(
        name=name,
        employer="",
        home_site=None,
        username=username,
        password=new_first_password(),
        roles=[(role, None) for role in roles],
        stamp=stamp.again(),
    )
    change_password(user, password=password, stamp=stamp.again())


def _code_of(name: str) -> str:
    """The first words of the name that fit, as a code no site has."""
    words = slugify(name).split("-")
    code = words[0][:20] or "site"
    for word in words[1:]:
        if len(code) + len(word) >= 20:  # noqa: PLR2004 - the length of Site.code
            break
        code += f"-{word}"
    taken = set(Site.objects.values_list("code", flat=True))
    return next(
        each for each in (code, *(f"{code[:17]}-{n}" for n in range(2, 99))) if each not in taken
    )


def _refuse_without_tables() -> None:
    executor = MigrationExecutor(connection)
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise CommandError(
            "The tables are missing or out of date. Make them first: python3 manage.py migrate"
        )


def _refuse_second_beginning() -> None:
    known = User.objects.order_by("pk").first()
    if known:
        raise CommandError(
            f"The register has a user already ({known.username}). Others are entered on its page"
            " Users. If nobody can get in there any more, add --another to enter one here."
        )


def _text(given: object) -> str:
    return " ".join(str(given or "").split())


def _asked(question: str) -> str:
    try:
        return " ".join(input(question).split())
    except EOFError as error:
        raise CommandError(f"Nobody answers “{question.strip()}” here.") from error


def _roles(given: object) -> list[str]:
    usual = ", ".join(FIRST_ROLES)
    if isinstance(given, list) and given:
        return list(dict.fromkeys(given))
    said = _asked(f"Roles at every site, with commas ({', '.join(Role.values)}) [{usual}]: ")
    roles = [role.strip() for role in (said or usual).split(",")]
    wrong = [role for role in roles if role not in Role.values]
    if wrong:
        raise CommandError(f"{', '.join(wrong)}: no such role. There are {', '.join(Role.values)}.")
    return list(dict.fromkeys(roles))


def _chosen_password(username: str) -> str:
    """Typed twice, never shown; asked again where the two differ or it is too easy."""
    for _ in range(TRIES):
        password = getpass.getpass("Password: ")
        try:
            validate_password(password, User(username=username))
        except ValidationError as error:
            print(" ".join(error.messages))
            continue
        if password == getpass.getpass("The same again: "):
            return password
        print("The two differ.")
    raise CommandError("No password was chosen; nothing was entered.")
