"""What a lab costs: `python benchmarks/stations.py [STATIONS] [SECONDS]`.

Runs stations in real time, each with four listeners whose messages are written as JSON, and prints the
processor's time as a share of one core, and how late breaths are told.
"""

import asyncio
import json
import sys
import tempfile
import time
from pathlib import Path

import tidalbay
from tidalbay.engine import compile_now
from tidalbay.live import ClockSaid, Lab, Who

ROLES = ("learner", "checker", "projector", "instructor")


async def listened(station, role, told):
    async for message in station.follow(role):
        text = json.dumps(message, ensure_ascii=False, allow_nan=False)
        if message["kind"] == "breath" and not message["superseded"]:
            late_ms = message["clock"]["t_ms"] - 1000.0 * message["breath"]["from_s"]
            told.append((late_ms, len(text)))


async def afternoon(folder, n_stations, seconds):
    cases = {name: tidalbay.load_case(name) for name in tidalbay.demonstrations()}
    names = sorted(cases)
    lab = Lab.open(folder, cases, [(f"s{i}", f"Station {i}") for i in range(n_stations)])
    await lab.start()
    told = []
    for i, station in enumerate(lab.stations.values()):
        await station.begin(cases[names[i % len(names)]], "formative", i)
        await station.clock(ClockSaid(do="go"), Who("instructor"))
    listening = [
        asyncio.ensure_future(listened(station, role, told))
        for station in lab.stations.values()
        for role in ROLES
    ]
    await asyncio.sleep(5.0)
    told.clear()
    begun, begun_cpu = time.perf_counter(), time.process_time()
    await asyncio.sleep(seconds)
    cpu_share = (time.process_time() - begun_cpu) / (time.perf_counter() - begun)
    await lab.close()
    for task in listening:
        task.cancel()
    late = sorted(each[0] for each in told)
    breaths = len(told) / len(ROLES)
    print(f"{n_stations} stations, {breaths / seconds:.1f} breaths a second, four listeners each")
    print(f"{100.0 * cpu_share:.1f} % of a core, {1e6 * cpu_share * seconds / breaths:.0f} us a breath")
    half, most = late[len(late) // 2], late[int(0.99 * len(late))]
    print(f"told {half:.0f} ms after its beginning (median), {most:.0f} ms (99 of 100)")
    print(f"{sum(each[1] for each in told) / len(told):.0f} bytes a message")


def main():
    n_stations = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 20.0
    compile_now()
    with tempfile.TemporaryDirectory() as folder:
        asyncio.run(afternoon(Path(folder), n_stations, seconds))


if __name__ == "__main__":
    main()
