"""A consistent copy of the database while others write, and putting it back into an empty one.

SQLite: ``VACUUM INTO`` copies one snapshot. PostgreSQL: ``pg_dump`` of a snapshot that this
transaction exports, so that what is computed here and what is dumped are of the same moment.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection, transaction
from django.db.migrations.recorder import MigrationRecorder

from register.backup.proof import prove
from register.rules.backup import NotWhole, Proof


def copy_database(target: Path, at: datetime) -> Proof:
    """Write the copy to the file, and answer what the very same state says at the moment."""
    return (
        _copy_postgres(target, at)
        if connection.vendor == "postgresql"
        else _copy_sqlite(target, at)
    )


def _copy_sqlite(target: Path, at: datetime) -> Proof:
    with connection.cursor() as cursor:
        cursor.execute("VACUUM INTO %s", [str(target)])
    return answers_of(target, at)


def answers_of(copy: Path, at: datetime) -> Proof:
    """The copy is asked by a program of its own, for this one goes on with the original."""
    program = str(settings.BASE_DIR / "manage.py")
    env = {**os.environ, "DATABASE_URL": f"sqlite://{copy}"}
    asked = subprocess.run(  # noqa: S603
        [sys.executable, program, "prove", "--at", at.isoformat()],
        env=env,
        capture_output=True,
        text=True,
        check=False,
    )
    if asked.returncode:
        raise NotWhole(f"The copy of the database does not answer: {_last_line(asked.stderr)}")
    proof: Proof = json.loads(asked.stdout.splitlines()[-1])
    return proof


def _copy_postgres(target: Path, at: datetime) -> Proof:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        cursor.execute("SELECT pg_export_snapshot()")
        snapshot = cursor.fetchone()[0]
        options = ["--format=custom", "--no-owner", "--no-privileges", f"--snapshot={snapshot}"]
        _run_client("pg_dump", *options, f"--file={target}", _name())
        return prove(at)


def is_empty() -> bool:
    """Whether the database has no table of ours yet."""
    return not connection.introspection.table_names()


def put_back(copy: Path) -> None:
    """Into the database that the settings name, which is empty."""
    if connection.vendor == "postgresql":
        options = ["--no-owner", "--no-privileges", "--exit-on-error", "--single-transaction"]
        _run_client("pg_restore", *options, f"--dbname={_name()}", str(copy))
        return
    connection.close()
    place = Path(connection.settings_dict["NAME"])
    with ExitStack() as ends:
        for left in (place, Path(f"{place}-wal"), Path(f"{place}-shm")):
            ends.callback(left.unlink, missing_ok=True)
    shutil.copyfile(copy, place)


def migrations() -> tuple[str, ...]:
    """What the tables are like: the migrations of each app that were applied, in order."""
    applied = MigrationRecorder(connection).applied_migrations()
    return tuple(sorted(f"{app}.{name}" for app, name in applied))


def _run_client(program: str, *arguments: str) -> None:
    found = shutil.which(program)
    if not found:
        raise NotWhole(f"{program} is not installed here. It comes with PostgreSQL's client tools.")
    said = connection.settings_dict
    known = {"PGHOST": said["HOST"], "PGPORT": said["PORT"], "PGUSER": said["USER"]}
    known["PGPASSWORD"] = said["PASSWORD"]
    env = {**os.environ, **{name: str(value) for name, value in known.items() if value}}
    done = subprocess.run([found, *arguments], env=env, capture_output=True, text=True, check=False)  # noqa: S603
    if done.returncode:
        raise NotWhole(f"{program} gave up: {_last_line(done.stderr)}")


def _name() -> str:
    return str(connection.settings_dict["NAME"])


def _last_line(text: str) -> str:
    return (text.strip().splitlines() or ["it said nothing"])[-1]
