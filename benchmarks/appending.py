"""How fast acts are kept, and what a shared commit is worth: python -m benchmarks.appending

So many threads each append one act and wait for it to be on the disk, as so many tapping hands do.
The store is timed in turns with itself without group commit (a commit an act); ratios are of two
turns side by side.  The table goes to the screen, raw figures to benchmarks/results/appending-<date>.json.
"""

import argparse
import json
import os
import platform
import sqlite3
import statistics
import tempfile
import threading
import time
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from tests.records.attempts import SOON_S, first, tap

from tidalbay.records import ActStore
from tidalbay.records.acts import act_store
from tidalbay.records.acts.writer import Waiting, Writer

RESULTS = Path(__file__).with_name("results")
WAITING = (1, 8, 32)
ROUNDS = 7
A_TURN_S = 2.0


class ACommitAnAct(Writer):
    """The same writer, and nobody shares a commit."""

    def _write(self, group: Sequence[Waiting], marks: Mapping[str, tuple[int, str]]) -> None:
        for waiting in group:
            super()._write([waiting], marks)


def main() -> None:
    words = argparse.ArgumentParser(prog="python -m benchmarks.appending", description=__doc__)
    words.add_argument("--dry", action="store_true", help="print only; keep no results")
    words.add_argument("--folder", type=Path, default=None, help="a folder on the disk to be measured")
    asked = words.parse_args()
    found: dict[str, Any] = {"about": about(), "turns": {}}
    with tempfile.TemporaryDirectory(dir=asked.folder) as folder:
        place = Path(folder)
        found["sync_ms"] = sync_ms(place)
        found["journals"] = [
            {mode: bare_commits_per_s(place, mode) for mode in ("wal", "delete")} for _ in range(ROUNDS)
        ]
        for waiting in WAITING:
            found["turns"][waiting] = [
                {"shared": turn(place, waiting, Writer), "alone": turn(place, waiting, ACommitAnAct)}
                for _ in range(ROUNDS)
            ]
    found["about"]["load_after"] = os.getloadavg()[0]
    print("\n".join(table(found)))
    if not asked.dry:
        RESULTS.mkdir(exist_ok=True)
        path = RESULTS / f"appending-{found['about']['date']}.json"
        path.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
        print(f"\nRaw figures: benchmarks/results/{path.name}")


def about() -> dict[str, Any]:
    """When, where and by what: no names of makers or machines."""
    return {
        "date": time.strftime("%Y-%m-%d"),
        "command": "python -m benchmarks.appending",
        "machine": f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}",
        "python": platform.python_version(),
        "sqlite": sqlite3.sqlite_version,
        "load_before": os.getloadavg()[0],
    }


def sync_ms(folder: Path) -> list[float]:
    """What this disk takes to sync four kilobytes at the end of a file: the floor under every figure. [ms]"""
    taken = []
    with (folder / "synced").open("wb", buffering=0) as file:
        for _ in range(100):
            file.write(os.urandom(4096))
            began = time.perf_counter()
            os.fsync(file.fileno())
            taken.append(1_000 * (time.perf_counter() - began))
    return taken


def bare_commits_per_s(folder: Path, journal_mode: str) -> float:
    """How often a second one row can be committed and synced, with the one journal and the other."""
    with tempfile.TemporaryDirectory(dir=folder) as place:
        connection = sqlite3.connect(Path(place) / "bare.db", isolation_level=None)
        connection.execute(f"PRAGMA journal_mode = {journal_mode}")
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("CREATE TABLE row (words TEXT)")
        began, count = time.perf_counter(), 0
        while time.perf_counter() - began < A_TURN_S / 2:
            connection.execute("INSERT INTO row VALUES ('set the flow to 4 L/min')")
            count += 1
        took_s = time.perf_counter() - began
        connection.close()
    return count / took_s


def turn(folder: Path, waiting: int, writer: type[Writer]) -> dict[str, float]:
    """Let so many hands tap for a while; return acts a second and how long a tap waited. [ms]"""
    act_store.Writer = writer  # type: ignore[misc]
    with tempfile.TemporaryDirectory(dir=folder) as place:
        store = ActStore.open(Path(place))
        for i in range(waiting):
            store.begin(f"a-{i}", f"s{i}", [first()]).result(SOON_S)
        waits_ms: list[float] = []
        until = time.perf_counter() + A_TURN_S

        def hand(i: int) -> None:
            n = 2
            while (began := time.perf_counter()) < until:
                store.append(f"a-{i}", [tap(n, n)]).result(SOON_S)
                waits_ms.append(1_000 * (time.perf_counter() - began))
                n += 1

        hands = [threading.Thread(target=hand, args=(i,)) for i in range(waiting)]
        began = time.perf_counter()
        for thread in hands:
            thread.start()
        for thread in hands:
            thread.join()
        took_s = time.perf_counter() - began
        store.close()
    cut = statistics.quantiles(waits_ms, n=100, method="inclusive")
    return {
        "acts_per_s": len(waits_ms) / took_s,
        "p50_ms": cut[49],
        "p99_ms": cut[98],
        "worst_ms": max(waits_ms),
    }


def table(found: dict[str, Any]) -> list[str]:
    said = found["about"]
    lines = [
        f"{said['date']}, {said['machine']}, Python {said['python']}, SQLite {said['sqlite']};"
        f" load {said['load_before']:.2f} before, {said['load_after']:.2f} after; `{said['command']}`."
        f" Syncing 4 kB on this disk: {middle(found['sync_ms'])} ms. Medians of {ROUNDS} turns, least and"
        " most in brackets.",
        "",
        "| hands at once | times as many acts a second | acts a second | p50, ms | p99, ms | alone: p50, ms"
        " | p99, ms |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for waiting, turns in found["turns"].items():
        ratio = [each["shared"]["acts_per_s"] / each["alone"]["acts_per_s"] for each in turns]
        cells = [middle([each[how][what] for each in turns]) for how, what in COLUMNS]
        lines.append(f"| {waiting} | {middle(ratio)} | {' | '.join(cells)} |")
    ratio = [each["wal"] / each["delete"] for each in found["journals"]]
    each_s = [middle([turn[mode] for turn in found["journals"]]) for mode in ("wal", "delete")]
    lines += [
        "",
        f"One row a commit, nothing else: {middle(ratio)} times as many commits a second with a write-ahead"
        f" log as with a rollback journal ({each_s[0]} against {each_s[1]}).",
    ]
    return lines


COLUMNS = (
    ("shared", "acts_per_s"),
    ("shared", "p50_ms"),
    ("shared", "p99_ms"),
    ("alone", "p50_ms"),
    ("alone", "p99_ms"),
)


def middle(figures: list[float]) -> str:
    return f"{_said(statistics.median(figures))} ({_said(min(figures))}–{_said(max(figures))})"


def _said(figure: float) -> str:
    return f"{figure:,.0f}" if figure >= 100 else f"{figure:.3g}"


if __name__ == "__main__":
    main()
