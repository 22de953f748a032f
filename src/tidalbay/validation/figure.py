"""A plot as data: lines and bands of the model, published points over them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tidalbay.validation.result import Result


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the model, with a band where it has one.

    Attributes
    ----------
    label : str
        Said at its end.
    x, y : sequence of float
    low, high : sequence of float
        The band; empty without one.
    """

    label: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()


@dataclass(frozen=True, slots=True)
class Point:
    """A published value at its place: a number with its tolerance, or a range.

    Attributes
    ----------
    result : Result
    at : float
        Where on the other axis.
    across : bool
        Whether the published value lies along x (a time that is reached) instead of y.
    scale : float
        From the row's unit to the axis's.
    """

    result: Result
    at: float
    across: bool = False
    scale: float = 1.0

    @property
    def middle(self) -> float | None:
        """The published number on its axis; None for a range."""
        published = self.result.row.published
        return published * self.scale if isinstance(published, float) else None

    @property
    def reach(self) -> tuple[float, float]:
        """Lowest and highest value that would be within."""
        row = self.result.row
        low, high = row.published if isinstance(row.published, tuple) else (row.published, row.published)
        return (low - row.tolerance) * self.scale, (high + row.tolerance) * self.scale


@dataclass(frozen=True, slots=True)
class Figure:
    """One plot.

    Attributes
    ----------
    id, title : str
        The title is a sentence without its full stop.
    caption : str
        What is drawn, and how the model was asked.
    x_label, y_label : str
        With their units.
    x_range, y_range : pair of floats
    lines : sequence of Line
    points : sequence of Point
    ticks : mapping of float to str
        Names along x instead of numbers; empty for numbers.
    """

    id: str
    title: str
    caption: str
    x_label: str
    y_label: str
    x_range: tuple[float, float]
    y_range: tuple[float, float]
    lines: Sequence[Line]
    points: Sequence[Point]
    ticks: Mapping[float, str]

    @property
    def letters(self) -> list[tuple[str, Point]]:
        """Each point with the letter it carries."""
        return [(chr(ord("a") + i), point) for i, point in enumerate(self.points)]


Results = Mapping[str, Result]


def at(
    results: Results, places: Mapping[str, float], across: bool = False, scale: float = 1.0
) -> list[Point]:
    """Points of rows at their places; rows that are not there are left out."""
    return [Point(results[name], place, across, scale) for name, place in places.items() if name in results]


def figure(
    id: str,
    title: str,
    caption: str,
    labels: tuple[str, str],
    x_range: tuple[float, float],
    y_range: tuple[float, float],
    lines: Sequence[Line],
    points: Sequence[Point],
    ticks: Mapping[float, str] | None = None,
) -> Figure:
    """A plot, its axes' labels given as (x, y)."""
    return Figure(id, title, caption, *labels, x_range, y_range, lines, points, ticks or {})
