"""A lab with its real listeners, run beside a test on a loop of its own."""

import asyncio
import json
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import httpx2
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import ClientConnection, connect

from tidalbay.live import Lab
from tidalbay.records import ActStore, LabStore
from tidalbay.web import CaseShelf, app
from tidalbay.web.network import Listeners

PASSWORD = "three small words"
CASE = "post-operative"
FLOW = {"act": "flow_set", "on": "flowmeter", "values": {"flow_lpm": 2}}


class OpenLab:
    """Two stations, a password, and whoever asks to be let in."""

    def __init__(self, folder: Path, is_demonstration: bool = False, has_password: bool = True) -> None:
        self.folder = folder
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever, name="lab", daemon=True)
        self._thread.start()
        self.run(self._open(is_demonstration))
        self.base = self.listeners.here
        self.port = self.listeners.port
        if has_password:
            self.run(self.door.visitors.set_password(PASSWORD))

    def run(self, coroutine: Any) -> Any:
        """Have something done where the lab runs."""
        return asyncio.run_coroutine_threadsafe(coroutine, self._loop).result(60)

    async def _open(self, is_demonstration: bool) -> None:
        acts = ActStore.open(self.folder)
        self.store = LabStore.open(self.folder)
        self.lab = Lab(acts, CaseShelf(), [("s1", "Station 1"), ("s2", "Station 2")])
        await self.lab.start()
        self.listeners = Listeners(0)
        self.app = app(self.lab, self.store, self.listeners, is_demonstration=is_demonstration)
        self.door = self.app.state.door
        await self.listeners.start(self.app)

    def close(self) -> None:
        async def close() -> None:
            await self.listeners.stop()
            await self.lab.close()

        self.run(close())
        self.store.close()
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join(10)
        self._loop.close()

    # -- those who come in ------------------------------------------------------------------

    def stranger(self, **headers: str) -> httpx2.Client:
        """A browser that nobody knows, sending from the lab's own pages."""
        return httpx2.Client(base_url=self.base, headers={"origin": self.base, **headers}, timeout=60)

    @contextmanager
    def instructor(self) -> Iterator[httpx2.Client]:
        """A browser that signed in."""
        with self.stranger() as client:
            answer = client.post("/sign-in", data={"password": PASSWORD})
            assert answer.status_code == 303, answer.text
            yield client

    @contextmanager
    def joined(self, role: str, station: str = "s1") -> Iterator[httpx2.Client]:
        """A tablet that joined by the station's code for a role."""
        with self.stranger() as client:
            answer = client.get(f"/join/{self.door.afternoon.code_of(station, role)}")
            assert answer.status_code == 303, answer.text
            yield client

    def begin(self, station: str = "s1", mode: str = "formative", case: str = CASE, go: bool = False) -> None:
        """A fresh attempt, whatever was there before."""
        with self.instructor() as client:
            if self.lab.stations[station].life in ("ready", "running", "paused"):
                done = client.post(f"/stations/{station}/end", json={"why": "finished"})
                assert done.status_code == 200, done.text
            client.post("/board/gas", json={"station": station, "gas": "oxygen"})
            said = {"case": case, "mode": mode, "form": "a", "go": go}
            begun = client.post(f"/stations/{station}/start", json=said)
            assert begun.status_code == 200, begun.text

    def entries(self, station: str = "s1") -> list[Any]:
        """What the log of the attempt on a station holds, read from the disk."""
        return self.lab.store.log(self.lab.stations[station].board()["attempt"]).entries

    def listen(
        self, client: httpx2.Client, station: str = "s1", query: str = "", **how: Any
    ) -> ClientConnection:
        """Open a station's socket with a client's cookies."""
        cookies = "; ".join(f"{name}={value}" for name, value in client.cookies.items())
        headers = {"origin": self.base, "cookie": cookies, **how.pop("headers", {})}
        origin = headers.pop("origin")
        return connect(
            f"ws://127.0.0.1:{self.port}/live/{station}?after=0&screen=t{query}",
            additional_headers=headers, origin=origin, open_timeout=20, max_size=None, **how,
        )  # fmt: skip

    async def from_elsewhere(self, method: str, path: str, **how: Any) -> httpx2.Response:
        """A request as if it came from another computer in the room."""
        transport = httpx2.ASGITransport(app=self.app, client=("192.168.4.23", 51000))
        headers = {"host": f"127.0.0.1:{self.port}", "origin": self.base, **how.pop("headers", {})}
        async with httpx2.AsyncClient(transport=transport, base_url=self.base) as client:
            return await client.request(method, path, headers=headers, **how)


def heard(socket: ClientConnection, kind: str, within_s: float = 20) -> dict[str, Any]:
    """The next message of a kind."""
    while True:
        message = json.loads(socket.recv(timeout=within_s))
        if message["kind"] == kind:
            return message


def closing(socket: ClientConnection, within_s: float = 20) -> tuple[int, str]:
    """Read until the server closes; its code and its sentence."""
    with suppress(ConnectionClosed):
        while True:
            socket.recv(timeout=within_s)
    return socket.close_code or 1006, socket.close_reason or ""
