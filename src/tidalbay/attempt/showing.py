"""From rows of a run and stretches of equipment to the trace that everybody else reads."""

from collections.abc import Iterable, Mapping, Sequence
from math import inf

import numpy as np
from numpy.typing import NDArray

from tidalbay.engine import BREATH_COLUMNS, SECOND_COLUMNS, Run
from tidalbay.equipment import Equipment
from tidalbay.trace import Trace

Stretches = Sequence[tuple[float, Equipment]]
Column = NDArray[np.generic]
MedicineRow = tuple[float, float, float, float, float]  # second, cup mL, mist, lung mg, relief
MOST_PIECES = 256  # before the rows of a run are laid together
MEDICINE_COLUMNS = ("cup_ml", "mist_frac", "lung_dose_mg", "airway_relief_frac")

# Endings of equipment readings that a trace keeps; names follow the part: wall_flowmeter_flow_lpm.
KEPT_READINGS = ("flow_lpm", "shown_lpm", "gauge_psi", "gauge_bar", "supplied_o2_pct")

ABOUT: Mapping[str, str] = {
    "spo2_shown_pct": (
        "Saturation as the oximeter shows it: delayed, averaged, rounded; empty while the probe is off."
    ),
    "sao2_pct": "Saturation of arterial haemoglobin able to carry oxygen: the truth behind the reading.",
    "fio2_frac": "Oxygen in the gas that entered the windpipe in the last whole breath, by volume.",
    "perfusion_index_pct": "Pulsing share of the light at the probe; below 0.3 there is no reading.",
    "motion_frac": "Share of the time in which the probe moves.",
    "throat_pressure_cmh2o": "Pressure that prongs hold in the throat between breaths.",
    "effort_index_frac": "Pressure-time index of breathing in; above about 0.15 it cannot be borne for long.",
    "fatigue_frac": "Fatigue of the breathing muscles, 0 fresh to 1 spent.",
    "alertness_frac": "Alertness, 1 awake; below 0.8 drowsy, below 0.25 unrousable.",
    "confusion_frac": "Above 0.5 new confusion is found on asking.",
    "cohb_frac": "Share of haemoglobin that carries carbon monoxide.",
    "cup_ml": "Liquid in the nebuliser's cup, its walls included.",
    "mist_frac": "Mist that comes now, as a share of what a well-filled cup gives at 8 L/min.",
    "lung_dose_mg": "Drug that has settled in the lungs so far.",
    "airway_relief_frac": "Of the narrowing that can be undone, what is undone now.",
    "chest_ml": "Volume in the chest above its rest. [mL BTPS]",
    "wearing": "Devices on the face.",
    "supplied_ml": "Of the breath in: gas straight from the supply.",
    "nose_and_throat_ml": "Of the breath in: supplied gas that had waited in nose and throat.",
    "mask_ml": "Of the breath in: supplied gas that had waited in the mask.",
    "bag_ml": "In the reservoir bag; in the table of breaths, of the breath in, gas from the bag.",
    "room_ml": "Of the breath in: room air.",
    "expired_ml": "Of the breath in: own expired gas, breathed again.",
}


def trace_of(
    run: Run, stretches: Stretches, medicine: Sequence[MedicineRow] = (), gauges_every_s: int = 1
) -> Trace:
    """The trace of a run under these stretches of equipment.

    Parameters
    ----------
    run : Run
    stretches : sequence of (start [s], equipment at that start)
    medicine : sequence of MedicineRow
        Seconds in which a nebulised treatment ran or worked.
    gauges_every_s : int
        How often a cylinder's gauge is read while it falls; seldom is quick. Everything else is the same
        either way: the patient breathes from a stretch of equipment as it began. [s]
    """
    rows = np.vstack([np.empty((0, len(SECOND_COLUMNS))), *run.seconds])
    table = {name: rows[:, i] for i, name in enumerate(SECOND_COLUMNS)}
    clock = table["t_s"]
    shown = table["spo2_shown_pct"]
    seconds: dict[str, Column] = {
        "t_s": clock,
        "spo2_shown_pct": np.where(shown < 0.0, np.nan, shown),
        "sao2_pct": 100.0 * table["sao2_frac"],
        **{
            name: table[name] for name in SECOND_COLUMNS if name not in ("t_s", "spo2_shown_pct", "sao2_frac")
        },
        **_medicine_columns(clock, medicine),
        **_equipment_columns(clock, stretches, gauges_every_s),
    }
    size_ml = _bag_sizes(clock, stretches)
    seconds["bag_full_pct"] = np.where(
        size_ml > 0.0, 100.0 * table["bag_ml"] / np.where(size_ml > 0.0, size_ml, 1.0), np.nan
    )
    breath_rows = np.vstack([np.empty((0, len(BREATH_COLUMNS))), *run.breaths])
    breaths = {name: breath_rows[:, i] for i, name in enumerate(BREATH_COLUMNS)}
    return Trace(seconds, breaths, ABOUT)


