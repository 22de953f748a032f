"""Curves made of characters: pure functions from numbers to lines of text.

A fine curve has two dots across and four down in each character; a coarse one is stars, for
terminals that cannot draw dots.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

Dots = set[tuple[int, int]]

_DOT_BITS: Final = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BLANK: Final = 0x2800


@dataclass(frozen=True, slots=True)
class Pen:
    """What lines are made of.

    Attributes
    ----------
    across, down : int
        Dots in one character.
    """

    fine: bool
    across: int
    down: int
    edge: str
    tick: str
    dotted: str
    passed: str
    ahead: str
    flag_passed: str
    flag_ahead: str


FINE: Final = Pen(True, 2, 4, "│", "┤", "┄", "━", "─", "┻", "┴")
COARSE: Final = Pen(False, 1, 1, "|", "+", ".", "=", "-", "A", "A")


@dataclass(frozen=True, slots=True)
class Scale:
    """The upright side of a plot: from where to where, what is written, and what is dotted across it."""

    low: float
    high: float
    written: tuple[float, ...]
    dotted: tuple[float, ...] = ()


def curve(
    times_s: Sequence[float],
    values: Sequence[float],
    until_s: float,
    scale: Scale,
    columns: int,
    rows: int,
    pen: Pen,
) -> list[str]:
    """Draw values over time; nothing is drawn where a value is NaN.

    Parameters
    ----------
    times_s, values : sequences of float
        A value holds until the next.
    until_s : float
        Where the time axis ends; it begins at 0. [s]
    columns, rows : int
        Characters for the curve itself, without its scale.

    Returns
    -------
    list of str
        `rows` lines of `columns` characters.
    """
    dots = _dots(times_s, values, until_s, scale, columns * pen.across, rows * pen.down)
    across = {_row_of(value, scale, rows, pen) for value in scale.dotted}
    return [
        "".join(
            _character(dots, column, row, pen) or (pen.dotted if row in across else " ")
            for column in range(columns)
        )
        for row in range(rows)
    ]


def with_scale(lines: Sequence[str], scale: Scale, margin: int, pen: Pen) -> list[str]:
    """Put the scale's numbers and edge to the left of a curve."""
    at_row = {_row_of(value, scale, len(lines), pen): value for value in scale.written}
    return [
        (f"{at_row[row]:>{margin - 2}g} {pen.tick}" if row in at_row else " " * (margin - 1) + pen.edge)
        + line
        for row, line in enumerate(lines)
    ]


def time_line(
    reached_s: float, until_s: float, flags_s: Sequence[float], columns: int, margin: int, pen: Pen
) -> list[str]:
    """Draw the ruled line of time: how far it has run, a flag for each act, and minutes under it."""
    flags = {_column_of(flag_s, until_s, columns) for flag_s in flags_s}
    end = columns if reached_s >= until_s else int(columns * reached_s / until_s)
    ruled = "".join(
        (pen.flag_passed if column in flags else pen.passed)
        if column < end
        else (pen.flag_ahead if column in flags else pen.ahead)
        for column in range(columns)
    )
    return [" " * margin + ruled, _minutes(until_s, columns, margin)]


def minute_step(until_s: float, columns: int) -> int:
    """Return after how many minutes the next number fits under a line of time."""
    steps = (1, 2, 5, 10, 15, 30, 60, 120, 240)
    return next((step for step in steps if columns * 60.0 * step / until_s >= 7), steps[-1])


def _minutes(until_s: float, columns: int, margin: int) -> str:
    """Write the minutes under a line of time; the last one says what they are."""
    step = minute_step(until_s, columns)
    marks = range(0, int(until_s // 60) + 1, step)
    line = ""
    for minute in marks:
        text = f"{minute} min" if minute == marks[-1] else str(minute)
        column = min(margin + _column_of(60.0 * minute, until_s, columns), margin + columns - len(text))
        line = f"{line[: column - 1]:<{column}}{text}"
    return line


def _dots(
    times_s: Sequence[float], values: Sequence[float], until_s: float, scale: Scale, wide: int, high: int
) -> Dots:
    dots: Dots = set()
    before: tuple[int, int] | None = None
    for t_s, value in zip(times_s, values, strict=True):
        if value != value or t_s > until_s:
            before = None
            continue
        here = (min(wide - 1, int(wide * t_s / until_s)), _dot_row(value, scale, high))
        dots.add(here)
        if before is not None:
            dots.update(_between(before, here))
        before = here
    return dots


def _between(start: tuple[int, int], end: tuple[int, int]) -> Dots:
    """Join two dots: along first, then up or down, as a reading that held until it changed."""
    (x0, y0), (x1, y1) = start, end
    low, high = min(y0, y1), max(y0, y1)
    return {(x, y0) for x in range(x0, x1 + 1)} | {(x1, y) for y in range(low, high + 1)}


def _dot_row(value: float, scale: Scale, high: int) -> int:
    share = (scale.high - value) / (scale.high - scale.low)
    return max(0, min(high - 1, round(share * (high - 1))))


def _row_of(value: float, scale: Scale, rows: int, pen: Pen) -> int:
    return _dot_row(value, scale, rows * pen.down) // pen.down


def _column_of(t_s: float, until_s: float, columns: int) -> int:
    return max(0, min(columns - 1, int(columns * t_s / until_s)))


def _character(dots: Dots, column: int, row: int, pen: Pen) -> str:
    if not pen.fine:
        return "*" if (column, row) in dots else ""
    bits = sum(_DOT_BITS[y][x] for y in range(4) for x in range(2) if (2 * column + x, 4 * row + y) in dots)
    return chr(_BLANK + bits) if bits else ""
