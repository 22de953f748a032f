"""A connection whose request does not come in time is closed: nobody takes every place by dawdling."""

import asyncio
from typing import Final

from uvicorn.protocols.http.h11_impl import H11Protocol, RequestResponseCycle

from tidalbay.web.network.addresses import is_loopback

WHOLE_WITHIN_S: Final = (
    10.0  # a request is at most 64 kB; the poorest network of a lab carries it in this time
)
# Sockets and pages of everybody behind one address, such as a router that hides its tablets.
MOST_OF_ONE_ADDRESS: Final = 250


class Punctual(H11Protocol):
    """One connection, looked at every so often: who still owes a request that was owed before is let go."""

    _next_look: asyncio.TimerHandle | None = None
    _before: object = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Take a connection, unless its address has too many."""
        super().connection_made(transport)
        host = self.client[0] if self.client else ""
        if not is_loopback(host) and self._of(host) > MOST_OF_ONE_ADDRESS:
            transport.close()
            return
        self._next_look = self.loop.call_later(WHOLE_WITHIN_S, self._look)

    def connection_lost(self, exc: Exception | None) -> None:
        """Look no more."""
        if self._next_look is not None:
            self._next_look.cancel()
        super().connection_lost(exc)

    def _of(self, host: str) -> int:
        clients = (getattr(each, "client", None) for each in self.connections)
        return sum(1 for client in clients if client and client[0] == host)

    def _look(self) -> None:
        if self.transport.is_closing() or self.transport.get_protocol() is not self:  # it is a socket by now
            return
        cycle: RequestResponseCycle | None = self.cycle  # none until the first request's head has come
        owes = cycle is None or cycle.more_body or cycle.response_complete
        if owes and cycle is self._before:
            self.transport.close()
            return
        self._before = cycle
        self._next_look = self.loop.call_later(WHOLE_WITHIN_S, self._look)
