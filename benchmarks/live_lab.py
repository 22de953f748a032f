"""A full lab on this machine: thirty stations, four screens each, an act a second at every one, for a minute.

    python -m benchmarks.live_lab [STATIONS] [SECONDS]

The server runs as a process of its own with its own data folder; this process is the room: it holds every
socket, sends the acts, and measures from the sending of an act to its arrival on each screen of the station.
The processor's time and the memory are the server's alone. Goals: 99 of 100 under 100 ms, under 1.2 cores,
under 1 GB, no drift of the stations' clocks. Beside them stands a bare echo (as many sockets, messages as
long, no model and no disk), so that a slow machine can be told from a slow lab.
"""

import asyncio
import json
import os
import random
import re
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections import defaultdict
from pathlib import Path
from typing import Any

import websockets

ROLES = ("learner", "checker", "projector", "instructor")
# What hands at a station with a cannula do in a loop; none of it ends an attempt.
ACTS: tuple[dict[str, Any], ...] = (
    {"act": "flow_set", "on": "flowmeter", "values": {"flow_lpm": 2}},
    {"act": "device_placed", "on": "cannula"},
    {"act": "observed", "values": {"what": "spo2", "found": 93}},
    {"act": "flow_set", "on": "flowmeter", "values": {"flow_lpm": 4}},
    {"act": "positioned", "values": {"position": "upright"}},
    {"act": "device_removed", "on": "cannula"},
    {"act": "observed", "values": {"what": "rate", "found": 20}},
    {"act": "positioned", "values": {"position": "propped"}},
)
TICKS_S = os.sysconf("SC_CLK_TCK")


class Server:
    """The lab as a process of its own."""

    def __init__(self, folder: str, stations: int) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        words = [
            sys.executable,
            "-m",
            "tidalbay",
            "serve",
            "--demo",
            "--port",
            str(self.port),
            "--data",
            folder,
        ]
        self.process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        self._until_open()
        self.post("/board/stations", {"count": stations})
        for i in range(1, stations + 1):
            if i > 1:
                self.post("/board/gas", {"station": f"s{i}", "gas": "oxygen"})
                self.post(
                    f"/stations/s{i}/start", {"case": "post-operative", "mode": "formative", "go": True}
                )

    def _until_open(self) -> None:
        until_s = time.monotonic() + 60.0
        while time.monotonic() < until_s:
            try:
                urllib.request.urlopen(f"http://127.0.0.1:{self.port}/board.json", timeout=2).read()
            except OSError:
                time.sleep(0.1)
            else:
                return
        raise SystemExit("The lab did not open within a minute.")

    def post(self, path: str, said: dict[str, Any]) -> Any:
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}{path}",
            json.dumps(said).encode(),
            {"content-type": "application/json", "origin": f"http://127.0.0.1:{self.port}"},
            method="POST",
        )
        with urllib.request.urlopen(request, timeout=60) as answer:
            return json.load(answer)

    def cookie(self, station: str) -> str:
        """What a checker's tablet holds once it has joined a station by the code on its card."""
        page = urllib.request.urlopen(f"http://127.0.0.1:{self.port}/codes", timeout=20).read().decode()
        card = next(part for part in page.split("<section") if f'id="card-{station}"' in part)
        code = re.search(r"<h3>Checker</h3>.*?/join/([^\s\"]+)\"", card, re.DOTALL)
        assert code is not None
        join = urllib.request.Request(f"http://127.0.0.1:{self.port}/join/{code[1]}")
        answer = urllib.request.build_opener(_Stay).open(join, timeout=20)
        return str(answer.headers["set-cookie"]).split(";")[0]

    def cpu_s(self) -> float:
        fields = Path(f"/proc/{self.process.pid}/stat").read_text().rsplit(")", 1)[1].split()
        return (int(fields[11]) + int(fields[12])) / TICKS_S

    def memory_mb(self) -> float:
        status = Path(f"/proc/{self.process.pid}/status").read_text()
        return int(status.split("VmRSS:")[1].split()[0]) / 1024.0

    def close(self) -> None:
        self.process.send_signal(signal.SIGINT)
        self.process.wait(30)


class _Stay(urllib.request.HTTPRedirectHandler):
    """Hands over the answer that sets the cookie instead of the page it leads to."""

    def http_error_303(self, req: Any, fp: Any, code: int, msg: str, headers: Any) -> Any:
        return fp


class Room:
    """Every screen of the lab, and what came to them when."""

    def __init__(self, port: int, stations: int) -> None:
        self.port, self.ids = port, [f"s{i}" for i in range(1, stations + 1)]
        self.bytes: dict[str, int] = defaultdict(int)
        self.messages: dict[str, int] = defaultdict(int)
        self.seen_s: dict[tuple[str, int], list[float]] = defaultdict(list)
        self.clocks: dict[str, list[tuple[float, int]]] = defaultdict(list)

    async def listen(self, station: str, role: str) -> None:
        place = f"ws://127.0.0.1:{self.port}/live/{station}?after=0&screen={role}-{station}&as={role}"
        origin = f"http://127.0.0.1:{self.port}"
        async with websockets.connect(place, origin=origin, compression=None, max_queue=None) as screen:
            async for text in screen:
                now_s = time.perf_counter()
                self.bytes[role] += len(text)
                self.messages[role] += 1
                said = json.loads(text)
                if said["kind"] == "entries":
                    for entry in said["entries"]:
                        self.seen_s[(station, entry["n"])].append(now_s)
                elif said["kind"] == "beat" and role == "projector":
                    self.clocks[station].append((now_s, said["t_ms"]))


