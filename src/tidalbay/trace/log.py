"""The append-only log of one attempt, in memory. Other stores keep the same contract."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from tidalbay.trace.entry import Entry, EntryError, Key, check_first
from tidalbay.trace.mark import Mark


class LogRefusedError(ValueError):
    """An entry that would break the log; nothing was kept, and the sentence says why."""


@dataclass(frozen=True)
class Receipt:
    """What the sender gets back: the number and the time under which the entry stands in the log."""

    n: int
    t_ms: int


class Log:
    """Acts and marks in the order of their numbers.

    The contract, the same for every store: order is kept; numbers rise by one; time never runs
    backwards; the same key gets the old receipt and adds nothing; a batch is kept whole or not
    at all; after `attempt_ended` no act is taken (marks are: a global rating comes after the end).
    """

    def __init__(self, entries: Iterable[Entry | Mark] = ()) -> None:
        """Open a log that already holds these entries, in their order."""
        self._entries: list[Entry | Mark] = []
        self._by_key: dict[Key, Entry | Mark] = {}
        self._ended = False
        for entry in entries:
            self.append(entry)

    @property
    def entries(self) -> tuple[Entry | Mark, ...]:
        """Everything, in order."""
        return tuple(self._entries)

    @property
    def acts(self) -> tuple[Entry, ...]:
        """What happened in the world, in order."""
        return tuple(entry for entry in self._entries if isinstance(entry, Entry))

    @property
    def marks(self) -> tuple[Mark, ...]:
        """What was judged, in order."""
        return tuple(entry for entry in self._entries if isinstance(entry, Mark))

    @property
    def next_n(self) -> int:
        """The number the next entry must carry."""
        return len(self._entries) + 1

    @property
    def has_ended(self) -> bool:
        """Whether `attempt_ended` stands in the log."""
        return self._ended

    def append(self, entry: Entry | Mark) -> Receipt:
        """Keep one entry, or return the old receipt if its key was kept before.

        Raises `LogRefusedError` if the entry would break the contract.
        """
        kept = self.check(entry)
        if kept is not None:
            return kept
        self._entries.append(entry)
        if entry.key is not None:
            self._by_key[entry.key] = entry
        self._ended = self._ended or (isinstance(entry, Entry) and entry.kind == "attempt_ended")
        return Receipt(entry.n, entry.t_ms)

    def check(self, entry: Entry | Mark) -> Receipt | None:
        """Return the old receipt if the entry's key was kept before, and None if it would be new.

        Nothing is kept. Raises `LogRefusedError` if the entry would break the contract.
        """
        earlier = self._by_key.get(entry.key) if entry.key is not None else None
        if earlier is not None:
            _check_same_tap(earlier, entry)
            return Receipt(earlier.n, earlier.t_ms)
        self._check(entry)
        return None

    def append_batch(self, entries: Iterable[Entry | Mark]) -> tuple[Receipt, ...]:
        """Keep several entries, whole or not at all."""
        before = (list(self._entries), dict(self._by_key), self._ended)
        try:
            return tuple([self.append(entry) for entry in entries])
        except ValueError:
            self._entries, self._by_key, self._ended = before
            raise

    def _check(self, entry: Entry | Mark) -> None:
        if not self._entries:
            _check_opens(entry)
            return
        last = self._entries[-1]
        if entry.n != self.next_n:
            raise LogRefusedError(
                f"entry {self.next_n} comes next, and {entry.kind} carries the number {entry.n}."
            )
        if entry.kind == "attempt_started":
            raise LogRefusedError(f"entry {entry.n} starts the attempt again; a new attempt is a new log.")
        if entry.t_ms < last.t_ms:
            raise LogRefusedError(
                f"entry {entry.n} is at {entry.t_ms} ms, before entry {last.n} at {last.t_ms} ms;"
                " time in a log never runs backwards. A late tap keeps its own time in seen_at_ms."
            )
        if self._ended and isinstance(entry, Entry):
            raise LogRefusedError(
                f"entry {entry.n}, {entry.kind}, comes after attempt_ended; nothing more can be done."
            )

    def __iter__(self) -> Iterator[Entry | Mark]:
        """Iterate over everything, in order."""
        return iter(self._entries)

    def __len__(self) -> int:
        """Count the entries, marks included."""
        return len(self._entries)

    def __eq__(self, other: object) -> bool:
        """Compare entry by entry."""
        return isinstance(other, Log) and self._entries == other._entries

    __hash__ = None  # type: ignore[assignment]  # it grows


def _check_opens(entry: Entry | Mark) -> None:
    if isinstance(entry, Mark):
        raise LogRefusedError(f"{entry.kind} cannot open a log; the first entry is attempt_started.")
    try:
        check_first(entry)
    except EntryError as problem:
        raise LogRefusedError(str(problem)) from None


def _check_same_tap(earlier: Entry | Mark, entry: Entry | Mark) -> None:
    """Refuse a key that comes back with other content: silence would lose an act."""
    if _said(entry) != _said(earlier) and earlier.key is not None:
        raise LogRefusedError(
            f"the key {earlier.key.screen} {earlier.key.counter} was used for entry {earlier.n},"
            f" {earlier.kind}; it cannot also stand for another {entry.kind}."
        )


def _said(entry: Entry | Mark) -> tuple[object, ...]:
    named = entry.on if isinstance(entry, Entry) else entry.about
    return type(entry), entry.kind, named, entry.values
