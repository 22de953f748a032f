"""Rates that somebody counts with a watch: breaths seen, beats felt."""

from dataclasses import dataclass
from typing import Final

import numpy as np

from tidalbay.bedside.luck import BREATHS_SLIP, BREATHS_WATCH, PULSE_SLIP, PULSE_WATCH, slip, spread
from tidalbay.bedside.moment import NothingToReadError, breaths_begun, second_at
from tidalbay.trace import Trace
from tidalbay.units import SECONDS_PER_MINUTE

SHORTEST_S: Final = 10.0
LONGEST_S: Final = 300.0
WATCH_S: Final = 0.15  # how far beginning and end of the count miss the watch (assumed)
# Each breath is missed, or counted twice, this often. With the watch, a count of regular breathing is
# within 2 a minute 19 times in 20; two nurses counting at once differed by up to 4.4 a minute in 95 of 100
# patients, not all of whom breathed regularly (Lim WS et al. Respir Med 2002;96:31-33).
BREATH_SLIP_FRAC: Final = 0.001
# Fast pulses are counted worse than slow ones (Hollerbach AD, Sneed NV. Heart Lung 1990;19:258-264); sizes
# assumed.
BEAT_SLIP_FRAC: Final = 0.0008
FAST_PULSE_PER_MIN: Final = 100.0
FAST_BEAT_SLIP_FRAC: Final = 0.0024


@dataclass(frozen=True, slots=True)
class CountedRate:
    """Breaths counted by eye.

    Attributes
    ----------
    rate_per_min : float
        The count brought to a minute. [1/min]
    counted : int
        Breaths in the time.
    seconds : float
        For how long. [s]
    at_s : float
        When the count ended. [s]
    """

    rate_per_min: float
    counted: int
    seconds: float
    at_s: float

    def as_plain(self, now_s: float) -> dict[str, object]:
        """Names and plain values, with how old it is."""
        return {
            "counted_rate_per_min": self.rate_per_min,
            "counted_rate_seconds": self.seconds,
            "counted_rate_age_s": now_s - self.at_s,
        }


@dataclass(frozen=True, slots=True)
class FeltPulse:
    """Beats counted at the wrist; attributes as of `CountedRate`."""

    pulse_per_min: float
    counted: int
    seconds: float
    at_s: float

    def as_plain(self, now_s: float) -> dict[str, object]:
        """Names and plain values, with how old it is."""
        return {
            "felt_pulse_per_min": self.pulse_per_min,
            "felt_pulse_seconds": self.seconds,
            "felt_pulse_age_s": now_s - self.at_s,
        }


def counted_rate(trace: Trace, at_s: float, seed: int, seconds: float = 30.0, who: int = 0) -> CountedRate:
    """Breaths counted by eye for some seconds up to a moment.

    Parameters
    ----------
    trace : Trace
        With `chest_ml` a second, and the breaths.
    at_s : float
        When the count ends. [s]
    seed : int
        Key of the attempt's chance.
    seconds : float
        30 or 60 as a rule; 10 to 300. [s]
    who : int
        0 for one person, 1 for another who counts beside them.

    Raises
    ------
    NothingToReadError
        Where the recording does not reach back so far.
    ValueError
        For a time nobody counts.
    """
    at_s = second_at(trace, at_s)
    _check_time(trace, at_s, seconds, "breaths")
    begin_s = at_s - seconds + WATCH_S * spread(seed, at_s, BREATHS_WATCH, who)
    begun = breaths_begun(trace, begin_s, at_s)
    counted = max(0, begun + slip(seed, at_s, BREATHS_SLIP, begun * BREATH_SLIP_FRAC, who))
    return CountedRate(counted * SECONDS_PER_MINUTE / seconds, counted, seconds, at_s)


def felt_pulse(trace: Trace, at_s: float, seed: int, seconds: float = 30.0, who: int = 0) -> FeltPulse:
    """Beats felt at the wrist for some seconds up to a moment.

    Parameters and errors as for `counted_rate`; the recording needs `heart_rate_per_min`.
    """
    at_s = second_at(trace, at_s)
    _check_time(trace, at_s, seconds, "beats")
    begin_s = at_s - seconds + WATCH_S * spread(seed, at_s, PULSE_WATCH, who)
    beats = _beats_until(trace, at_s) - _beats_until(trace, begin_s)
    is_fast = beats * SECONDS_PER_MINUTE / seconds >= FAST_PULSE_PER_MIN
    chance_frac = min(0.4, beats * (FAST_BEAT_SLIP_FRAC if is_fast else BEAT_SLIP_FRAC))
    counted = max(0, beats + slip(seed, at_s, PULSE_SLIP, chance_frac, who))
    return FeltPulse(counted * SECONDS_PER_MINUTE / seconds, counted, seconds, at_s)


def _check_time(trace: Trace, at_s: float, seconds: float, what: str) -> None:
    if not SHORTEST_S <= seconds <= LONGEST_S:
        raise ValueError(f"{what} are counted for {SHORTEST_S:g} to {LONGEST_S:g} s, not for {seconds:g} s.")
    first_s = max(0.0, float(trace.seconds["t_s"][0]) - 1.0)  # a row stands for the end of its second
    if at_s - seconds < first_s:
        raise NothingToReadError(
            f"A count of {seconds:g} s that ends at {at_s:g} s begins before the recording; "
            f"end it at {first_s + seconds:g} s or later."
        )


def _beats_until(trace: Trace, at_s: float) -> int:
    """Whole beats from the start of the recording to a moment: the heart rate added up."""
    clock, rate = trace.seconds["t_s"], trace.seconds["heart_rate_per_min"]
    rows = int(np.searchsorted(clock, at_s, side="right"))
    beats = float(np.nansum(rate[:rows])) / SECONDS_PER_MINUTE
    part_s = at_s - (float(clock[rows - 1]) if rows else float(clock[0]) - 1.0)
    beats += max(0.0, part_s) * float(rate[max(0, rows - 1)]) / SECONDS_PER_MINUTE
    return int(beats + 1e-9)
