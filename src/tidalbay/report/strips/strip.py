"""One strip: lines, steps or spans over the attempt's time, with its range and what it is called."""

from dataclasses import dataclass, field
from math import ceil, floor, log10
from typing import Any

from tidalbay.report.strips.thinning import Points


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a strip.

    Attributes
    ----------
    id, name : str
        What it is called by programs and by people.
    points : tuple of (float, float or None)
        Moment [s] and value [the strip's unit]; None where nothing was known. Each holds until the next.
    is_hidden : bool
        Whether nobody at the bedside could see it.
    """

    id: str
    name: str
    points: Points
    is_hidden: bool = False

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values; moments and values apart."""
        return {
            "id": self.id,
            "name": self.name,
            "t_s": [t_s for t_s, _ in self.points],
            "values": [value for _, value in self.points],
            "is_hidden": self.is_hidden,
        }


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time with words on it. [s]"""

    from_s: float
    to_s: float
    words: str


@dataclass(frozen=True, slots=True)
class Strip:
    """What is drawn in one row over the common line of time.

    Attributes
    ----------
    id, title, about, unit : str
        `about` is a few words under the title.
    kind : str
        line, steps or spans.
    lines : tuple of Line
    spans : tuple of Span
    band : (float, float) or None
        The ordered range.
    low, high, step : float
        Ends of its scale and how far apart its names stand. [unit]
    names : mapping of value to words
        For scales that have words instead of numbers.
    said : str
        A sentence in place of a line that is not there, or about one that is.
    digits : int
        After the point.
    """

    id: str
    title: str
    about: str
    unit: str
    kind: str
    lines: tuple[Line, ...] = ()
    spans: tuple[Span, ...] = ()
    band: tuple[float, float] | None = None
    low: float = 0.0
    high: float = 1.0
    step: float = 1.0
    names: dict[int, str] = field(default_factory=dict)
    said: str = ""
    digits: int = 0

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        return {
            "id": self.id,
            "title": self.title,
            "about": self.about,
            "unit": self.unit,
            "kind": self.kind,
            "lines": [line.as_plain() for line in self.lines],
            "spans": [{"from_s": s.from_s, "to_s": s.to_s, "words": s.words} for s in self.spans],
            "band": list(self.band) if self.band else None,
            "scale": {"low": self.low, "high": self.high, "step": self.step},
            "names": {str(value): words for value, words in self.names.items()},
            "said": self.said,
            "digits": self.digits,
        }


def scale(
    lines: tuple[Line, ...], least: float, floor_at: float | None = None, top_at: float | None = None
) -> dict[str, float]:
    """Ends and steps of a scale that holds all lines, at least so wide, in round numbers. [unit]"""
    values = [value for line in lines for _, value in line.points if value is not None]
    low, high = (min(values), max(values)) if values else (0.0, least)
    middle = (low + high) / 2.0
    low, high = min(low, middle - least / 2.0), max(high, middle + least / 2.0)
    if top_at is not None and high > top_at:
        low, high = min(low, top_at - least), top_at
    step = round_step((high - low) / 3.0)
    low, high = step * floor(low / step + 1e-9), step * ceil(high / step - 1e-9)
    if floor_at is not None:
        low = max(low, floor_at)
    return {"low": low, "high": high, "step": step}


def round_step(rough: float) -> float:
    """The next round number: 1, 2 or 5 times a power of ten."""
    size = 10.0 ** floor(log10(rough))
    return float(next(size * m for m in (1.0, 2.0, 5.0, 10.0) if size * m >= rough * 0.999))
