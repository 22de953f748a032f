"""How fast the engine is, and how right: python -m benchmarks.speed

Everything that is compared is timed in turns within one run, because computers are shared and slow
down for minutes at a time; ratios are of such turns.  The table goes to the screen and the raw
figures to benchmarks/results/<date>.json; docs/performance.md gets the table.
"""

import argparse
import json
import os
import platform
import statistics
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import version
from pathlib import Path
from typing import Any

import numpy as np
from benchmarks.general_solver import GeneralSolver
from benchmarks.start_up import start_up
from tests.engine.benches import cannula, held, reservoir_mask
from tests.engine.oracle import Oracle

import tidalbay.engine.layout as at
from tidalbay.engine import Patient, Run, compile_now, compiling, first_state, settled, source_digest
from tidalbay.engine.kernel import advance
from tidalbay.science.controls import Controls

RESULTS = Path(__file__).with_name("results")
PAGE = Path(__file__).parent.parent / "docs" / "performance.md"
START, END = "<!-- table: printed by python -m benchmarks.speed -->\n", "<!-- end of table -->\n"
ROUNDS = 7

SCENES: dict[str, tuple[Patient, Controls]] = {
    "healthy, cannula 4 L/min": (held(15, 500, shunt_frac=0.02, vq_log_sd=0.4), cannula(4.0)),
    "shunt, reservoir mask 10 L/min": (held(28, 400, shunt_frac=0.2, vq_log_sd=1.2), reservoir_mask(10.0)),
}
# Tanks that stand for the windpipe, and the share of each unknown that does not matter.
SOLVERS = ((4, 1e-3), (8, 1e-3), (8, 1e-5), (16, 1e-3), (16, 1e-5))


def main() -> None:
    words = argparse.ArgumentParser(prog="python -m benchmarks.speed", description=__doc__)
    words.add_argument(
        "--dry", action="store_true", help="print only; keep no results and leave the page as it is"
    )
    asked = words.parse_args()
    found: dict[str, Any] = {"about": about()}
    compile_now()
    found["scenes"] = {name: against_general_solver(*scene) for name, scene in SCENES.items()}
    found["plain"] = against_plain()
    found["threads"] = two_threads()
    found["minutes"] = against_minutes()
    found["start_up"] = start_up()._asdict()
    found["about"]["load_after"] = load()
    print("\n".join(table(found)))
    if not asked.dry:
        RESULTS.mkdir(exist_ok=True)
        path = RESULTS / f"{found['about']['date']}.json"
        path.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
        renew_page(table(found))
        print(f"\nRaw figures: benchmarks/results/{path.name}; table: docs/{PAGE.name}", file=sys.stderr)


