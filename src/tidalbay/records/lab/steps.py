"""The steps by which a file of an older layout is brought to `tables`. A step is never changed afterwards."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final, TypeAlias

from sqlalchemy import Connection, text

from tidalbay.records.problem import StoreError

Step: TypeAlias = Callable[[Connection], None]


def _first_tables(connection: Connection) -> None:
    for statement in (
        "CREATE TABLE setting (name VARCHAR(100) NOT NULL PRIMARY KEY, value TEXT NOT NULL)",
        """CREATE TABLE lab (id INTEGER NOT NULL PRIMARY KEY, day VARCHAR(10) NOT NULL,
            opened_utc_ms BIGINT NOT NULL, closed_utc_ms BIGINT)""",
        """CREATE TABLE station (id VARCHAR(100) NOT NULL PRIMARY KEY, title VARCHAR(200) NOT NULL,
            place INTEGER NOT NULL)""",
        "CREATE TABLE people (id VARCHAR(100) NOT NULL PRIMARY KEY, name VARCHAR(200) NOT NULL)",
        """CREATE TABLE signed_in (token_sha256 VARCHAR(64) NOT NULL PRIMARY KEY, role VARCHAR(20) NOT NULL,
            station VARCHAR(100), lab INTEGER REFERENCES lab (id), created_utc_ms BIGINT NOT NULL,
            expires_utc_ms BIGINT NOT NULL)""",
        """CREATE TABLE in_line (id INTEGER NOT NULL PRIMARY KEY, lab INTEGER NOT NULL REFERENCES lab (id),
            learner VARCHAR(100) NOT NULL, station VARCHAR(100), place INTEGER NOT NULL,
            state VARCHAR(20) NOT NULL, UNIQUE (lab, learner))""",
        """CREATE TABLE join_code (code VARCHAR(20) NOT NULL PRIMARY KEY, role VARCHAR(20) NOT NULL,
            station VARCHAR(100), lab INTEGER NOT NULL REFERENCES lab (id),
            expires_utc_ms BIGINT NOT NULL)""",
    ):
        connection.execute(text(statement))


# The step at place i brings a file from layout i to layout i + 1.
STEPS: Final[Sequence[Step]] = (_first_tables,)


def bring_up_to_date(connection: Connection, path: Path, steps: Sequence[Step] = STEPS) -> None:
    """Take the steps that a file still lacks, in the transaction that is open; refuse a newer file."""
    found: int = connection.execute(text("PRAGMA user_version")).scalar_one()
    if found > len(steps):
        raise StoreError(
            f"{path}  was written by a newer Tidalbay (layout {found}; this one knows up to {len(steps)})."
            " Nothing was changed. Start the newer one, or name another folder with --data."
        )
    for step in steps[found:]:
        step(connection)
    connection.execute(text(f"PRAGMA user_version = {len(steps)}"))
