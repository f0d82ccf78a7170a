"""`manage.py demo`: an invented employer to look around in, loaded and served on this machine."""

from __future__ import annotations

import argparse
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application
from django.db import connection
from waitress.server import create_server

from inspections import decoder
from readiness.demo.hints import kit_to_scan_in, part_to_fail
from readiness.demo.load import load_demo, loaded_for, refuse_other_sites
from register import clock
from register.demo_logins import DEMO_LOGINS, DEMO_PASSWORD
from register.models import Item, Role, Site
from register.refusal import Refusal
from register.wording import shown_day

HERE = frozenset({"127.0.0.1", "0.0.0.0"})  # noqa: S104 - compared with, not listened on
PORTS_TRIED = 20
THREADS = 8
BESIDE = ("db_worker", "keep_cover", "send_messages")
ENDS_WITHIN = 10  # seconds that each of them has to finish what it is doing
NOBODY_ANSWERS = ("192.0.2.1", 9)  # an address for documents, RFC 5737; nothing is sent there


class Command(BaseCommand):
    help = "An invented employer with five sites, to look around in. Ends with Ctrl-C."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--host", default="127.0.0.1", help="0.0.0.0 lets other machines in")
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--fresh", action="store_true", help="begin again, as of today")
        parser.add_argument("--no-serve", action="store_true", help="load it and stop")

    def handle(self, *_args: object, **options: object) -> None:
        if not settings.DEMO:
            raise CommandError("The demo has a database of its own: python3 manage.py demo")
        if options["fresh"]:
            _refuse_real_data()
            _remove_database()
        call_command("migrate", verbosity=0, interactive=False)
        self._load(clock.today(Site(time_zone="Europe/London")))
        if not options["no_serve"]:
            self._serve(str(options["host"]), int(str(options["port"])))

    def _load(self, today: date) -> None:
        begun = time.monotonic()
        if loaded_for() is None:
            self.stdout.write("Loading five sites and a year of their equipment ...")
            self.stdout.flush()
        try:
            is_new = load_demo(today)
        except Refusal as refusal:
            raise CommandError(str(refusal)) from refusal
        if is_new:
            took = time.monotonic() - begun
            self.stdout.write(f"{Item.objects.count()} items loaded in {took:.0f} seconds.")
        elif (day := loaded_for()) and day != today:
            self.stdout.write(
                f"It was loaded for {shown_day(day)}, and its days have passed since."
                " Add --fresh for one of today; what was tried out is then gone."
            )

    def _serve(self, host: str, port: int) -> None:
        decoder.fetch_if_possible(self.stdout.write)
        Path(settings.STATIC_ROOT).mkdir(parents=True, exist_ok=True)
        with listening(host, port) as listener, _beside_the_server():
            taken = listener.getsockname()[1]
            if taken != port:
                self.stdout.write(f"Port {port} is taken by another program.")
            self._tell(host, taken)
            server = create_server(
                get_wsgi_application(), sockets=[listener], threads=THREADS, ident=None
            )
            server.run()
        self.stdout.write("\nThe demo has ended. What was tried out is kept for the next time.")

    def _tell(self, host: str, port: int) -> None:
        """Where it is, whom to be, what to try, and how a phone gets in."""
        named = "localhost" if host in HERE else host
        self.stdout.write(f"\nTallyhook is at http://{named}:{port}\n\n")
        self.stdout.write(f"Sign in as one of these; the password of each is {DEMO_PASSWORD}")
        for login in DEMO_LOGINS:
            role = Role(login.role).label
            line = f"  {login.username:<10}{login.name:<18}{role:<19}{login.tries}"
            self.stdout.write(line)
        self.stdout.write("")
        for line in [*_hints(), *_for_a_phone(host, port), _where_it_lies()]:
            self.stdout.write(line)
        self.stdout.write("Ctrl-C ends it.")
        self.stdout.flush()


def _hints() -> Iterator[str]:
    if part := part_to_fail():
        yield f"Try: sign in as huw, Inspect, type {part.shown_code}, fail it, then look as oyelaran"
        yield "     at the morning page: the silo task at Corrick Quay has lost its only kit."
    if kit := kit_to_scan_in():
        yield f"Or:  as sunniva, take kit {kit.shown_code} in at Skelhope Viaduct, where two gangs"
        yield "     contend for one kit, and say that it hangs at the Pier 4 compound."


def _for_a_phone(host: str, port: int) -> Iterator[str]:
    address = f"http://{_own_address()}:{port}"
    if host in {"127.0.0.1", "localhost"} or settings.PUBLIC_HOST == "localhost":
        yield "A phone in the same network gets in when the demo is started like this:"
        yield f"     PUBLIC_URL={address} python3 manage.py demo --host 0.0.0.0 --port {port}"
    else:
        yield f"A phone in the same network opens {settings.PUBLIC_URL}"
    yield "     Tags are typed there: browsers give the camera, and work offline, only to HTTPS"
    yield "     or to this machine itself."


def _where_it_lies() -> str:
    name = str(settings.DATABASES["default"]["NAME"])
    if connection.vendor == "sqlite":
        return f"All of it is invented, and lies in {Path(name).parent}, apart from any register."
    return f"All of it is invented, and lies in the database {name} and in {settings.DATA_DIR}."


def _own_address() -> str:
    """This machine in its own network, as far as it can tell without asking anybody."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(NOBODY_ANSWERS)
        except OSError:
            return "THIS-MACHINE"
        return str(probe.getsockname()[0])


def _refuse_real_data() -> None:
    """Nothing is removed that holds another site than the demo's own."""
    if connection.vendor != "sqlite":
        raise CommandError("--fresh removes a database file. Here, empty the database yourself.")
    try:
        if Site._meta.db_table in connection.introspection.table_names():  # noqa: SLF001
            refuse_other_sites()
    except Refusal as refusal:
        raise CommandError(str(refusal)) from refusal


def _remove_database() -> None:
    connection.close()
    file = Path(str(settings.DATABASES["default"]["NAME"]))
    for ending in ("", "-wal", "-shm"):
        file.with_name(file.name + ending).unlink(missing_ok=True)


@contextmanager
def listening(host: str, port: int) -> Iterator[socket.socket]:
    """A socket on the port, or on the next one that is free."""
    for candidate in range(port, port + PORTS_TRIED):
        listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        if sys.platform != "win32":  # there, the option would let two programs share the port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind((host, candidate))
        except OSError:
            listener.close()
            continue
        with listener:
            yield listener
        return
    raise CommandError(f"No port from {port} to {port + PORTS_TRIED - 1} is free at {host}.")


@contextmanager
def _beside_the_server() -> Iterator[None]:
    """The worker and the keeper of cover, ended with the server however it ends."""
    for ending in ("SIGTERM", "SIGHUP"):
        if number := getattr(signal, ending, None):
            signal.signal(number, _leave)
    manage = str(Path(settings.BASE_DIR) / "manage.py")
    commands = [[sys.executable, manage, name, "--verbosity", "0"] for name in BESIDE]
    running = [subprocess.Popen(one, start_new_session=True) for one in commands]  # noqa: S603 - our own
    try:
        yield
    finally:
        for one in running:
            one.terminate()
        for one in running:
            try:
                one.wait(ENDS_WITHIN)
            except subprocess.TimeoutExpired:
                one.kill()


def _leave(_number: int, _frame: object) -> None:
    raise SystemExit
