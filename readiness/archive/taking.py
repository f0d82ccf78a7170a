"""Taking the whole register out, as it stands at one moment."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import IO

from django.db import connection, transaction
from django.db.models import Max

from readiness.archive import contents
from register.actions.ledger import root_of_heads
from register.archive import described
from register.archive.writing import Archive, Written
from register.models import Act, Entry


def take_archive(out: IO[bytes], step: Callable[[str], None] | None = None) -> Written:
    """Write the archive; whoever changes the register meanwhile waits for nothing and is not in it."""
    with _one_moment():
        found = contents.tables()
        archive = Archive(out, found, step)
        archive.text(described.README, readme())
        archive.text(described.METADATA, described.metadata_of(found, contents.meanings()))
        for table in found:
            archive.table(table)
        archive.all_files()
        return archive.close(_manifest())


@contextmanager
def _one_moment() -> Iterator[None]:
    """One snapshot for every table: SQLite's transactions are that; PostgreSQL is asked for it."""
    outermost = not connection.in_atomic_block
    with transaction.atomic():
        if outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        yield


def _manifest() -> dict[str, object]:
    """What the ledger must come to once it is in again, and what is not in here."""
    chains, root = root_of_heads()
    known_at = Act.objects.aggregate(last=Max("at"))["last"]
    return {
        "ledger": {"chains": chains, "entries": Entry.objects.count(), "root": root},
        "known_at": known_at.isoformat() if known_at else None,
        "left_out": {**contents.LEFT_OUT, **contents.COLUMNS_LEFT_OUT},
    }


def readme() -> str:
    """How the archive is to be read, for whoever finds it in twenty years without this program."""
    left = "".join(
        f"  {name}: {why}\n"
        for name, why in sorted({**contents.LEFT_OUT, **contents.COLUMNS_LEFT_OUT}.items())
    )
    return _README.format(
        version=described.VERSION,
        metadata=described.METADATA,
        manifest=described.MANIFEST,
        left=left,
    )


_README = """\
A WHOLE REGISTER OF FALL-PROTECTION EQUIPMENT, format version {version}

tables/*.csv   one table each: UTF-8, RFC 4180, a head with the names of the columns
{metadata}     what every table and column is, by the W3C recommendation
               'Metadata Vocabulary for Tabular Data' (CSV on the Web)
files/         photographs and documents, each called after the SHA-256 of its bytes
files.csv      the path, size and SHA-256 of each file
{manifest}     size, rows and SHA-256 of every part; the SHA-256 of this file names the archive

Days are days as on the site; moments are in UTC; amounts have a point; an empty cell is 'not known', and
an empty text where the column says that it is text. A row names another by that row's code where it has
one (a site by its code, an item by its tag, a zone as site/zone), else by its number. Numbers are those
of the register itself: the ledger names things by them, so they are kept wherever it is brought in.

The ledger is in register.entry.csv: each entry's hash is the SHA-256 of the hash before it, a line end
and the body, chain by chain (thing_kind, thing_id), in the order of seq. The manifest tells the Merkle
root over the last hashes of all chains (RFC 9162, 2.1.1).

Texts are exactly as they were entered. Do not open the tables in a spreadsheet program without telling
it that every column is text: it drops zeros at the front of serials, and could run a text as a formula.

No password, second factor, session or key is in here. What is: names of people, the words of every
record, and the secret parts of the addresses on tags and papers. Keep it as you keep the register.

Left out, and why:
{left}"""
