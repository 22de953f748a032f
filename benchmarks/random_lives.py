"""Ten thousand simulated hours of random lives, on every core: hours, laws broken, time.

    PYTHONPATH=src python -m benchmarks.random_lives [--hours 10000] [--each 2] [--first 0] [--threads 2]

The compiled kernel lets go of the interpreter, so that threads live beside each other.
"""

import argparse
import os
import time
from concurrent.futures import ThreadPoolExecutor

from tests.engine.random_lives import live

from tidalbay.engine import compile_now, is_compiled


def main() -> int:
    """Live the lives, print what they broke, and end with 1 where they broke anything."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    asked.add_argument("--hours", type=float, default=10_000.0)
    asked.add_argument("--each", type=float, default=2.0, help="hours of one life")
    asked.add_argument("--first", type=int, default=0, help="seed of the first life")
    asked.add_argument("--threads", type=int, default=os.cpu_count() or 1)
    said = asked.parse_args()
    compile_now()
    started_s = time.perf_counter()
    number = -int(-said.hours // said.each)
    hours, stretches, seconds, breaths, unsettled, broken = 0.0, 0, 0, 0, 0, 0
    with ThreadPoolExecutor(said.threads) as pool:
        lives = pool.map(lambda i: live(said.first + i, said.each), range(number))
        for i, lived in enumerate(lives, start=1):
            hours += lived.hours
            stretches += lived.stretches
            seconds += lived.seconds
            breaths += lived.breaths
            unsettled += lived.unsettled
            for sentence in lived.violations:
                print(sentence, flush=True)
            broken += bool(lived.violations)
            if i % 500 == 0:
                taken_s = time.perf_counter() - started_s
                print(f"{i} lives, {hours:.0f} h, {taken_s:.0f} s", flush=True)
    taken_s = time.perf_counter() - started_s
    how = "compiled" if is_compiled() else "not compiled"
    print(f"{number} lives, {hours:.1f} simulated hours, {stretches} stretches between acts,")
    print(f"{seconds} rows of seconds, {breaths} of breaths;")
    print(f"{unsettled} patients could not hold their habit at rest and lived from a first guess;")
    print(f"{broken} lives broke a law; {taken_s:.0f} s on {said.threads} threads, {how}.")
    return 1 if broken else 0


if __name__ == "__main__":
    raise SystemExit(main())
