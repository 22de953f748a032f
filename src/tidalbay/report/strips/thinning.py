"""Fewer points for a line that is drawn: those that stay are true, and no peak is lost."""

from math import ceil
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

Points = tuple[tuple[float, float | None], ...]

MOST_PIECES: Final = 600  # of a line across a page: finer than anybody sees


def step_of(lasts_s: float) -> int:
    """How far apart the moments stand at which every line has a point. [s]"""
    return max(1, ceil(lasts_s / MOST_PIECES))


def thinned(clock: NDArray[np.float64], values: NDArray[Any], step_s: int, digits: int = 2) -> Points:
    """The points that draw a line: in every piece its first row, its lowest and its highest.

    Parameters
    ----------
    clock : array, rising by a second. [s]
    values : array, NaN where nothing was known
    step_s : int
        Length of a piece. [s]
    digits : int
        After the point, as a page needs them.
    """
    rows: set[int] = set()
    for first in range(0, len(clock), step_s):
        piece = np.asarray(values[first : first + step_s], dtype=float)
        rows.add(first)
        known = ~np.isnan(piece)
        if step_s > 1 and known.any():
            rows |= {first + int(np.nanargmin(piece)), first + int(np.nanargmax(piece))}
        unlike = np.flatnonzero(known[1:] != known[:-1])
        rows |= {first + 1 + int(each) for each in unlike}
    if len(clock):
        rows.add(len(clock) - 1)
    return tuple((float(clock[row]), _told(values[row], digits)) for row in sorted(rows))


def _told(value: Any, digits: int) -> float | None:
    number = float(value)
    return None if number != number else round(number, digits)
