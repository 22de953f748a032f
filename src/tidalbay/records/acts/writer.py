"""The one thread that writes acts.db: whatever waits shares a commit, and is confirmed after it."""

import sqlite3
import threading
import time
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Future
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Final, TypeAlias

from tidalbay.records.acts.rows import read_log
from tidalbay.records.problem import StoreError, said_by_database
from tidalbay.trace import Log, LogRefusedError

MARKS_APART_S: Final = 2.0
_COMMITS_A_CHECKPOINT: Final = 250  # about a thousand pages, the database's own habit


class Pen:
    """What a job writes with: the connection, and the logs that the jobs before it have written."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        """Begin with no log in memory."""
        self.connection = connection
        self._logs: dict[str, Log] = {}

    def log(self, attempt: str) -> Log:
        """Return an attempt's log, read once; what is appended to it must be written in the same job."""
        if attempt not in self._logs:
            self._logs[attempt] = read_log(self.connection, attempt)
        return self._logs[attempt]

    def keep(self, attempt: str, log: Log) -> None:
        """Take the log of an attempt that begins."""
        self._logs[attempt] = log

    def forget(self, attempt: str | None = None) -> None:
        """Drop one log, or all: the next job reads from the disk again."""
        if attempt is None:
            self._logs.clear()
        else:
            self._logs.pop(attempt, None)


# Writes inside a transaction that others share. It refuses (StoreError, LogRefusedError) before it writes.
Job: TypeAlias = Callable[[Pen], Any]


@dataclass
class Waiting:
    """A job, and the future of whoever waits for it to be on the disk."""

    job: Job
    future: Future[Any] = field(default_factory=Future)


class Writer:
    """Takes jobs from any thread and settles their futures; owns the connection until it is closed."""

    def __init__(self, connection: sqlite3.Connection, path: Path) -> None:
        """Start the thread."""
        self._path = path
        self._pen = Pen(connection)
        self._wake = threading.Condition()
        self._waiting: list[Waiting] = []
        self._marks: dict[str, tuple[int, str]] = {}
        self._marked_at = time.monotonic()
        self._commits = 0
        self._closing = False
        self._broken: str | None = None
        self.trouble: str | None = None
        self._thread = threading.Thread(target=self._run, name="writer of acts.db", daemon=True)
        self._thread.start()

    def submit(self, job: Job) -> Future[Any]:
        """Put a job in line; its future is settled once the commit that holds it is synced."""
        waiting = Waiting(job)
        with self._wake:
            if self._closing:
                waiting.future.set_exception(StoreError(f"{self._path}  is closed; this was not kept."))
            else:
                self._waiting.append(waiting)
                self._wake.notify()
        return waiting.future

    def mark(self, attempt: str, t_ms: int, state: str) -> None:
        """Remember where a clock stands; written with the next batch of clocks."""
        with self._wake:
            self._marks[attempt] = (t_ms, state)
            self._wake.notify()

    def close(self) -> None:
        """Write all that waits, and stop."""
        with self._wake:
            self._closing = True
            self._wake.notify()
        self._thread.join()

    def _run(self) -> None:
        while True:
            with self._wake:
                self._wake.wait_for(self._is_due, timeout=self._until_marks_s())
                group, self._waiting = self._waiting, []
                is_last = self._closing
                marks = self._take_marks(is_last)
            taken = [waiting for waiting in group if waiting.future.set_running_or_notify_cancel()]
            if taken or marks:
                self._write(taken, marks)
            if is_last:
                self._last_checkpoint()
                return

    def _is_due(self) -> bool:
        return bool(self._waiting) or self._closing or (bool(self._marks) and self._until_marks_s() == 0.0)

    def _until_marks_s(self) -> float | None:
        """Return how long the clocks can wait, or None where there is none to write."""
        if not self._marks:
            return None
        return max(0.0, self._marked_at + MARKS_APART_S - time.monotonic())

    def _take_marks(self, even_early: bool) -> dict[str, tuple[int, str]]:
        if not self._marks or not (even_early or self._until_marks_s() == 0.0):
            return {}
        self._marked_at = time.monotonic()
        marks, self._marks = self._marks, {}
        return marks

    def _write(self, group: Sequence[Waiting], marks: Mapping[str, tuple[int, str]]) -> None:
        """Commit a group and then settle its futures, each with its own answer."""
        try:
            answers = self._commit(group, marks)
        except Exception as problem:
            self._pen.forget()
            with self._wake:
                self._marks = {**marks, **self._marks}  # tried again with the next batch
            self.trouble = self._said(problem)
            if len(group) > 1:  # one that is too large for the disk takes no other with it
                for waiting in group:
                    self._write([waiting], {})
            else:
                for waiting in group:
                    waiting.future.set_exception(StoreError(self.trouble))
            return
        self.trouble = None
        for waiting, answer in zip(group, answers, strict=True):
            if isinstance(answer, Exception):
                waiting.future.set_exception(answer)
            else:
                waiting.future.set_result(answer)
        self._checkpoint_sometimes()

    def _commit(self, group: Sequence[Waiting], marks: Mapping[str, tuple[int, str]]) -> list[Any]:
        """Return each job's answer, or its refusal, after the commit that holds them all is synced."""
        if self._broken:
            raise StoreError(self._broken)
        connection = self._pen.connection
        connection.execute("BEGIN IMMEDIATE")
        try:
            answers = [self._answer(waiting.job) for waiting in group]
            connection.executemany(
                """INSERT INTO clock (attempt, t_ms, state) VALUES (?, ?, ?)
                ON CONFLICT (attempt) DO UPDATE SET t_ms = max(t_ms, excluded.t_ms), state = excluded.state
                WHERE state <> 'ended'""",
                [(attempt, t_ms, state) for attempt, (t_ms, state) in marks.items()],
            )
            connection.execute("COMMIT")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise
        return answers

    def _answer(self, job: Job) -> Any:
        try:
            return job(self._pen)
        except (StoreError, LogRefusedError) as refusal:
            return refusal

    def _said(self, problem: Exception) -> str:
        if isinstance(problem, StoreError):
            return str(problem)
        if not isinstance(problem, sqlite3.Error):
            return f"{self._path}  could not be written ({problem!r}). This was not kept."
        if getattr(problem, "sqlite_errorcode", 0) == sqlite3.SQLITE_IOERR_FSYNC:
            # After a sync has failed, a later one that succeeds proves nothing about what came before.
            self._broken = (
                f"{self._path}  the disk did not confirm a write ({problem}). All that was confirmed before"
                " is kept; nothing more is taken until the server is started again, best on another disk."
            )
            return self._broken
        return said_by_database(problem, self._path)

    def _checkpoint_sometimes(self) -> None:
        self._commits += 1
        if self._commits >= _COMMITS_A_CHECKPOINT:
            self._commits = 0
            self._checkpoint("PASSIVE")

    def _last_checkpoint(self) -> None:
        if not self._broken:
            self._checkpoint("TRUNCATE")
        self._pen.connection.close()

    def _checkpoint(self, how: str) -> None:
        """Move committed pages to the file; if the disk refuses, they stay where they are, and as safe."""
        try:
            self._pen.connection.execute(f"PRAGMA wal_checkpoint({how})")
        except sqlite3.Error as problem:
            self.trouble = self._said(problem)
