"""kill -9 at random moments under load, and what became of confirmed acts: python -m benchmarks.kills

A small server keeps acts from several threads in a folder, is killed, is looked into, and starts
again in the same folder, so many times.  One line says how many acts were confirmed and how many of
them are missing; with one missing the command fails.  A share of it is a test:
`tests/records/test_killed.py`.
"""

import argparse
import json
import os
import platform
import random
import sys
import tempfile
import time
from pathlib import Path

from tests.records.keeping import Tap, killed_while_keeping, missing, some_moment_s

RESULTS = Path(__file__).with_name("results")
KILLS_A_FOLDER = 20  # so that looking through what is kept stays quick


def main() -> None:
    words = argparse.ArgumentParser(prog="python -m benchmarks.kills", description=__doc__)
    words.add_argument("--times", type=int, default=200, help="how often it is killed (200)")
    words.add_argument("--threads", type=int, default=6, help="threads that append at once (6)")
    words.add_argument("--dry", action="store_true", help="print only; keep no results")
    asked = words.parse_args()
    chance = random.Random()
    confirmed = lost = kills = 0
    while kills < asked.times and not lost:
        with tempfile.TemporaryDirectory() as folder:
            taps: list[Tap] = []
            for _ in range(min(KILLS_A_FOLDER, asked.times - kills)):
                before = len(taps)
                taps += killed_while_keeping(Path(folder), asked.threads, some_moment_s(chance))
                kills, confirmed = kills + 1, confirmed + len(taps) - before
                lost = len(missing(Path(folder), taps))
                print(f"\r{kills} of {asked.times} kills, {confirmed} confirmed", end="", file=sys.stderr)
                if lost:
                    break
    said = {
        "date": time.strftime("%Y-%m-%d"),
        "command": "python -m benchmarks.kills",
        "machine": f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}",
        "kills": kills,
        "threads": asked.threads,
        "confirmed": confirmed,
        "missing": lost,
    }
    print(f"\n{kills} kills, {confirmed} acts confirmed, {lost} of them missing.")
    if not asked.dry:
        RESULTS.mkdir(exist_ok=True)
        path = RESULTS / f"kills-{said['date']}.json"
        path.write_text(json.dumps(said, indent=1) + "\n", encoding="utf-8")
    sys.exit(bool(lost))


if __name__ == "__main__":
    main()
