"""kill -9 of the whole server while tablets tap, and what became of it: python -m benchmarks.server_kills

`tidalbay serve` runs as a process, tablets tap on one station, it is killed at a random moment, started again
on the same folder and told to go on, so many times. Counted are confirmed acts that its disk no longer holds,
and first messages after a start that differ from a replay of the log.
A share of it is a test: `tests/web/test_served.py`.
"""

import argparse
import json
import os
import platform
import random
import statistics
import sys
import tempfile
import time
from pathlib import Path

import httpx2
from tests.web.killed import Served, log_on_disk, lost, moments, replayed_breath, tap_until_killed, told_now

RESULTS = Path(__file__).with_name("results")
KILLS_A_FOLDER = 10  # a case lasts sixteen minutes, and each replay begins at its beginning
PARTS = ("breath", "things", "findings")


def main() -> None:
    words = argparse.ArgumentParser(prog="python -m benchmarks.server_kills", description=__doc__)
    words.add_argument("--times", type=int, default=200, help="how often it is killed (200)")
    words.add_argument("--tablets", type=int, default=3, help="tablets that tap at once (3)")
    words.add_argument("--dry", action="store_true", help="print only; keep no results")
    asked = words.parse_args()
    chance = random.Random()
    kills = confirmed = missing = different = 0
    starts_s: list[float] = []
    while kills < asked.times:
        times = min(KILLS_A_FOLDER, asked.times - kills)
        with tempfile.TemporaryDirectory() as folder:
            taps, losses, differences = killed(Served(Path(folder)), asked.tablets, times, chance, starts_s)
        kills, confirmed = kills + times, confirmed + taps
        missing, different = missing + losses, different + differences
        print(f"\r{kills} of {asked.times} kills, {confirmed} confirmed", end="", file=sys.stderr)
        if missing or different:
            break
    said = {
        "date": time.strftime("%Y-%m-%d"),
        "command": "python -m benchmarks.server_kills",
        "machine": f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}",
        "kills": kills,
        "tablets": asked.tablets,
        "confirmed": confirmed,
        "missing": missing,
        "resumed_with_other_digits": different,
        "start_to_first_page_s": {
            "median": round(statistics.median(starts_s), 2),
            "worst": round(max(starts_s), 2),
        },
    }
    print(f"\n{kills} kills, {confirmed} acts confirmed, {missing} missing, {different} resumed differently.")
    if not asked.dry:
        path = RESULTS / f"server-kills-{said['date']}.json"
        path.write_text(json.dumps(said, indent=1) + "\n", encoding="utf-8")
    sys.exit(bool(missing or different))


def killed(
    served: Served, tablets: int, times: int, chance: random.Random, starts_s: list[float]
) -> tuple[int, int, int]:
    """Kill one server so many times; confirmed acts, lost ones, and first messages that differ."""
    tapped, told = [], []
    for number, after_s in enumerate([*moments(chance, times), 0.0]):
        starts_s.append(served.start("--demo"))
        told.append(told_now(served))
        if number == times:
            break
        headers = {"origin": served.base}
        httpx2.post(f"{served.base}/stations/s1/clock", json={"do": "go"}, headers=headers).raise_for_status()
        tapped.append(tap_until_killed(served, tablets, after_s, 100_000 * number))
    served.stop()
    log = log_on_disk(served, told[-1]["station"]["attempt"])
    different = 0
    for hello in told[1:]:  # the first one was running when it was told
        again = replayed_breath(log, hello["clock"]["t_ms"])
        different += any(again[name] != hello["breath"][name] for name in PARTS)
    return sum(len(each.receipts) for each in tapped), sum(len(lost(each, log)) for each in tapped), different


if __name__ == "__main__":
    main()
