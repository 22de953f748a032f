"""The store of every attempt's log: appended, synced, then confirmed."""

import hashlib
import sqlite3
import threading
import time
import zlib
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any

from tidalbay.records.acts import rows
from tidalbay.records.acts.act_file import NAME, open_for_reading, open_for_writing
from tidalbay.records.acts.rescue import damage_of, rescue, take_rescued
from tidalbay.records.acts.stored import STATES, StoredAttempt
from tidalbay.records.acts.turns import turn_of
from tidalbay.records.acts.writer import Pen, Writer
from tidalbay.records.folder_lock import FolderLock
from tidalbay.records.problem import StoreError, said_by_database, said_by_disk
from tidalbay.trace import Entry, Log, LogRefusedError, Mark, Receipt

_ATTEMPTS = """
    SELECT attempt.id, station, parent, case_id, mode, started_utc_ms,
        max(coalesce(clock.t_ms, 0),
            coalesce((SELECT t_ms FROM entry WHERE attempt = attempt.id ORDER BY n DESC LIMIT 1), 0)),
        coalesce(clock.state, 'paused')
    FROM attempt LEFT JOIN clock ON clock.attempt = attempt.id
    ORDER BY attempt.began
"""


def _utc_ms() -> int:
    return time.time_ns() // 1_000_000


