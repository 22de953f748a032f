"""Starts a keeper, in plain, under the eyes of strace, or to be killed; and reads what it said."""

import os
import random
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from tests.needs import path_of

from tidalbay.records import ActStore
from tidalbay.trace import Key

FOR_EVER = 1_000_000


class Tap(NamedTuple):
    screen: str
    n: int


def environment() -> dict[str, str]:
    return {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}


def command(folder: Path, threads: int, taps: int, *fault: str) -> list[str]:
    return [sys.executable, "-m", "tests.records.keeper", str(folder), str(threads), str(taps), *fault]


def under_strace(told: Path, options: list[str], keeper: list[str]) -> list[str]:
    """Run a keeper under strace, which writes to a file; return the lines that the keeper said."""
    strace = path_of("strace")
    assert strace is not None
    run = subprocess.run(
        [strace, "-f", "-y", "-o", str(told), *options, *keeper],
        env=environment(),
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert run.returncode == 0, run.stderr
    return run.stdout.splitlines()


def confirmed(lines: list[str]) -> list[Tap]:
    """Return the taps that were said to be confirmed."""
    words = [line.split() for line in lines if line.startswith("CONFIRMED ")]
    return [Tap(screen, int(n)) for _, screen, n in words]


def killed_while_keeping(folder: Path, threads: int, after_s: float) -> list[Tap]:
    """Kill a keeper some seconds after its first confirmation; return all that it had confirmed."""
    child = subprocess.Popen(
        command(folder, threads, FOR_EVER), env=environment(), stdout=subprocess.PIPE, bufsize=0
    )
    assert child.stdout is not None
    said = child.stdout.read(1)
    try:
        child.wait(after_s)
    except subprocess.TimeoutExpired:
        child.kill()
    said += child.stdout.read()
    child.stdout.close()
    child.wait()  # a line that the kill cut short was not said
    whole, _, _ = said.decode().rpartition("\n")
    return confirmed(whole.splitlines())


def missing(folder: Path, taps: list[Tap]) -> list[Tap]:
    """Open what was kept; return the confirmed taps that are not in it."""
    store = ActStore.open(folder)
    try:
        assert store.notice is None, store.notice
        keys: set[Key | None] = set()
        for stored in store.open_attempts():
            log = store.log(stored.id)
            assert [entry.n for entry in log] == list(range(1, len(log) + 1))
            keys |= {entry.key for entry in log}
    finally:
        store.close()
    return [tap for tap in taps if Key(*tap) not in keys]


def some_moment_s(chance: random.Random) -> float:
    return chance.uniform(0.0, 0.25)
