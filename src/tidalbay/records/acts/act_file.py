"""acts.db as a file: opened for one writer whose every commit is synced."""

import os
import sqlite3
from pathlib import Path
from typing import Final

from tidalbay.records.acts.schema import bring_up_to_date

NAME: Final = "acts.db"


def open_for_writing(path: Path) -> sqlite3.Connection:
    """Open the file, make it if there is none, and see that it can be written.

    Raises `sqlite3.Error` where the disk refuses, `StoreError` for a file of a newer program.
    """
    is_new = not path.exists()
    connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False, timeout=5.0)
    try:
        connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")  # in WAL mode: the log is synced at every commit
        connection.execute("PRAGMA fullfsync = ON")  # where a plain sync stops at the drive's own memory
        connection.execute("PRAGMA checkpoint_fullfsync = ON")
        connection.execute("PRAGMA wal_autocheckpoint = 0")  # the writer does it after it has confirmed
        connection.execute("PRAGMA journal_size_limit = 16000000")
        bring_up_to_date(connection, path)
        # One small synced commit: a disk that is full or may only be read refuses now and not mid-lesson.
        (version,) = connection.execute("PRAGMA user_version").fetchone()
        connection.execute(f"PRAGMA user_version = {version}")
    except BaseException:
        connection.close()
        raise
    if is_new:
        sync_folder(path.parent)
    return connection


def open_for_reading(path: Path) -> sqlite3.Connection:
    """Open the file for whoever only reads: sees what is committed, never waits for the writer."""
    connection = sqlite3.connect(path, isolation_level=None, check_same_thread=False, timeout=5.0)
    connection.execute("PRAGMA query_only = ON")
    return connection


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where an operating system has a way to."""
    if os.name != "nt":
        _sync(folder, os.O_RDONLY)


def sync(path: Path) -> None:
    """Make what was written to a file durable."""
    _sync(path, os.O_RDWR)


def _sync(path: Path, flags: int) -> None:
    handle = os.open(path, flags)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
