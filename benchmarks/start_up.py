"""How long a cold process takes to its first simulated breath: plain, compiling, and from the cache."""

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

# Rest is found under the set-up first, as a case does it: ten minutes of breathing before minute 0.
CHILD = """
import sys
from tidalbay.engine import Patient, Run, compile_now, first_state, settled
from tidalbay.science.controls import Controls
if sys.argv[1] == "compiled":
    compile_now()
if sys.argv[2] == "breath":
    run = Run(first_state(Patient(), Controls()), Patient(), 1)
else:
    run = settled(Patient(), Controls(), 1)
while not any(len(rows) for rows in run.breaths):
    run.advance_to(run.time_s + 1.0, Controls())
print("breath", flush=True)
sys.stdin.read()
"""


class Start(NamedTuple):
    """Seconds from the start of a process to its first breath."""

    plain_s: float  # nothing compiled: what is on screen while the compiler works
    plain_settled_s: float
    cold_s: float  # compiled first, cache empty
    cached_s: float  # compiled first, from the cache
    cached_settled_s: float


def start_up(rounds: int = 3) -> Start:
    """The shortest of some rounds, each with a cache folder of its own."""
    return Start(*map(min, zip(*(one_round() for _ in range(rounds)), strict=True)))


def one_round() -> tuple[float, ...]:
    with tempfile.TemporaryDirectory() as folder:
        cold_s = to_first_breath("compiled", "breath", folder)
        return (
            to_first_breath("plain", "breath", folder),
            to_first_breath("plain", "settled", folder),
            cold_s,
            to_first_breath("compiled", "breath", folder),
            to_first_breath("compiled", "settled", folder),
        )


def to_first_breath(kernel: str, what: str, cache: str) -> float:
    """Seconds until a new process has breathed once."""
    checkout = Path(__file__).parent.parent
    paths = [str(checkout / "src"), os.environ.get("PYTHONPATH", "")]
    environment = {**os.environ, "TIDALBAY_CACHE": cache, "PYTHONPATH": os.pathsep.join(filter(None, paths))}
    start = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", CHILD, kernel, what],
        env=environment,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as child:
        assert child.stdin is not None
        assert child.stdout is not None
        word = child.stdout.readline()
        taken_s = time.perf_counter() - start
        child.stdin.close()
    if word.strip() != "breath" or child.returncode:
        raise RuntimeError(f"The process that should have breathed once ended with code {child.returncode}.")
    return taken_s