def renew_page(lines: list[str]) -> None:
    """Put the table where the page keeps it."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    after = rest.split(END)[1]
    PAGE.write_text(before + START + "\n" + "\n".join(lines) + "\n\n" + END + after, encoding="utf-8")


def about() -> dict[str, Any]:
    """When, where and by what: no names of makers or machines."""
    return {
        "date": time.strftime("%Y-%m-%d"),
        "command": "python -m benchmarks.speed",
        "machine": f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}",
        "python": platform.python_version(),
        "engine": source_digest()[:16],
        **{name: version(name) for name in ("numpy", "numba", "scipy")},
        "load_before": load(),
    }


def load() -> float | None:
    """Processes that waited for a core in the last minute, where the system says."""
    return round(os.getloadavg()[0], 2) if hasattr(os, "getloadavg") else None


def cpu_s(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def wall_s(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


# --- against a general solver -----------------------------------------------------------------


def at_rest(patient: Patient, controls: Controls, hours: float = 4.0) -> Run:
    """A run that has come to rest and stands between two breaths."""
    run = settled(patient, controls, 1)
    breath_s = 60.0 / patient.held_rate_per_min
    run.advance_to(round(3600.0 * hours / breath_s) * breath_s - 0.001, controls)
    return run


def against_general_solver(patient: Patient, controls: Controls) -> dict[str, Any]:
    """Cost of a patient-second by the engine and by LSODA in turns, and how far each is from the oracle."""
    run = at_rest(patient, controls)
    state = run.state.copy()
    truth = Oracle(state, patient, controls, step_s=0.002, haste=16.0).breathe(10.0)[-1]
    ours = [state[place] for place in (at.PAO2, at.PACO2, at.SAO2, at.LAST_FIO2)]
    solvers = [GeneralSolver(state, patient, controls, tanks, rtol) for tanks, rtol in SOLVERS]
    engine_us, solver_us = [], [[] for _ in SOLVERS]  # type: tuple[list[float], list[list[float]]]
    breaths = 12
    for _ in range(ROUNDS):
        until_s = run.time_s + 3600.0
        engine_us.append(cpu_s(lambda: run.advance_to(until_s, controls)) / 3600.0 * 1e6)  # noqa: B023
        for solver, us in zip(solvers, solver_us, strict=True):
            us.append(solver.breathe(breaths).cpu_s / (breaths * solver.breath_s) * 1e6)
    rows = []
    for (tanks, rtol), solver, us in zip(SOLVERS, solvers, solver_us, strict=True):
        cost = solver.breathe(breaths)
        at_end = GeneralSolver(state, patient, controls, tanks, rtol, haste=16.0)
        at_end_of = at_end.breathe(round(10.0 * patient.held_rate_per_min)).last
        calls = cost.calls / (breaths * solver.breath_s)
        rows.append(
            {
                "tanks": tanks,
                "rtol": rtol,
                "us_per_patient_s": us,
                "times_slower": [theirs / ours for theirs, ours in zip(us, engine_us, strict=True)],
                "calls_per_patient_s": calls,
                "us_per_patient_s_if_calls_were_all": calls * 1e6 * solver.cost_of_a_call_s(),
                "off": list(np.subtract(at_end_of[1:], truth[1:])),
            }
        )
    return {
        "truth": truth._asdict(),
        "breaths_per_min": patient.held_rate_per_min,
        "engine": {"us_per_patient_s": engine_us, "off": list(np.subtract(ours, truth[1:]))},
        "lsoda": rows,
    }


# --- the engine against itself -----------------------------------------------------------------


def against_plain() -> dict[str, Any]:
    """The same breaths by the plain kernel and by its compiled copy, in turns."""
    patient, controls = SCENES["healthy, cannula 4 L/min"]
    start = at_rest(patient, controls, 0.1)
    plain, fast = [], []
    for _ in range(ROUNDS):
        fast.append(cpu_s(lambda: start.copy().advance_to(start.time_s + 3600.0, controls)) / 3600.0)
        usual, compiling.current = compiling.current, lambda: advance  # type: ignore[assignment]
        plain.append(cpu_s(lambda: start.copy().advance_to(start.time_s + 60.0, controls)) / 60.0)
        compiling.current = usual
    return {
        "plain_us_per_patient_s": [1e6 * s for s in plain],
        "compiled_us_per_patient_s": [1e6 * s for s in fast],
    }


def two_threads(n_patients: int = 200, minutes: float = 5.0) -> dict[str, Any]:
    """Many patients on one thread and on two, in turns; the digits must be the same."""
    worn = cannula(4.0)
    patients = [Patient(shunt_frac=0.001 * i, vq_log_sd=0.3 + 0.005 * i) for i in range(n_patients)]
    states = [first_state(patient, worn) for patient in patients]

    def live(i: int) -> bytes:
        run = Run(states[i].copy(), patients[i], i)
        run.advance_to(60.0 * minutes, worn)
        return run.state.tobytes()

    one, two, same = [], [], True
    with ThreadPoolExecutor(1) as single, ThreadPoolExecutor(2) as pair:
        for _ in range(3 * ROUNDS):  # short ones: on a shared computer some of them find it quiet
            alone: list[bytes] = []
            together: list[bytes] = []
            one.append(wall_s(lambda: alone.extend(single.map(live, range(n_patients)))))  # noqa: B023
            two.append(wall_s(lambda: together.extend(pair.map(live, range(n_patients)))))  # noqa: B023
            same = same and alone == together
    return {"patients": n_patients, "minutes": minutes, "one_s": one, "two_s": two, "same_digits": same}


def against_minutes() -> dict[str, Any]:
    """One patient with drives of their own over ever longer times, rows kept."""
    worn = cannula(4.0)
    start = settled(Patient(), worn, 1)
    rows = []
    for minutes in (15, 30, 60, 120, 240):
        taken, run = [], start.copy()
        for _ in range(3):
            run = start.copy()
            taken.append(cpu_s(lambda: run.advance_to(60.0 * minutes, worn)))  # noqa: B023
        kept = sum(rows.nbytes for rows in (*run.seconds, *run.breaths))
        rows.append({"minutes": minutes, "cpu_s": taken, "kept_bytes": kept})
    return {"rows": rows}


# --- the table ---------------------------------------------------------------------------------


def middle(values: list[float]) -> str:
    """Median, and in brackets the least and the most."""
    return f"{figure(statistics.median(values))} ({figure(min(values))}–{figure(max(values))})"


def figure(value: float) -> str:
    """Three digits that count."""
    return f"{float(f'{value:.3g}'):,.10g}"


def table(found: dict[str, Any]) -> list[str]:
    """The figures as the documentation shows them."""
    where = found["about"]
    lines = [
        f"{where['date']}, {where['machine']}, Python {where['python']}, numba {where['numba']}, "
        f"SciPy {where['scipy']}, engine {where['engine']}; load {where['load_before']} before, "
        f"{where['load_after']} after; "
        f"`{where['command']}`. Medians of {ROUNDS} turns, least and most in brackets.",
        "",
        *scene_lines(found["scenes"]),
        "",
        *other_lines(found),
    ]
    return lines


def scene_lines(scenes: dict[str, Any]) -> list[str]:
    lines = [
        "| one patient, one core | times slower than the engine | µs per patient-second "
        "| off in PaO2, mmHg | PaCO2, mmHg | SaO2, % | inspired oxygen |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for name, scene in scenes.items():
        truth, ours = scene["truth"], scene["engine"]
        lines.append(
            f"| **{name}, {scene['breaths_per_min']:.0f} breaths/min: oracle** | | | "
            f"{truth['pao2_mmhg']:.2f} | {truth['paco2_mmhg']:.3f} | {100 * truth['sao2_frac']:.3f} "
            f"| {truth['fio2_frac']:.5f} |"
        )
        lines.append(f"| the engine | 1 | {middle(ours['us_per_patient_s'])} | {off_cells(ours['off'])} |")
        for row in scene["lsoda"]:
            lines.append(
                f"| LSODA, rtol {row['rtol']:g}, {row['tanks']} tanks | {middle(row['times_slower'])} "
                f"| {middle(row['us_per_patient_s'])} | {off_cells(row['off'])} |"
            )
    return lines


def off_cells(off: list[float]) -> str:
    return f"{off[0]:+.3f} | {off[1]:+.3f} | {100 * off[2]:+.4f} | {off[3]:+.5f}"


def other_lines(found: dict[str, Any]) -> list[str]:
    plain, threads, start = found["plain"], found["threads"], found["start_up"]
    ratio = [
        slow / fast
        for slow, fast in zip(
            plain["plain_us_per_patient_s"], plain["compiled_us_per_patient_s"], strict=True
        )
    ]
    gain = [one / two for one, two in zip(threads["one_s"], threads["two_s"], strict=True)]
    scenes = found["scenes"].values()
    real_time = [[1e6 / us for us in scene["engine"]["us_per_patient_s"]] for scene in scenes]
    hours = found["minutes"]["rows"][-1]
    per_minute = [min(row["cpu_s"]) / row["minutes"] * 1e3 for row in found["minutes"]["rows"]]
    lived_s = 60.0 * threads["patients"] * threads["minutes"]
    return [
        "| what | figure |",
        "| --- | --- |",
        f"| compiled against plain | {middle(ratio)} times faster |",
        f"| two threads against one, {threads['patients']} patients | {middle(gain)} times faster, "
        f"digits {'the same' if threads['same_digits'] else 'DIFFERENT'} |",
        f"| patient-seconds per CPU-second, one core | {' and '.join(map(middle, real_time))} |",
        f"| patient-seconds per second, two threads | {middle([lived_s / s for s in threads['two_s']])} |",
        f"| four hours of one patient | {1e3 * min(hours['cpu_s']):.0f} ms, "
        f"{hours['kept_bytes'] / 1e6:.1f} MB kept |",
        f"| ms per patient-minute, 15 minutes to 4 hours | {', '.join(f'{ms:.3f}' for ms in per_minute)} |",
        f"| process start to first breath, plain | {start['plain_s']:.2f} s, at rest first "
        f"{start['plain_settled_s']:.2f} s |",
        f"| the same, compiled, kept from an earlier run | {start['cached_s']:.2f} s, at rest first "
        f"{start['cached_settled_s']:.2f} s |",
        f"| the same, compiled, nothing kept | {start['cold_s']:.1f} s |",
    ]


if __name__ == "__main__":
    main()
