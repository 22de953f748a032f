"""The pulse oximeter's display: a number, a pulse, and how far to trust them."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tidalbay.bedside.moment import mean_over, number_at, row_at, second_at
from tidalbay.science.chance import OXIMETER_STREAM, normal
from tidalbay.trace import Trace

GOOD, SETTLING, POOR, OFF = "good trace", "settling", "poor signal", "probe off"
SIGNALS: Final = (GOOD, SETTLING, POOR, OFF)

SETTLING_S: Final = (
    15.0  # a probe is left 15 to 60 s before its number is believed; common practice, no source
)
# Accuracy is stated for a pulse that changes the light by 0.3 % or more (oximeter and monitor manuals).
LEAST_PERFUSION_PCT: Final = 0.3
MOST_MOTION_FRAC: Final = 0.5  # assumed
PULSE_MEAN_S: Final = 8.0  # assumed, as the saturation's averaging
PULSE_SPREAD_PER_MIN: Final = 0.8  # monitors state 3 beats a minute at most (from memory); assumed
_SUBSTEP_PULSE: Final = 1  # the saturation's own noise is substep 0 of this stream


@dataclass(frozen=True, slots=True)
class OximeterReading:
    """What the display says.

    Attributes
    ----------
    spo2_pct : float or None
        Whole per cent; None shows dashes.
    pulse_per_min : float or None
        [1/min]
    signal : str
        One of `SIGNALS`; never "regular", which an oximeter cannot say.
    last_pct, last_s : float or None
        The last number that was shown and when; the same as now while one is. [%, s]
    at_s : float
        [s]
    """

    spo2_pct: float | None
    pulse_per_min: float | None
    signal: str
    last_pct: float | None
    last_s: float | None
    at_s: float

    @property
    def age_s(self) -> float | None:
        """How old the last number is; 0 while one is shown, None if there never was one. [s]"""
        return None if self.last_s is None else self.at_s - self.last_s

    @property
    def words(self) -> str:
        """One line for the screen."""
        if self.spo2_pct is None:
            if self.last_pct is None:
                return f"{self.signal}, nothing shown yet"
            return f"{self.signal}, last {self.last_pct:.0f} % {self.age_s:.0f} s ago"
        line = f"{self.spo2_pct:.0f} %"
        if self.pulse_per_min is not None:
            line += f", pulse {self.pulse_per_min:.0f} by oximeter"
        return line if self.signal == GOOD else f"{line}, {self.signal}"

    def as_plain(self) -> dict[str, object]:
        """Names and plain values."""
        return {
            "spo2_shown_pct": self.spo2_pct,
            "pulse_shown_per_min": self.pulse_per_min,
            "oximeter_signal": self.signal,
            "oximeter_last_pct": self.last_pct,
            "oximeter_age_s": self.age_s,
            "oximeter_words": self.words,
        }


def oximeter(trace: Trace, at_s: float, seed: int) -> OximeterReading:
    """The display at a moment.

    Parameters
    ----------
    trace : Trace
        With `spo2_shown_pct`. Taken where present: `perfusion_index_pct` and `motion_frac` of the
        probe, `oximeter_pulse_per_min` where the display's pulse is not the heart's.
    at_s : float
        [s]
    seed : int
        Key of the attempt's chance.
    """
    at_s = second_at(trace, at_s)
    row = row_at(trace, at_s)
    known = np.flatnonzero(~np.isnan(trace.seconds["spo2_shown_pct"][: row + 1]))
    last = int(known[-1]) if len(known) else None
    last_pct = None if last is None else float(trace.seconds["spo2_shown_pct"][last])
    last_s = None if last is None else float(trace.seconds["t_s"][last])
    if last != row:
        # Dashes on a cold finger are a weak signal, not a probe that is off.
        why = POOR if _signal(trace, row, at_s) == POOR else OFF
        return OximeterReading(None, None, why, last_pct, last_s, at_s)
    pulse = _pulse_per_min(trace, at_s, seed)
    return OximeterReading(last_pct, pulse, _signal(trace, row, at_s), last_pct, last_s, at_s)


def _signal(trace: Trace, row: int, at_s: float) -> str:
    perfusion = number_at(trace, "perfusion_index_pct", at_s)
    motion = number_at(trace, "motion_frac", at_s)
    if perfusion is not None and perfusion < LEAST_PERFUSION_PCT:
        return POOR
    if motion is not None and motion > MOST_MOTION_FRAC:
        return POOR
    clock = trace.seconds["t_s"]
    first = int(np.searchsorted(clock, at_s - SETTLING_S, side="right"))
    was_off = np.isnan(trace.seconds["spo2_shown_pct"][first : row + 1]).any()
    return SETTLING if was_off else GOOD


def _pulse_per_min(trace: Trace, at_s: float, seed: int) -> float | None:
    shown = number_at(trace, "oximeter_pulse_per_min", at_s)
    if shown is None:
        shown = mean_over(trace, "heart_rate_per_min", at_s, PULSE_MEAN_S)
        if shown is None:
            return None
        shown += PULSE_SPREAD_PER_MIN * normal(seed, OXIMETER_STREAM, int(at_s), _SUBSTEP_PULSE)
    return float(round(max(0.0, shown)))
