"""The breath under way, worked out to its end on a copy, so that a screen can draw it as it happens."""

from dataclasses import dataclass

import numpy as np

import tidalbay.engine.layout as at
from tidalbay.engine import Patient, Run
from tidalbay.engine.compiling import current
from tidalbay.equipment import Controls

STEP_S = 0.1
_A_MOMENT_S = 1e-6  # less than any sub-interval


@dataclass(frozen=True, slots=True)
class ComingBreath:
    """Volumes of one breath at the ends of its sub-intervals, as they will be if nothing changes.

    Attributes
    ----------
    n : int
        Number of the breath in the attempt; a still interval of at most 1 s counts as one.
    from_s, ends_s : float
        Where the volumes begin and end, on the attempt's clock. [s]
    breathing_in_s : float
        How much of it, from `from_s` on, is spent breathing in. [s]
    time_s, chest_ml, bag_ml : tuple of float
        Volume of the chest above rest, and of the bag that is breathed from, at each time. [s], [mL]
    """

    n: int
    from_s: float
    ends_s: float
    breathing_in_s: float
    time_s: tuple[float, ...]
    chest_ml: tuple[float, ...]
    bag_ml: tuple[float, ...]

    def chest_every(self, step_s: float = STEP_S) -> list[float]:
        """Volume of the chest at equal steps from `from_s`, the last at or after the end. [mL]"""
        return self._every(self.chest_ml, step_s)

    def bag_every(self, step_s: float = STEP_S) -> list[float]:
        """Volume of the bag at equal steps from `from_s`, the last at or after the end. [mL]"""
        return self._every(self.bag_ml, step_s)

    def _every(self, volumes_ml: tuple[float, ...], step_s: float) -> list[float]:
        steps = int(np.ceil((self.ends_s - self.from_s) / step_s - _A_MOMENT_S)) + 1
        grid = self.from_s + step_s * np.arange(max(2, steps))
        sampled: list[float] = np.interp(grid, self.time_s, volumes_ml).tolist()
        return sampled


def coming_breath(
    run: Run, patient: Patient, controls: Controls, before: ComingBreath | None = None
) -> ComingBreath:
    """The breath that the run is in, or the next where it stands between two; the run is not moved.

    Parameters
    ----------
    run : Run
    patient, controls
        As they will hold until the breath ends.
    before : ComingBreath or None
        What was worked out earlier. Of the same breath, its part that has passed is kept: that was seen.
    """
    state = run.state.copy()
    person, face = Patient(*map(float, patient)), Controls(*map(float, controls))
    seconds, breaths = np.empty((4, at.N_SECOND_COLUMNS)), np.empty((2, at.N_BREATH_COLUMNS))
    first_ml = controls.bag_start_ml if state[at.FACE_PLACING] != controls.face_placing else state[at.BAG_ML]
    points = [(float(state[at.TIME_S]), float(state[at.CHEST_ML]), float(first_ml))]
    if state[at.SUBINTERVAL] >= state[at.SUBINTERVALS]:
        _advance(state, person, face, run.seed, points[0][0] + _A_MOMENT_S, seconds, breaths)
        points.append(_point(state))
    while state[at.SUBINTERVAL] < state[at.SUBINTERVALS]:
        _advance(state, person, face, run.seed, float(state[at.TIME_S]) + _A_MOMENT_S, seconds, breaths)
        points.append(_point(state))
    n = int(state[at.BREATH_NUMBER])
    if before is not None and before.n == n:
        passed = zip(before.time_s, before.chest_ml, before.bag_ml, strict=True)
        points = [point for point in passed if point[0] < points[0][0]] + points
    in_until_s = float(state[at.BREATH_START_S] + state[at.INSPIRATORY_S])
    time_s, chest_ml, bag_ml = zip(*points, strict=True)
    breathing_in_s = max(0.0, in_until_s - time_s[0])
    return ComingBreath(n, time_s[0], time_s[-1], breathing_in_s, time_s, chest_ml, bag_ml)


def _advance(
    state: at.Floats,
    patient: Patient,
    controls: Controls,
    seed: int,
    until_s: float,
    seconds: at.Floats,
    breaths: at.Floats,
) -> None:
    """The one kernel, on the copy; the rows it writes are thrown away."""
    current()(state, patient, controls, seed, until_s, seconds, breaths)


def _point(state: at.Floats) -> tuple[float, float, float]:
    return float(state[at.TIME_S]), float(state[at.CHEST_ML]), float(state[at.BAG_ML])