def recent(run: Run, last_s: float) -> Run:
    """The newest rows of a run, as a run of their own that shares them; costs what the window holds. [s]

    Notes
    -----
    Rows that came in many small pieces are laid together on the way; no row changes.
    """
    since_s = run.time_s - last_s
    return Run(run.state, run.patient, run.seed, _since(run.seconds, since_s), _since(run.breaths, since_s))


def _since(pieces: list[NDArray[np.float64]], since_s: float) -> list[NDArray[np.float64]]:
    """The rows from a moment on; their first column is their clock. [s]"""
    if len(pieces) > MOST_PIECES:
        pieces[:] = [np.vstack(pieces)]
    found: list[NDArray[np.float64]] = []
    for rows in reversed(pieces):
        first = int(np.searchsorted(rows[:, 0], since_s, side="left"))
        found.append(rows[first:])
        if first > 0:
            break
    return found[::-1]


def _medicine_columns(clock: Column, medicine: Sequence[MedicineRow]) -> dict[str, Column]:
    columns: dict[str, Column] = {name: np.zeros(len(clock)) for name in MEDICINE_COLUMNS}
    if len(medicine) and len(clock):
        rows = np.array(medicine)
        # What was so at the end of a second holds until the next row says otherwise.
        last = np.searchsorted(rows[:, 0], clock, side="right") - 1
        for i, column in enumerate(columns.values()):
            column[last >= 0] = rows[last[last >= 0], i + 1]
    return columns


def _pieces(clock: Column, stretches: Stretches) -> Iterable[tuple[slice, float, Equipment]]:
    """Each stretch with the rows that fall into it.

    A row stands for the end of its second, so an act at 60 s shows from the row of 61 s on; the
    row of 60 s was written before it.
    """
    starts = [start for start, _ in stretches]
    edges = [0, *np.searchsorted(clock, starts[1:], side="right"), len(clock)]
    for (start, equipment), first, last in zip(stretches, edges, edges[1:], strict=False):
        if last > first:
            yield slice(int(first), int(last)), start, equipment


def _equipment_columns(clock: Column, stretches: Stretches, gauges_every_s: int) -> dict[str, Column]:
    columns: dict[str, Column] = {}
    wearing = np.full(len(clock), "none", dtype="U120")
    for rows, start, equipment in _pieces(clock, stretches):
        wearing[rows] = " + ".join(sorted(equipment.wearing())) or "none"
        moments = clock[rows]
        is_still = equipment.next_change_s() == inf
        every = len(moments) if is_still else gauges_every_s
        for i in range(0, len(moments), every):
            after_s = max(0.0, float(moments[i]) - start)
            readings = (equipment if is_still else equipment.advance(after_s)).readings()
            place = slice(rows.start + i, min(rows.stop, rows.start + i + every))
            for name, value in readings.items():
                if value is not None and name.endswith(KEPT_READINGS):
                    column = columns.setdefault(_column_name(name), np.full(len(clock), np.nan))
                    column[place] = value
    return {**columns, "wearing": wearing}


def _bag_sizes(clock: Column, stretches: Stretches) -> NDArray[np.float64]:
    sizes = np.zeros(len(clock))
    for rows, _, equipment in _pieces(clock, stretches):
        sizes[rows] = equipment.controls(760.0).bag_volume_ml
    return sizes


def _column_name(reading: str) -> str:
    return reading.replace(".", "_").replace("-", "_")
