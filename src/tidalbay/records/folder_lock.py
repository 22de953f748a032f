"""One server to a folder: a lock of the operating system, which dies with the process that holds it."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from tidalbay.records.problem import StoreError, said_by_disk

NAME: Final = "server.lock"
_LOCKED_BYTE: Final = 4096  # past the words, which others must be able to read while it is locked
_TAKEN: Final = (
    "{folder}  another server works in this folder ({holder}). Use that one, stop it, or name another folder"
    " with --data."
)

_held_here: set[Path] = set()  # the operating system lets one process take its own lock twice


class FolderLock:
    """The right to write in a folder, held until it is released or the process is gone.

    The file stays when the lock is released; only the lock counts, not the file.
    """

    def __init__(self, folder: Path) -> None:
        """Take the lock, or raise `StoreError` naming the process that has it."""
        self._path = folder.resolve() / NAME
        if self._path in _held_here:  # opening and closing the file once more would let go of the lock
            raise StoreError(_TAKEN.format(folder=folder, holder=f"process {os.getpid()}, this one"))
        try:
            self._file = os.open(self._path, os.O_RDWR | os.O_CREAT, 0o644)
        except OSError as problem:
            raise StoreError(said_by_disk(problem, folder)) from None
        if not _lock(self._file):
            holder = os.read(self._file, 100).decode("ascii", "replace").strip()
            os.close(self._file)
            raise StoreError(_TAKEN.format(folder=folder, holder=holder or "process unknown"))
        _held_here.add(self._path)
        os.ftruncate(self._file, 0)
        os.write(self._file, f"process {os.getpid()}\n".encode("ascii"))

    def release(self) -> None:
        """Let others have the folder; once more changes nothing."""
        if self._path in _held_here:
            _held_here.discard(self._path)
            os.close(self._file)


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Hold a folder for a while, or raise `StoreError` naming the process that works in it."""
    lock = FolderLock(folder)
    try:
        yield
    finally:
        lock.release()


if sys.platform == "win32":
    import msvcrt

    def _lock(file: int) -> bool:
        os.lseek(file, _LOCKED_BYTE, os.SEEK_SET)
        try:
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(file, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    def _lock(file: int) -> bool:
        # A record lock: children do not inherit it, so a job left behind cannot keep a dead server's folder.
        try:
            fcntl.lockf(file, fcntl.LOCK_EX | fcntl.LOCK_NB, 1, _LOCKED_BYTE)
        except OSError:
            return False
        return True
