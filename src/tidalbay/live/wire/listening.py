"""Who listens to a station, and what is news to each of them.

Nothing is queued. For each kind of message the newest is kept with its number, and of the log every
entry's; a listener asks for all that is newer than the last number it has seen. One that is slow misses
breaths that have passed, never an entry, and nobody waits for it.
"""

import asyncio
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any, Final

Message = dict[str, Any]
ForRole = Callable[[str], Message | None]  # a message as that role may receive it, or None

KEPT_NOTICES: Final = 16


@dataclass(eq=False)
class Listener:
    """One screen that listens."""

    role: str
    screen: str
    since_s: float
    woken: asyncio.Event = field(default_factory=asyncio.Event)


class News:
    """The newest of everything that a station tells, by number.

    Parameters
    ----------
    hello : callable
        The first message for a role: everything as it is now.
    entries : callable
        Entries by number as a role may receive them, as one message or None.
    first_seq : int
        Where numbers begin. A later life of the server begins higher, so that a page that comes back
        with a number of the earlier life is greeted afresh.
    """

    def __init__(
        self, hello: ForRole, entries: Callable[[str, list[int]], Message | None], first_seq: int = 1
    ) -> None:
        """Begin with nothing told."""
        self._hello = hello
        self._entries = entries
        self._seq = self._greeting_seq = first_seq
        self._newest: dict[str, tuple[int, ForRole]] = {}
        self._notices: deque[tuple[int, ForRole]] = deque(maxlen=KEPT_NOTICES)
        self._entry_seq: dict[int, int] = {}
        self._entries_seq = 0  # of the newest message about entries
        self._listeners: list[Listener] = []
        self._closed = False

    @property
    def seq(self) -> int:
        """The number of the newest message."""
        return self._seq

    @property
    def listeners(self) -> tuple[Listener, ...]:
        """Who listens now, in the order in which they came."""
        return tuple(self._listeners)

    def tell(self, kind: str, for_role: ForRole) -> None:
        """Tell something that replaces the last of its kind; notices are all kept for a while."""
        self._seq += 1
        if kind == "notice":
            self._notices.append((self._seq, for_role))
        else:
            self._newest[kind] = (self._seq, for_role)
        self._wake()

    def tell_entries(self, numbers: list[int]) -> None:
        """Tell of entries that are new, or that read otherwise now."""
        self._seq += 1
        self._entries_seq = self._seq
        self._entry_seq.update(dict.fromkeys(numbers, self._seq))
        self._wake()

    def greet_all(self) -> None:
        """Begin afresh: everybody gets a new first message, and all that was told before is past."""
        self._seq += 1
        self._greeting_seq = self._seq
        people = self._newest.get("people")
        self._newest = {} if people is None else {"people": people}
        self._notices.clear()
        self._entry_seq.clear()
        self._entries_seq = 0
        self._wake()

    def since(self, role: str, after: int) -> Iterator[Message]:
        """Everything newer than a number that a role may receive, in order."""
        if not self._greeting_seq <= after <= self._seq:
            hello = self._hello(role)
            if hello is not None:
                yield {**hello, "seq": self._seq}
            return
        told: list[tuple[int, ForRole]] = [*self._newest.values(), *self._notices]
        if self._entries_seq > after:
            fresh = [n for n, seq in self._entry_seq.items() if seq > after]
            told.append((self._entries_seq, lambda role: self._entries(role, fresh)))
        for seq, for_role in sorted(told, key=lambda each: each[0]):
            if seq > after:
                message = for_role(role)
                if message is not None:
                    yield {**message, "seq": seq}

    def join(self, role: str, screen: str, since_s: float) -> Listener:
        """Somebody begins to listen."""
        listener = Listener(role, screen, since_s)
        self._listeners.append(listener)
        return listener

    def leave(self, listener: Listener) -> None:
        """Somebody has stopped listening."""
        if listener in self._listeners:
            self._listeners.remove(listener)

    async def wait(self, listener: Listener) -> bool:
        """Wait until there is news; False once the station is closed."""
        await listener.woken.wait()
        listener.woken.clear()
        return not self._closed

    def close(self) -> None:
        """End every listener."""
        self._closed = True
        self._wake()

    def _wake(self) -> None:
        for listener in self._listeners:
            listener.woken.set()
