"""Listeners: one on this computer always, and one on each of its addresses once the room is open."""

import asyncio
import contextlib
import os
import socket
from collections.abc import Callable, Iterator
from typing import Final

import uvicorn
from starlette.types import ASGIApp

from tidalbay.web.guard import Hosts
from tidalbay.web.network.addresses import LOOPBACK, is_loopback, machine_names, room_addresses
from tidalbay.web.network.punctual import Punctual

MOST_SOCKET_BYTES: Final = 4096  # pages only listen; whatever they send is a mistake
LEAVE_S: Final = 2
LOOK_AGAIN_S: Final = 5.0  # a laptop joins the room's network, or a hotspot is switched on, at any time


class CannotListen(Exception):
    """An address and port that cannot be listened on; the sentence says what to do."""


class Listeners:
    """The server of one application on one port.

    Parameters
    ----------
    port : int
        The same on every address; 0 lets the system choose one.
    host : str or None
        The only address to open to; None opens to every address of this machine.
    changed : callable
        Called when the addresses that are listened on have changed.
    """

    def __init__(
        self, port: int, host: str | None = None, changed: Callable[["Listeners"], None] = lambda _: None
    ) -> None:
        """Take hold of the port on this computer; raise `CannotListen` where it is taken."""
        self.hosts = Hosts(machine_names())
        self._host = host
        self._changed = changed
        self._first = _bound(LOOPBACK, port)
        self.port: int = self._first.getsockname()[1]
        self._servers: dict[str, tuple[uvicorn.Server, asyncio.Task[None]]] = {}
        self._app: ASGIApp | None = None
        self._looking: asyncio.Task[None] | None = None

    @property
    def addresses(self) -> list[str]:
        """Addresses beyond this computer that are listened on, the likeliest first."""
        return [address for address in self._servers if address != LOOPBACK]

    @property
    def is_open(self) -> bool:
        """Whether the room may come in."""
        return self._looking is not None

    @property
    def here(self) -> str:
        """How a browser on this computer calls the lab."""
        return f"http://{LOOPBACK}:{self.port}"

    @property
    def room(self) -> str | None:
        """How a tablet in the room calls the lab; None while it cannot."""
        return next((f"http://{address}:{self.port}" for address in self.addresses), None)

    async def start(self, app: ASGIApp) -> None:
        """Serve the application on this computer."""
        self._app = app
        await self._serve(LOOPBACK, self._first)

    async def open_room(self) -> None:
        """Listen to the room as well, now and on addresses that come later."""
        if self._looking is None and not (self._host and is_loopback(self._host)):
            await self._look()
            self._looking = asyncio.create_task(self._keep_looking())

    async def wait(self) -> None:
        """Return when the server on this computer has stopped."""
        await self._servers[LOOPBACK][1]

    async def stop(self) -> None:
        """Close every listener, letting what is under way end."""
        if self._looking is not None:
            self._looking.cancel()
        for server, _ in self._servers.values():
            server.should_exit = True
        await asyncio.gather(*(task for _, task in self._servers.values()), return_exceptions=True)

    async def _keep_looking(self) -> None:
        while True:
            await asyncio.sleep(LOOK_AGAIN_S)
            await self._look()

    async def _look(self) -> None:
        one = None if self._host == "0.0.0.0" else self._host
        wanted = [one] if one is not None else await asyncio.to_thread(room_addresses)
        before = self.addresses
        for address in wanted:
            if address not in self._servers:
                with contextlib.suppress(CannotListen):
                    await self._serve(address, _bound(address, self.port))
        for address in before:
            if address not in wanted:  # the network is gone; so are those who were there
                server, _ = self._servers.pop(address)
                server.should_exit = True
        if self.addresses != before:
            self._changed(self)

    async def _serve(self, address: str, bound: socket.socket) -> None:
        assert self._app is not None
        self.hosts.allow(address)
        config = uvicorn.Config(
            self._app,
            lifespan="off",
            http=Punctual,
            ws="websockets-sansio",
            ws_per_message_deflate=False,
            ws_max_size=MOST_SOCKET_BYTES,
            proxy_headers=False,  # nobody stands between: whoever says so is not believed
            server_header=False,
            access_log=False,
            log_config=None,
            timeout_graceful_shutdown=LEAVE_S,
        )
        server = _Server(config)
        task = asyncio.create_task(server.serve(sockets=[bound]))
        self._servers[address] = (server, task)
        while not server.started and not task.done():
            await asyncio.sleep(0.005)


class _Server(uvicorn.Server):
    """One of several in a process: signals are for the process, not for each of them."""

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        yield


def _bound(address: str, port: int) -> socket.socket:
    bound = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if os.name == "posix":  # after a crash the port is free at once
            bound.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        bound.bind((address, port))
        bound.listen(256)
    except OSError as problem:
        bound.close()
        raise CannotListen(
            f"Port {port} on {address} cannot be used ({(problem.strerror or str(problem)).lower()}): another"
            f" program has it, perhaps another Tidalbay. Stop that one, or name another port:"
            f" --port {port + 1 if port < 65535 else port - 1}"
        ) from None
    return bound
