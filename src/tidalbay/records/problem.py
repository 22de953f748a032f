"""What a store says when it cannot keep or read something: one sentence for whoever can mend it."""

import errno
import sqlite3
from pathlib import Path
from typing import Final


class StoreError(Exception):
    """Nothing was kept; the sentence says what, where, and what to do."""


READ_ONLY: Final = (
    "{path}  cannot be written: the folder or the file is read-only. Give this account the right to write"
    " there, or name another folder with --data."
)
FULL: Final = (
    "{path}  the disk is full. This was not kept; all that was confirmed before it is. Make room on the disk"
    " and send it again."
)
DAMAGED: Final = (
    "{path}  the file is damaged ({problem}). This was not kept. Stop the server and start it again: it keeps"
    " a copy aside and reads out all that can be read."
)
BUSY: Final = (
    "{path}  another program holds the file. Close whatever has it open (a database browser, a backup) and"
    " send it again."
)
REFUSED: Final = (
    "{path}  the disk refused ({problem}). This was not kept; all that was confirmed before it is."
)


def said_by_database(problem: sqlite3.Error, path: Path) -> str:
    """Put an error of the database into a sentence that names the file."""
    primary = getattr(problem, "sqlite_errorcode", 0) & 0xFF
    words = {
        sqlite3.SQLITE_FULL: FULL,
        sqlite3.SQLITE_READONLY: READ_ONLY,
        sqlite3.SQLITE_CANTOPEN: READ_ONLY,
        sqlite3.SQLITE_PERM: READ_ONLY,
        sqlite3.SQLITE_CORRUPT: DAMAGED,
        sqlite3.SQLITE_NOTADB: DAMAGED,
        sqlite3.SQLITE_BUSY: BUSY,
        sqlite3.SQLITE_LOCKED: BUSY,
    }.get(primary, REFUSED)
    return words.format(path=path, problem=problem)


def said_by_disk(problem: OSError, path: Path) -> str:
    """Put an error of the operating system into a sentence that names the file."""
    if problem.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return READ_ONLY.format(path=path)
    if problem.errno in (errno.ENOSPC, errno.EDQUOT):
        return FULL.format(path=path)
    return REFUSED.format(path=path, problem=problem.strerror or problem)