async def hands(
    room: Room,
    station: str,
    cookie: str,
    until_s: float,
    sent: dict[tuple[str, int], float],
    refused: list[str],
) -> None:
    """One act a second at a station, through one kept connection."""
    reader, writer = await asyncio.open_connection("127.0.0.1", room.port)
    host = f"127.0.0.1:{room.port}"
    await asyncio.sleep(random.random())
    i = 0
    while (begun_s := time.perf_counter()) < until_s:
        act = {**ACTS[i % len(ACTS)], "key": [f"load-{station}", i]}
        body = json.dumps({"acts": [act]})
        head = (
            f"POST /stations/{station}/acts HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\n"
            f"cookie: {cookie}\r\n"
            f"content-type: application/json\r\ncontent-length: {len(body)}\r\n\r\n"
        )
        writer.write((head + body).encode())
        status = await reader.readuntil(b"\r\n\r\n")
        length = int(status.lower().split(b"content-length:")[1].split(b"\r\n")[0])
        answer = json.loads(await reader.readexactly(length))
        receipt = answer.get("receipts", [answer])[0]
        if "n" in receipt:
            sent[(station, receipt["n"])] = begun_s
        else:
            refused.append(str(receipt))
        i += 1
        await asyncio.sleep(max(0.0, 1.0 - (time.perf_counter() - begun_s)))
    writer.close()


def at(values: list[float], share: float) -> float:
    return sorted(values)[min(len(values) - 1, int(share * len(values)))] if values else float("nan")


async def afternoon(server: Server, stations: int, seconds: float) -> None:
    room = Room(server.port, stations)
    cookies = {id: server.cookie(id) for id in room.ids}
    listening = [asyncio.create_task(room.listen(id, role)) for id in room.ids for role in ROLES]
    await asyncio.sleep(5.0)
    for counted in (room.bytes, room.messages, room.clocks):
        counted.clear()
    sent: dict[tuple[str, int], float] = {}
    refused: list[str] = []
    begun_s, begun_cpu_s = time.perf_counter(), server.cpu_s()
    until_s = begun_s + seconds
    await asyncio.gather(*(hands(room, id, cookies[id], until_s, sent, refused) for id in room.ids))
    gone_s, cpu_s, memory_mb = time.perf_counter() - begun_s, server.cpu_s() - begun_cpu_s, server.memory_mb()
    await asyncio.sleep(1.0)
    for task in listening:
        task.cancel()
    late_ms = [
        1000.0 * (seen_s - sent[key]) for key, times in room.seen_s.items() if key in sent for seen_s in times
    ]
    reached = sum(len(room.seen_s[key]) for key in sent)
    told(
        f"{stations} stations, {len(listening)} screens, {gone_s:.0f} s",
        f"{len(sent)} acts, {len(refused)} refused",
    )
    for words in sorted(set(refused))[:3]:
        told("  refused", words)
    shown = [at(late_ms, share) for share in (0.5, 0.99, 1.0)]
    told("act to screen", "p50 {:.1f} ms, p99 {:.1f} ms (goal 100), most {:.1f} ms".format(*shown))
    told("acts that came to screens", f"{reached} of {4 * len(sent)}")
    told("server", f"{cpu_s / gone_s:.2f} cores (goal 1.2), {memory_mb:.0f} MB (goal 1000)")
    for role in ROLES:
        each, kb = room.messages[role] / stations / gone_s, room.bytes[role] / stations / gone_s / 1000
        told(f"  a screen of the {role}", f"{each:.2f} messages and {kb:.1f} kB a second")
    drifts = [drift_ms(beats) for beats in room.clocks.values() if len(beats) > 2]
    told(
        "clocks",
        f"{max(map(abs, drifts), default=float('nan')):.0f} ms off at the most, {len(drifts)} stations",
    )


def told(what: str, figures: str) -> None:
    print(f"{what}: {figures}")


def drift_ms(beats: list[tuple[float, int]]) -> float:
    """How far a station's clock came apart from the room's between its first and its last beat. [ms]"""
    (first_s, first_ms), (last_s, last_ms) = beats[0], beats[-1]
    return (last_ms - first_ms) - 1000.0 * (last_s - first_s)


async def echo(stations: int, seconds: float) -> None:
    """The same room around a server that only echoes: what this machine's sockets cost by themselves."""
    late_ms: list[float] = []

    async def answer(screen: Any) -> None:
        async for text in screen:
            await screen.send(text)

    async def ask(port: int) -> None:
        async with websockets.connect(f"ws://127.0.0.1:{port}", compression=None) as screen:
            until_s = time.perf_counter() + seconds
            while (begun_s := time.perf_counter()) < until_s:
                await screen.send("x" * 4000)
                await screen.recv()
                late_ms.append(1000.0 * (time.perf_counter() - begun_s))
                await asyncio.sleep(1.0)

    async with websockets.serve(answer, "127.0.0.1", 0, compression=None) as bare:
        port = bare.sockets[0].getsockname()[1]
        await asyncio.gather(*(ask(port) for _ in range(stations * len(ROLES))))
    told(
        "bare echo of 4 kB, both ends here", f"p50 {at(late_ms, 0.5):.1f} ms, p99 {at(late_ms, 0.99):.1f} ms"
    )


def main() -> None:
    stations = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 60.0
    with tempfile.TemporaryDirectory() as folder:
        server = Server(folder, stations)
        try:
            asyncio.run(afternoon(server, stations, seconds))
        finally:
            server.close()
    asyncio.run(echo(stations, min(10.0, seconds)))


if __name__ == "__main__":
    main()
