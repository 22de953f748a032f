"""Tables of acts.db, and the steps by which an older file is brought up to date."""

import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, TypeAlias

from tidalbay.records.problem import StoreError

Step: TypeAlias = Callable[[sqlite3.Connection], None]


def _first_tables(connection: sqlite3.Connection) -> None:
    """Attempts, their entries, their clocks and the traces that were shown."""
    connection.execute(
        """CREATE TABLE attempt (
            began INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, station TEXT NOT NULL,
            parent TEXT, case_id TEXT NOT NULL, mode TEXT NOT NULL, started_utc_ms INTEGER NOT NULL
        )"""
    )
    connection.execute(
        # A row says whose it is in full, and chains to the one before: it can be rescued and checked alone.
        """CREATE TABLE entry (
            arrived INTEGER PRIMARY KEY AUTOINCREMENT, attempt TEXT NOT NULL, n INTEGER NOT NULL,
            t_ms INTEGER NOT NULL, screen TEXT, counter INTEGER, line BLOB NOT NULL, chain BLOB NOT NULL,
            UNIQUE (attempt, n), UNIQUE (attempt, screen, counter)
        )"""
    )
    # Apart from the rest, so that writing thirty clocks dirties one page.
    connection.execute(
        "CREATE TABLE clock (attempt TEXT PRIMARY KEY, t_ms INTEGER NOT NULL, state TEXT NOT NULL)"
    )
    connection.execute(
        "CREATE TABLE shown_trace (attempt TEXT PRIMARY KEY, sha256 TEXT NOT NULL, packed BLOB NOT NULL)"
    )


# The step at place i brings a file from version i to version i + 1. A step is never changed afterwards.
STEPS: Final[Sequence[Step]] = (_first_tables,)


def bring_up_to_date(connection: sqlite3.Connection, path: Path, steps: Sequence[Step] = STEPS) -> None:
    """Take the steps that a file still lacks, all of them or none; refuse one from a newer program."""
    (found,) = connection.execute("PRAGMA user_version").fetchone()
    if found > len(steps):
        raise StoreError(
            f"{path}  was written by a newer Tidalbay (layout {found}; this one knows up to {len(steps)})."
            " Nothing was changed. Start the newer one, or name another folder with --data."
        )
    if found == len(steps):
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for step in steps[found:]:
            step(connection)
        connection.execute(f"PRAGMA user_version = {len(steps)}")
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
