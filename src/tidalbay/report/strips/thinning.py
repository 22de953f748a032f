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
    n = len(clock)
    if not n:
        return ()
    numbers = np.asarray(values, dtype=float)
    known = ~np.isnan(numbers)
    marks = np.zeros(n, dtype=bool)
    marks[::step_s] = marks[-1] = True
    marks[1:] |= known[1:] != known[:-1]
    if step_s > 1:
        marks[_extremes(numbers, known, step_s)] = True
    rows = np.flatnonzero(marks)
    return tuple(
        (float(t_s), _told(value, digits)) for t_s, value in zip(clock[rows], numbers[rows], strict=True)
    )


def _extremes(numbers: NDArray[np.float64], known: NDArray[np.bool_], step_s: int) -> NDArray[np.int64]:
    """Rows of the lowest and of the highest value in each piece in which anything was known."""
    pieces = -(-len(numbers) // step_s)
    whole = np.full(pieces * step_s, np.nan)
    whole[: len(numbers)] = np.where(known, numbers, np.nan)
    table = whole.reshape(pieces, step_s)
    some = np.flatnonzero(~np.isnan(table).all(axis=1))
    lowest = np.where(np.isnan(table[some]), np.inf, table[some]).argmin(axis=1)
    highest = np.where(np.isnan(table[some]), -np.inf, table[some]).argmax(axis=1)
    return np.concatenate([some * step_s + lowest, some * step_s + highest])


def _told(value: Any, digits: int) -> float | None:
    number = float(value)
    return None if number != number else round(number, digits)
