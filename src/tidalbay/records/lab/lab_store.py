"""The store of the lab's few facts."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Final

from tidalbay.records.lab.database import Database
from tidalbay.records.lab.labs import Labs
from tidalbay.records.lab.people import Line, People
from tidalbay.records.lab.settings import Settings
from tidalbay.records.lab.signing_in import SigningIn
from tidalbay.records.problem import StoreError, said_by_disk

NAME: Final = "lab.db"


def _utc_ms() -> int:
    return time.time_ns() // 1_000_000


class LabStore:
    """lab.db in the data folder. Calls return when they are on the disk, and may come from any thread.

    The folder's lock is the act store's: open that one first.
    """

    def __init__(self, database: Database) -> None:
        """Use `open`."""
        self._database = database
        self.settings = Settings(database)
        self.signing_in = SigningIn(database)
        self.labs = Labs(database)
        self.people = People(database)
        self.line = Line(database)

    @classmethod
    def open(cls, folder: Path, now_utc_ms: Callable[[], int] = _utc_ms) -> "LabStore":
        """Open the store of a folder, making both where there is none; raise `StoreError` in a sentence."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise StoreError(said_by_disk(problem, folder)) from None
        return cls(Database(folder / NAME, now_utc_ms))

    def close(self) -> None:
        """Let go of the file."""
        self._database.close()
