"""The connection to lab.db: transactions for any thread, and its errors as sentences."""

import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError, IntegrityError

from tidalbay.records.lab.steps import STEPS, Step, bring_up_to_date
from tidalbay.records.problem import StoreError, said_by_database


class Database:
    """One file, opened once. What is written is on the disk when the block that wrote it ends."""

    def __init__(self, path: Path, now_utc_ms: Callable[[], int], steps: Sequence[Step] = STEPS) -> None:
        """Open the file, or raise `StoreError`: damaged, of a newer program, read-only, disk full."""
        self._path = path
        self.now_utc_ms = now_utc_ms
        self._engine = _engine(path)
        self._writer = self._engine.execution_options(writes=True)
        self._one_writes = threading.Lock()
        try:
            with self.reading() as connection:
                found = connection.execute(text("PRAGMA quick_check(1)")).scalar_one()
            if found != "ok":
                raise StoreError(_damaged(path, str(found)))
            with self.writing() as connection:
                bring_up_to_date(connection, path, steps)
        except BaseException:
            self._engine.dispose()
            raise

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """Look at one state of the file."""
        with self._sentences(), self._engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """Change the file, wholly or not at all; durable when the block has ended."""
        with self._sentences(), self._one_writes, self._writer.connect() as connection, connection.begin():
            yield connection

    def close(self) -> None:
        """Close every connection."""
        self._engine.dispose()

    @contextmanager
    def _sentences(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as problem:
            # A row that cannot be is a fault of the program, not of the disk.
            if not isinstance(problem.orig, sqlite3.Error) or isinstance(problem, IntegrityError):
                raise
            if problem.orig.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
                raise StoreError(_damaged(self._path, str(problem.orig))) from None
            raise StoreError(said_by_database(problem.orig, self._path)) from None


def _engine(path: Path) -> Engine:
    engine = create_engine(f"sqlite:///{path}", connect_args={"timeout": 5.0, "isolation_level": None})

    @event.listens_for(engine, "connect")
    def set_up(connection: Any, _: object) -> None:
        for pragma in (
            "foreign_keys = ON",
            "journal_mode = DELETE",  # written a few times a minute; no second file that keeps old pages
            "synchronous = FULL",
            "fullfsync = ON",
            "secure_delete = ON",  # a name that is erased is overwritten, not only unlinked
        ):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        # Who reads first and writes later can be refused at once, however long it would wait.
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")

    return engine


def _damaged(path: Path, found: str) -> str:
    return (
        f"{path}  is damaged ({' '.join(found.split())}). It holds settings, names and the queue;"
        " attempts are in acts.db, untouched. Put a copy that was kept elsewhere in its place, or move it"
        " away and enter the settings again."
    )
