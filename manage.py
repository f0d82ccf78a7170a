#!/usr/bin/env python3
"""Tallyhook's one command: sets up what is missing, then does what it is asked.

python3 manage.py demo             a site to look around in, served on this machine
python3 manage.py test [...]       the test suite; the rest of the line goes to pytest
python3 manage.py install EXTRA    one of the extras of pyproject.toml, such as postgres
python3 manage.py help             everything else
"""

import os
import sys

if sys.version_info < (3, 11):  # noqa: UP036 - said before anything newer is imported
    sys.exit(
        "Tallyhook needs Python 3.11 or newer; this is Python %d.%d."  # noqa: UP031
        " Start it with a newer one, for example: python3.11 manage.py demo" % sys.version_info[:2]
    )

from inspections import decoder
from register.conf import bootstrap


def main(arguments: list[str]) -> None:
    command, *rest = arguments or ["help"]
    extras = {"test": ["test"], "install": rest}.get(command, [])
    bootstrap.enter(extras)
    if command == "demo":
        os.environ["DEMO"] = "yes"  # its own database and files, and logins on the login page
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "register.conf.settings")
    if command == "test":
        os.chdir(bootstrap.ROOT)
        decoder.fetch_if_possible(lambda sentence: print(sentence, file=sys.stderr))
        bootstrap.become([sys.executable, "-m", "pytest", "-n", "auto", *rest])
    if command == "install":
        print(f"Here and up to date in {sys.prefix}: {', '.join(['dependencies', *rest])}.")
        return
    from django.core.management import execute_from_command_line

    execute_from_command_line([sys.argv[0], command, *rest])


if __name__ == "__main__":
    main(sys.argv[1:])
