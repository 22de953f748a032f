"""The capnogram: carbon dioxide at nose or mouth through one breath, as a pen would draw it."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from tidalbay.bedside.moment import NOBODY, Numbers, last_breath, patient_number, second_at, still_s
from tidalbay.bedside.sampling import SamplingLine, sampled_mmhg
from tidalbay.science.arithmetic import exp
from tidalbay.science.chance import EXPIRED_GAS_STREAM, normal
from tidalbay.science.ventilation import expired_share_left
from tidalbay.trace import Trace
from tidalbay.units import BODY_WATER_MMHG, STANDARD_MMHG

POINTS: Final = 61
FLAT_AFTER_S: Final = 20.0  # without a breath the line is flat (from memory: the usual bound of apnoea)
SENSOR_LAG_S: Final = 0.08  # assumed
GAIN_SPREAD_FRAC: Final = 0.01  # assumed
DEAD_SPACE_ML: Final = 150.0  # of a patient whose own is not said; textbooks (from memory)
EMPTYING_S: Final = 0.35  # likewise

# A wave lower than the first is not taken for a breath; a base from the second on stands out; a plateau that
# ends below that share of its peak sags; a peak below the last looks small (ours, for words and dashes).
LEAST_WAVE_MMHG: Final = 4.0
RAISED_BASE_MMHG: Final = 3.0
SAGS_BELOW_FRAC: Final = 0.85
SMALL_WAVE_MMHG: Final = 20.0

# Dead space and alveolar gas change places over this share of the dead space either side of it (assumed).
FRONT_FRAC: Final = 0.4
# The plateau of a healthy chest rises a little; narrow airways empty unevenly and it rises steeply, the
# more the worse (Krauss B et al. Anesth Analg 2005;100:884-888; You B et al. Eur Respir J 1994;7:318-323).
# Sizes assumed.
HEALTHY_RISE_FRAC: Final = 0.06
RISE_PER_S: Final = 0.45
STEEPEST_RISE_FRAC: Final = 0.55


@dataclass(frozen=True, slots=True)
class Capnogram:
    """One breath's line, from the start of breathing in.

    Attributes
    ----------
    start_s : float
        When the breath began. [s]
    time_s : tuple of float
        Since then; one breath long. [s]
    co2_mmhg : tuple of float
        Beside each time. [mmHg]
    end_tidal_mmhg : float or None
        As displayed, whole; None on a flat line. [mmHg]
    at_s : float
        When it was looked at. [s]
    words : str
        What the line looks like.
    """

    start_s: float
    time_s: tuple[float, ...]
    co2_mmhg: tuple[float, ...]
    end_tidal_mmhg: float | None
    at_s: float
    words: str

    def as_plain(self) -> dict[str, object]:
        """Names and plain values; the line as pairs."""
        return {
            "end_tidal_co2_shown_mmhg": self.end_tidal_mmhg,
            "capnogram_start_s": self.start_s,
            "capnogram": [list(pair) for pair in zip(self.time_s, self.co2_mmhg, strict=True)],
            "capnogram_words": self.words,
        }


def capnogram(
    trace: Trace,
    at_s: float,
    seed: int,
    patient: Numbers = NOBODY,
    barometric_mmhg: float = STANDARD_MMHG,
    line: SamplingLine | None = None,
) -> Capnogram:
    """The line of the last breath that had ended by a moment.

    Parameters
    ----------
    trace : Trace
        With the breaths.
    at_s : float
        [s]
    seed : int
        Key of the attempt's chance.
    patient : mapping
        `anatomical_dead_space_ml` and `expiratory_time_constant_s` by field name.
    barometric_mmhg : float
        [mmHg]
    line : SamplingLine or None
        Where it samples, and what thins the gas there. Without it, all that nose and mouth give off, with
        nothing mixed in but what was breathed again.

    Notes
    -----
    The shape follows volume: dead space first, then alveolar gas on a plateau that ends at the
    breath's end-tidal value; gas breathed in again lifts the base. With a line it is what comes to its
    opening (`sampled_mmhg`), and the number beside it is the highest of that.
    """
    at_s = second_at(trace, at_s)
    breath = last_breath(trace, at_s)
    if breath is None or still_s(trace, at_s) >= FLAT_AFTER_S:
        return _flat(trace, at_s, breath)
    row = {name: float(column[breath]) for name, column in trace.breaths.items()}
    if line is not None and row["start_s"] < line.since_s:
        return _flat(trace, at_s, None)
    gain = 1.0 + GAIN_SPREAD_FRAC * max(
        -2.5, min(2.5, normal(seed, EXPIRED_GAS_STREAM, int(row["start_s"]), 0))
    )
    emptying_s = patient_number(patient, "expiratory_time_constant_s", EMPTYING_S)
    dead_ml = patient_number(patient, "anatomical_dead_space_ml", DEAD_SPACE_ML)
    rise = min(STEEPEST_RISE_FRAC, HEALTHY_RISE_FRAC + RISE_PER_S * max(0.0, emptying_s - EMPTYING_S))
    time_s: list[float] = np.linspace(0.0, row["duration_s"], POINTS).tolist()
    if line is None:
        dry_mmhg = barometric_mmhg - BODY_WATER_MMHG
        base = gain * dry_mmhg * row["inspired_co2_ml"] / max(1.0, row["inspired_ml"])
        top = max(base, gain * row["end_tidal_co2_mmhg"])
        co2 = [_co2_mmhg(t, row, base, top, rise, dead_ml, emptying_s) for t in time_s]
    else:
        co2 = _sampled(line, time_s, row, gain * row["end_tidal_co2_mmhg"], rise, dead_ml, emptying_s)
        base, top = min(co2), max(co2)
    return Capnogram(
        start_s=row["start_s"],
        time_s=tuple(round(t, 3) for t in time_s),
        co2_mmhg=tuple(round(value, 2) for value in co2),
        end_tidal_mmhg=float(round(top)) if line is None or top - base >= LEAST_WAVE_MMHG else None,
        at_s=at_s,
        words=_words(base, rise) if line is None else _sampled_words(co2, rise, line.site),
    )


def _sampled(
    line: SamplingLine,
    time_s: Sequence[float],
    row: dict[str, float],
    top_mmhg: float,
    rise_frac: float,
    dead_ml: float,
    emptying_s: float,
) -> list[float]:
    """What the sensor finds of the gas at the line's opening."""
    step_s = time_s[1]
    expired = [
        0.0 if t < row["inspiratory_s"] else _co2_mmhg(t, row, 0.0, top_mmhg, rise_frac, dead_ml, emptying_s)
        for t in time_s
    ]
    volume = [_volume_ml(t, row, emptying_s) for t in time_s]
    moved = [(after - now) / step_s for now, after in pairwise((*volume, 0.0))]
    found = sampled_mmhg(line, expired, moved, step_s)
    keeps = exp(-step_s / SENSOR_LAG_S)
    sensed = found[-1]  # as the breath before left it
    co2 = []
    for value in found:
        co2.append(sensed)
        sensed = value + (sensed - value) * keeps
    return co2