class ActStore:
    """acts.db in the data folder. Every method may be called from any thread.

    It keeps the contract of `tidalbay.trace.Log` for every attempt: order, numbers, keys, whole
    batches, an end. Futures fail with `LogRefusedError` where an entry would break that contract
    and with `StoreError` where the disk refuses; in both cases nothing of the batch was kept.
    """

    def __init__(
        self,
        lock: FolderLock,
        writing: sqlite3.Connection,
        path: Path,
        now_utc_ms: Callable[[], int],
        notice: str | None,
    ) -> None:
        """Use `open`."""
        self.notice = notice  # what became of a damaged file when this one was opened
        self._lock = lock
        self._path = path
        self._now_utc_ms = now_utc_ms
        self._reading = open_for_reading(path)
        self._reading_turn = threading.Lock()
        self._writer = Writer(writing, path)
        self._packer = ThreadPoolExecutor(1, "packer of traces")

    @classmethod
    def open(cls, folder: Path, now_utc_ms: Callable[[], int] = _utc_ms) -> "ActStore":
        """Open the store of a folder, making both where there is none.

        Raises
        ------
        StoreError
            In a sentence: read-only, taken by another server, damaged beyond reading, of a newer
            program, disk full.
        """
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise StoreError(said_by_disk(problem, folder)) from None
        lock = FolderLock(folder)
        path = folder / NAME
        try:
            notice = _mended(path)
            return cls(lock, open_for_writing(path), path, now_utc_ms, notice)
        except sqlite3.Error as problem:
            lock.release()
            raise StoreError(said_by_database(problem, path)) from None
        except OSError as problem:
            lock.release()
            raise StoreError(said_by_disk(problem, path)) from None
        except BaseException:
            lock.release()
            raise

    @property
    def trouble(self) -> str | None:
        """What the disk said when it last refused, in a sentence, until it takes something again."""
        return self._writer.trouble

    def begin(
        self, attempt: str, station: str, entries: Sequence[Entry | Mark], parent: str | None = None
    ) -> Future[tuple[Receipt, ...]]:
        """Begin an attempt at a station with its first entry, or, for a branch, all it takes over.

        Returns
        -------
        Future
            Receipts, once they are on the disk. The first entry is attempt_started; case and mode
            are read from it. Refused where there is such an attempt already.
        """
        started_utc_ms = self._now_utc_ms()

        def job(pen: Pen) -> tuple[Receipt, ...]:
            if pen.connection.execute("SELECT 1 FROM attempt WHERE id = ?", (attempt,)).fetchone():
                raise StoreError(f"attempt {attempt}: has begun already; a new attempt needs a new id.")
            _check_kinds(entries)
            log = Log()
            receipts = log.append_batch(entries)
            if not len(log):
                raise LogRefusedError(f"attempt {attempt}: has no entry; the first is attempt_started.")
            first = log.acts[0].values
            case: Any = first["case"]
            pen.connection.execute(
                "INSERT INTO attempt VALUES (NULL, ?, ?, ?, ?, ?, ?)",
                (attempt, station, parent, str(case.get("id", "")), first["mode"], started_utc_ms),
            )
            _write(pen, attempt, log, 0)
            pen.keep(attempt, log)
            return receipts

        return self._writer.submit(job)

    def append(self, attempt: str, entries: Sequence[Entry | Mark]) -> Future[tuple[Receipt, ...]]:
        """Append a batch, whole or not at all.

        Returns
        -------
        Future
            One receipt an entry, once they are on the disk; an entry whose key was kept before gets
            the old receipt and adds nothing.
        """

        def job(pen: Pen) -> tuple[Receipt, ...]:
            _check_kinds(entries)
            log = pen.log(attempt)
            before = len(log)
            receipts = log.append_batch(entries)
            _write(pen, attempt, log, before)
            return receipts

        return self._writer.submit(job)

    def mark_clock(self, attempt: str, t_ms: int, state: str) -> None:
        """Remember where an attempt's clock stands; on the disk about two seconds later.

        A clock never goes back and an ended attempt stays ended, whatever is marked afterwards.
        """
        if state not in STATES:
            raise ValueError(f"an attempt is {', '.join(STATES)}; it cannot be {state!r}.")
        self._writer.mark(attempt, t_ms, state)

    def finish(self, attempt: str, trace_json: bytes) -> Future[None]:
        """Keep the trace that was shown, once the log has its attempt_ended.

        The same trace again changes nothing; another one is refused.
        """
        sha256 = hashlib.sha256(trace_json).hexdigest()

        def job(packed: bytes, pen: Pen) -> None:
            if not pen.log(attempt).has_ended:
                raise StoreError(f"attempt {attempt}: its log has no attempt_ended yet; append that first.")
            kept = pen.connection.execute(
                "SELECT sha256 FROM shown_trace WHERE attempt = ?", (attempt,)
            ).fetchone()
            if kept is None:
                pen.connection.execute("INSERT INTO shown_trace VALUES (?, ?, ?)", (attempt, sha256, packed))
            elif kept[0] != sha256:
                raise StoreError(f"attempt {attempt}: its trace is kept, and what was shown never changes.")
            pen.forget(attempt)

        done: Future[None] = Future()

        def submit(packing: Future[bytes]) -> None:
            if (problem := packing.exception()) is not None:
                done.set_exception(StoreError(f"attempt {attempt}: its trace was not packed ({problem!r})."))
            else:
                packed = packing.result()
                _pass_on(self._writer.submit(lambda pen: job(packed, pen)), done)

        done.set_running_or_notify_cancel()
        try:  # packing takes a while, and nobody's act waits for it
            self._packer.submit(zlib.compress, trace_json, 6).add_done_callback(submit)
        except RuntimeError:
            done.set_exception(StoreError(f"{self._path}  is closed; this was not kept."))
        return done

    def open_attempts(self) -> list[StoredAttempt]:
        """Return every attempt whose log has no end, in the order in which they began."""
        return [stored for stored in self.attempts() if stored.state != "ended"]

    def ended_without_trace(self) -> list[StoredAttempt]:
        """Return attempts that ended and whose shown trace was not kept: a crash came between."""
        with self._reading_turn:
            kept = {row[0] for row in self._reading.execute("SELECT attempt FROM shown_trace")}
        return [stored for stored in self.attempts() if stored.state == "ended" and stored.id not in kept]

    def log(self, attempt: str) -> Log:
        """Return what is on the disk of an attempt's log; raise `StoreError` where it cannot be read."""
        with self._reading_turn:
            return rows.read_log(self._reading, attempt)

    def turn_of(self, attempt: str, costs_nothing: Sequence[str]) -> int | None:
        """Return which attempt at its assessment one is for its learner; None where nobody counts.

        Parameters
        ----------
        attempt : str
        costs_nothing : sequence of str
            Ends of earlier ones that are not counted.
        """
        with self._reading_turn:
            return turn_of(self._reading, attempt, costs_nothing)

    def shown_trace(self, attempt: str) -> bytes | None:
        """Return the JSON that `finish` kept, or None."""
        with self._reading_turn:
            row = self._reading.execute(
                "SELECT sha256, packed FROM shown_trace WHERE attempt = ?", (attempt,)
            ).fetchone()
        if row is None:
            return None
        try:
            trace_json = zlib.decompress(row[1])
        except zlib.error:
            trace_json = b""
        if hashlib.sha256(trace_json).hexdigest() != row[0]:
            raise StoreError(f"attempt {attempt}: its trace is not what was written; its log may yet be.")
        return trace_json

    def close(self) -> None:
        """Write all that waits, and let go of the folder."""
        self._packer.shutdown()
        self._writer.close()
        with self._reading_turn:
            self._reading.close()
        self._lock.release()

    def attempts(self) -> list[StoredAttempt]:
        """Return every attempt that is kept, in the order in which they began."""
        with self._reading_turn:
            return [StoredAttempt(*row) for row in self._reading.execute(_ATTEMPTS)]


def _mended(path: Path) -> str | None:
    """See that the file is sound; if not, put what can be read of it in its place, and say so."""
    take_rescued(path)
    if not path.exists():
        return None
    damage = damage_of(path)
    return rescue(path, damage) if damage else None


def _check_kinds(entries: Sequence[Entry | Mark]) -> None:
    for entry in entries:
        rows.check_kind(entry)


def _write(pen: Pen, attempt: str, log: Log, before: int) -> None:
    """Write what a log has gained; an end ends the attempt in the same commit."""
    rows.insert(pen.connection, attempt, log.entries[before:])
    if log.has_ended:
        pen.connection.execute(
            """INSERT INTO clock (attempt, t_ms, state) VALUES (?, ?, 'ended')
            ON CONFLICT (attempt) DO UPDATE SET state = 'ended'""",
            (attempt, log.acts[-1].t_ms),
        )


def _pass_on(inner: Future[None], outer: Future[None]) -> None:
    def settled(future: Future[None]) -> None:
        problem = future.exception()
        if problem is None:
            outer.set_result(None)
        else:
            outer.set_exception(problem)

    inner.add_done_callback(settled)
