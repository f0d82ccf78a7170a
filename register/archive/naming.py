"""Which row a name stands for, while an archive is brought in: kept in a file beside, not in memory."""

from __future__ import annotations

import sqlite3
from functools import lru_cache

REMEMBERED = 50_000  # names looked up lately


class Names:
    """By table and name, the number (or id) of the row. The file is gone when it is closed."""

    def __init__(self) -> None:
        self._rows = sqlite3.connect("")  # a file of its own, deleted by itself
        self._rows.execute("PRAGMA synchronous = OFF")
        self._rows.execute(
            "CREATE TABLE name (t TEXT, name TEXT, number TEXT, PRIMARY KEY (t, name)) WITHOUT ROWID"
        )
        self._rows.execute(
            "CREATE TABLE number (t TEXT, number TEXT, PRIMARY KEY (t, number)) WITHOUT ROWID"
        )
        self.number_of = lru_cache(maxsize=REMEMBERED)(self._looked_up)

    def add(self, table: str, name: str, number: str) -> bool:
        """False where the name or the number stands for another row already."""
        kept = self._rows.execute(
            "INSERT OR IGNORE INTO name VALUES (?, ?, ?)", (table, name, number)
        )
        same = self._rows.execute("INSERT OR IGNORE INTO number VALUES (?, ?)", (table, number))
        return kept.rowcount == 1 and same.rowcount == 1

    def _looked_up(self, table: str, name: str) -> str | None:
        found = self._rows.execute(
            "SELECT number FROM name WHERE t = ? AND name = ?", (table, name)
        )
        row = found.fetchone()
        return row[0] if row else None

    def close(self) -> None:
        self._rows.close()
