"""How far a change might have worked otherwise: the band beside another way, from bodies at the ends.

The past was seen and has no band. What is spread is the effect of the change: how much another body, played
both ways, differs between its two ways, laid on how this one went.
"""

from collections.abc import Mapping, Sequence
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from tidalbay.attempt import Change, Fork, played_with_forks, what_if
from tidalbay.catalogue.plausible_bodies import plausible_bodies
from tidalbay.judge.record import Floats
from tidalbay.judge.words import number
from tidalbay.report.strips import step_of
from tidalbay.trace import Log, Trace

ABOUT: Final = (
    "The shaded band is the same change in bodies that may as well be this one: a fifth less to a quarter "
    "more shunt, a tenth less to a tenth more oxygen burned, an eighth more to an eighth less gas in the "
    "chest."
)
SPREAD: Final = "The range is that of bodies that may as well be this one."
SMOOTHED_S: Final = 15  # a display's whole points and a breath's chance are no spread between bodies
# Strip, column, times, least and most.
_LINES: Final = (
    ("saturation", "spo2_shown_pct", 1.0, 0.0, 100.0),
    ("inspired", "fio2_frac", 100.0, 0.0, 100.0),
    ("carbon_dioxide", "paco2_mmhg", 1.0, 0.0, np.inf),
)

BothWays = tuple[Trace, Trace]  # as it went, and the other way
_ONCE_A_STRETCH: Final = 10**9  # gauges are not looked at here


class Bodies:
    """Other bodies under the acts of a log, each played through once, when it is first asked for.

    Parameters
    ----------
    log : Log
    until_s : float
        How far they are played. [s]
    """

    def __init__(self, log: Log, until_s: float) -> None:
        """Begin with none played."""
        self._log = log
        self._until_s = until_s
        self._played: dict[str, tuple[Trace, tuple[Fork, ...]]] = {}

    def both_ways(self, change: Change) -> list[BothWays]:
        """What each showed as it went, and with one act other than it was."""
        return [self._both(name, times, change) for name, times in plausible_bodies().items()]

    def _both(self, name: str, times: Mapping[str, float], change: Change) -> BothWays:
        if name not in self._played:
            attempt, forks = played_with_forks(self._log, times)
            attempt.run_to(self._until_s)
            self._played[name] = (attempt.trace(_ONCE_A_STRETCH), forks)
        went, forks = self._played[name]
        would = what_if(self._log, change, self._until_s, forks)
        return went, would.attempt.trace(_ONCE_A_STRETCH)


def effect_band(this: BothWays, others: Sequence[BothWays], from_s: float) -> dict[str, Any]:
    """The band of each strip that has one, as plain values, with what it stands for.

    Parameters
    ----------
    this : (Trace, Trace)
        The patient's own two ways.
    others : sequence of (Trace, Trace)
        Those of the other bodies.
    from_s : float
        Where the change takes hold; before it the band has no width. [s]
    """
    bands = {}
    for strip, column, times, least, most in _LINES:
        edges = _edges(this, others, column, times)
        if edges is not None:
            low, high = (np.clip(edge, least, most) for edge in edges)
            bands[strip] = _plain(np.asarray(this[1].seconds["t_s"], dtype=float), low, high, from_s)
    return {"bands": bands, "about": ABOUT, "lowest": _lowest(bands.get("saturation"))}


def _edges(
    this: BothWays, others: Sequence[BothWays], column: str, times: float
) -> tuple[Floats, Floats] | None:
    ways = (this, *others)
    if any(column not in trace.seconds for both in ways for trace in both):
        return None
    rows = min(trace.seconds.rows for both in ways for trace in both)
    went, would = (times * np.asarray(trace.seconds[column][:rows], dtype=float) for trace in this)
    spread = [np.zeros(rows)]
    for other_went, other_would in others:
        effect = other_would.seconds[column][:rows] - other_went.seconds[column][:rows]
        spread.append(_smoothed(times * np.asarray(effect, dtype=float) - (would - went)))
    return would + np.min(spread, axis=0), would + np.max(spread, axis=0)


def _smoothed(deviation: Floats) -> Floats:
    """The mean over the seconds around; what was not shown counts as no deviation."""
    known = np.where(np.isnan(deviation), 0.0, deviation)
    window = np.ones(SMOOTHED_S)
    weights = np.convolve(np.ones(len(known)), window, mode="same")
    return np.asarray(np.convolve(known, window, mode="same") / weights)


def _plain(clock: NDArray[np.float64], low: Floats, high: Floats, from_s: float) -> dict[str, Any]:
    step_s = step_of(float(clock[len(low) - 1])) if len(low) else 1
    rows = [row for row in range(0, len(low), step_s) if clock[row] >= from_s and not np.isnan(low[row])]
    return {
        "t_s": [float(clock[row]) for row in rows],
        "low": [round(float(low[row]), 1) for row in rows],
        "high": [round(float(high[row]), 1) for row in rows],
    }


def _lowest(band: Mapping[str, Any] | None) -> str:
    """How low the saturation shown would have gone, as a range in a sentence."""
    if not band or not band["low"]:
        return ""
    low, high = round(min(band["low"])), round(min(band["high"]))
    between = number(low) if low == high else f"{number(low)} to {number(high)}"
    return f"The lowest saturation shown after the change would have been about {between} %."
