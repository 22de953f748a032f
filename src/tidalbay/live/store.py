"""What a station needs of whatever keeps its log."""

from collections.abc import Sequence
from concurrent.futures import Future
from typing import Protocol

from tidalbay.trace import Entry, Log, Mark, Receipt


class Keeper(Protocol):
    """Keeps logs; `tidalbay.records.ActStore` does, on the disk. Futures are done once it is durable."""

    def begin(
        self, attempt: str, station: str, entries: Sequence[Entry | Mark], parent: str | None = None
    ) -> Future[tuple[Receipt, ...]]:
        """Begin an attempt with its first entry, or with all that a branch takes over."""

    def append(self, attempt: str, entries: Sequence[Entry | Mark]) -> Future[tuple[Receipt, ...]]:
        """Append entries, whole or not at all."""

    def mark_clock(self, attempt: str, t_ms: int, state: str) -> None:
        """Remember where the clock stands: running, paused or ended. [ms]"""

    def finish(self, attempt: str, trace_json: bytes) -> Future[None]:
        """Keep the trace that was shown."""

    def log(self, attempt: str) -> Log:
        """Read a log back."""

    def turn_of(self, attempt: str, costs_nothing: Sequence[str]) -> int | None:
        """Which attempt at its assessment one is for its learner; None where nobody counts."""
