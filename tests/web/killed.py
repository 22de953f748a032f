"""The real server, killed while tablets tap, started again, and compared with a replay from its disk."""

import contextlib
import json
import os
import random
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx2
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from tidalbay.live.played import Played
from tidalbay.records import ActStore
from tidalbay.trace import Log

CHECKOUT = Path(__file__).parents[2]
STARTS_WITHIN_S = 90.0
STOPS_WITHIN_S = 30.0
ACTS = (
    {"act": "flow_set", "on": "flowmeter", "values": {"flow_lpm": 3}},
    {"act": "flow_set", "on": "flowmeter", "values": {"flow_lpm": 5}},
    {"act": "device_placed", "on": "cannula"},
    {"act": "device_removed", "on": "cannula"},
    {"act": "hands_cleaned"},
)


class Served:
    """`tidalbay serve --demo` as a process of its own."""

    def __init__(self, folder: Path) -> None:
        """Choose a free port; `start` starts it."""
        self.folder = folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.base = f"http://127.0.0.1:{self.port}"
        self._process: subprocess.Popen[bytes] | None = None

    @property
    def said(self) -> str:
        """Everything it has printed."""
        return (self.folder / "said.txt").read_text(encoding="utf-8")

    def command(self, *more: str) -> list[str]:
        """What starts it."""
        data = str(self.folder / "data")
        return [sys.executable, "-m", "tidalbay", "serve", "--port", str(self.port), "--data", data, *more]

    def start(self, *more: str) -> float:
        """Start it; seconds until its first page was there. [s]"""
        began_s = time.perf_counter()
        with (self.folder / "said.txt").open("ab") as said:
            self._process = subprocess.Popen(
                self.command(*more), cwd=CHECKOUT, env=surroundings(), stdout=said, stderr=said
            )
        while time.perf_counter() - began_s < STARTS_WITHIN_S and self._process.poll() is None:
            with contextlib.suppress(httpx2.TransportError):
                if httpx2.get(f"{self.base}/join", timeout=5).status_code == 200:
                    return time.perf_counter() - began_s
            time.sleep(0.02)
        raise AssertionError(f"the server did not start:\n{self.said}")

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """End it and return its exit code."""
        assert self._process is not None
        self._process.send_signal(how)
        return self._process.wait(STOPS_WITHIN_S)


def surroundings() -> dict[str, str]:
    """What the server is started in: this checkout's own code."""
    plain = {"TIDALBAY_PLAIN": "1"}  # the same digits, and no compiler beside the test
    return {**os.environ, **plain, "PYTHONPATH": str(CHECKOUT / "src"), "PYTHONUTF8": "1"}


@dataclass
class Tapped:
    """What tablets sent and were told, and the breaths that a screen received."""

    receipts: dict[tuple[str, int], tuple[int, dict[str, Any]]] = field(default_factory=dict)
    breaths: list[dict[str, Any]] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


def tap_until_killed(served: Served, threads: int, after_s: float, count_from: int) -> Tapped:
    """Tap from several tablets, listen with one screen, and kill the server after a while. [s]"""
    tapped, over = Tapped(), threading.Event()

    def tap(tablet: int) -> None:
        with httpx2.Client(base_url=served.base, headers={"origin": served.base}, timeout=10) as client:
            for count in range(count_from, count_from + 100_000):
                key = (f"tablet-{tablet}", count)
                said = {**ACTS[(count + tablet) % len(ACTS)], "key": list(key)}
                try:
                    answer = client.post("/stations/s1/acts", json={"acts": [said]})
                except httpx2.TransportError:
                    return  # killed; whether this one was kept nobody was told
                if answer.status_code == 429:
                    over.wait(0.2)
                elif answer.status_code == 200:
                    receipt = answer.json()["receipts"][0]
                    if "n" in receipt:
                        tapped.receipts[key] = (receipt["n"], said)
                    else:
                        tapped.refused.append(receipt["refused"])

    def listen() -> None:
        address = f"ws://127.0.0.1:{served.port}/live/s1?after=0&screen=watch"
        gone = contextlib.suppress(ConnectionClosed, OSError, EOFError)
        with gone, connect(address, origin=served.base, max_size=None) as screen:
            for text in screen:
                message = json.loads(text)
                if message["kind"] == "breath":
                    tapped.breaths.append(message)

    people = [threading.Thread(target=tap, args=(n,)) for n in range(threads)]
    people.append(threading.Thread(target=listen))
    for each in people:
        each.start()
    time.sleep(after_s)
    served.stop(signal.SIGKILL)
    over.set()
    for each in people:
        each.join(STOPS_WITHIN_S)
    return tapped


def told_now(served: Served) -> dict[str, Any]:
    """The first message of the first station to a new screen."""
    with connect(f"ws://127.0.0.1:{served.port}/live/s1?after=0&screen=new", origin=served.base) as screen:
        return dict(json.loads(screen.recv(timeout=30)))


def log_on_disk(served: Served, attempt: str) -> Log:
    """An attempt's log, once nobody holds the folder."""
    store = ActStore.open(served.folder / "data")
    try:
        return store.log(attempt)
    finally:
        store.close()


def lost(tapped: Tapped, log: Log) -> list[tuple[str, int]]:
    """Keys of confirmed acts that the log does not hold as they were confirmed."""
    held = {tuple(entry.key): entry for entry in log.entries if entry.key is not None}
    return [
        key
        for key, (n, said) in tapped.receipts.items()
        if key not in held or held[key].n != n or held[key].kind != said["act"]
    ]


def replayed_breath(log: Log, t_ms: int) -> dict[str, Any]:
    """The breath that was under way at a moment, from a replay of the log alone. [ms]"""
    until = Log([entry for entry in log.entries if entry.t_ms <= t_ms])
    played = Played.replayed("a-replay", until, t_ms)
    told = played.moment({"t_ms": t_ms, "times": 1, "state": "paused"}).message("instructor")
    return dict(json.loads(json.dumps(told)))  # as it travels


def moments(chance: random.Random, times: int) -> Iterator[float]:
    """How long to tap before each kill. [s]"""
    for _ in range(times):
        yield chance.uniform(0.05, 1.5)
