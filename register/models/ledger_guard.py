"""Database triggers that keep the ledger append-only, on SQLite and on PostgreSQL.

SQLite drops triggers silently when a migration remakes their table, so a system check
(``register.checks``) looks whether they still stand.
"""

from __future__ import annotations

TABLE = "register_entry"
NAMES = ("register_entry_no_update", "register_entry_no_delete")

SQLITE = tuple(
    f"CREATE TRIGGER IF NOT EXISTS {name} BEFORE {verb} ON {TABLE} "
    f"BEGIN SELECT RAISE(ABORT, 'the ledger is append-only'); END"
    for name, verb in zip(NAMES, ("UPDATE", "DELETE"), strict=True)
)
POSTGRESQL = (
    "CREATE OR REPLACE FUNCTION register_entry_refuse() RETURNS trigger LANGUAGE plpgsql AS "
    "$$ BEGIN RAISE EXCEPTION 'the ledger is append-only'; END $$",
    *(
        f"CREATE OR REPLACE TRIGGER {name} BEFORE {verb} ON {TABLE} "
        f"FOR EACH ROW EXECUTE FUNCTION register_entry_refuse()"
        for name, verb in zip(NAMES, ("UPDATE", "DELETE"), strict=True)
    ),
)


def statements_to_install(vendor: str) -> tuple[str, ...]:
    return POSTGRESQL if vendor == "postgresql" else SQLITE


def statements_to_remove(vendor: str) -> tuple[str, ...]:
    """For tests that empty the tables between them, and for nothing else."""
    on = f" ON {TABLE}" if vendor == "postgresql" else ""
    return tuple(f"DROP TRIGGER IF EXISTS {name}{on}" for name in NAMES)


def statement_to_list(vendor: str) -> str:
    """The names of the triggers that stand on the ledger's table."""
    if vendor == "postgresql":
        return f"SELECT tgname FROM pg_trigger WHERE tgrelid = '{TABLE}'::regclass"  # noqa: S608
    return f"SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = '{TABLE}'"  # noqa: S608