def _volume_ml(t_s: float, row: dict[str, float], emptying_s: float) -> float:
    """What of the breath is in the chest; it fills at an even pace. [mL]"""
    inspiratory_s, expiratory_s = row["inspiratory_s"], row["duration_s"] - row["inspiratory_s"]
    if t_s < inspiratory_s:
        return row["tidal_ml"] * t_s / inspiratory_s
    left = expired_share_left(t_s - inspiratory_s, expiratory_s, min(emptying_s, expiratory_s / 5.0))
    return row["tidal_ml"] * left


def _co2_mmhg(
    t_s: float,
    row: dict[str, float],
    base_mmhg: float,
    top_mmhg: float,
    rise_frac: float,
    dead_ml: float,
    emptying_s: float,
) -> float:
    """The line at a time since the breath began."""
    inspiratory_s, expiratory_s = row["inspiratory_s"], row["duration_s"] - row["inspiratory_s"]
    if t_s < inspiratory_s:
        return base_mmhg + (top_mmhg - base_mmhg) * exp(-t_s / SENSOR_LAG_S)
    left = expired_share_left(t_s - inspiratory_s, expiratory_s, min(emptying_s, expiratory_s / 5.0))
    out_ml = row["tidal_ml"] * (1.0 - left)
    reached = _front(row["tidal_ml"], dead_ml)  # a breath smaller than the dead space ends on its way up
    front = _front(out_ml, dead_ml) / reached if reached > 0.0 else 1.0 - left
    alveolar_ml = row["tidal_ml"] - dead_ml
    to_come = 1.0 - max(0.0, out_ml - dead_ml) / alveolar_ml if alveolar_ml > 0.0 else 0.0
    return base_mmhg + (top_mmhg - base_mmhg) * (1.0 - rise_frac * to_come) * front


def _front(out_ml: float, dead_ml: float) -> float:
    """Share of alveolar gas in what passes the sensor once this much has come out."""
    first = dead_ml * (1.0 - FRONT_FRAC)
    x = min(1.0, max(0.0, (out_ml - first) / max(1.0, 2.0 * FRONT_FRAC * dead_ml)))
    return x * x * (3.0 - 2.0 * x)


def _words(base_mmhg: float, rise_frac: float) -> str:
    shape = "a flat top" if rise_frac < 0.15 else "a slanting top, as air leaves narrow airways unevenly"
    return f"{shape}; the line does not come back to zero" if base_mmhg >= RAISED_BASE_MMHG else shape


def _sampled_words(co2_mmhg: Sequence[float], rise_frac: float, site: str) -> str:
    """What anybody sees of a sampled line, from the line alone but for the slant of a whole one."""
    base, top = min(co2_mmhg), max(co2_mmhg)
    if top - base < LEAST_WAVE_MMHG:
        return "almost a flat line: hardly any breath reaches the sampling line"
    shape = "a small wave" if top < SMALL_WAVE_MMHG else "a wave"
    if co2_mmhg[-1] < SAGS_BELOW_FRAC * top:
        shape += " that sags before its end"
    elif top >= SMALL_WAVE_MMHG and site != "mask":  # a mask's own gas has no plateau
        shape = _words(0.0, rise_frac)
    return f"{shape}; the line does not come back to zero" if base >= RAISED_BASE_MMHG else shape


def _flat(trace: Trace, at_s: float, breath: int | None) -> Capnogram:
    if breath is None:
        return Capnogram(at_s, (0.0, 1.0), (0.0, 0.0), None, at_s, "a flat line: no whole breath yet")
    seconds = still_s(trace, at_s)
    words = f"a flat line: no breath for {seconds:.0f} s"
    return Capnogram(at_s - seconds, (0.0, seconds), (0.0, 0.0), None, at_s, words)
