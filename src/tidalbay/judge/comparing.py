"""Two courses beside each other: what a changed act would have gained, and what it would have cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import Any, Final

import numpy as np

from tidalbay.judge.record import Record
from tidalbay.judge.words import number, span
from tidalbay.trace import Trace

# A model of one patient: differences smaller than these are not worth a sentence (assumed).
LEAST_S: Final = 30.0
LEAST_POINTS: Final = 1.0
LEAST_CO2_MMHG: Final = 2.0
LEAST_LITRES: Final = 5.0


@dataclass(frozen=True, slots=True)
class Course:
    """How a course went, in the few numbers that are compared.

    Attributes
    ----------
    in_range_s, above_s, below_s : float
        How long the saturation shown was in, above (while oxygen was given) and below the ordered range. [s]
    unknown_s : float
        How long nothing was shown. [s]
    lowest_pct : float or None
        The lowest saturation shown. [%]
    highest_co2_mmhg : float or None
        The highest arterial carbon dioxide. [mmHg]
    oxygen_l : float
        Gas that flowed to devices. [L metered]
    """

    in_range_s: float
    above_s: float
    below_s: float
    unknown_s: float
    lowest_pct: float | None
    highest_co2_mmhg: float | None
    oxygen_l: float

    def as_plain(self) -> dict[str, Any]:
        """Names and plain values."""
        return {name: getattr(self, name) for name in self.__slots__}


def course_of(record: Record) -> Course:
    """The numbers of a course, a second a row."""
    low, high = record.case["order"]["target_spo2_pct"]
    shown = np.asarray(record.trace.seconds["spo2_shown_pct"], dtype=float)
    known = ~np.isnan(shown)
    above = known & (shown > high) & record.on_oxygen
    below = known & (shown < low)
    return Course(
        in_range_s=float((known & ~above & ~below).sum()),
        above_s=float(above.sum()),
        below_s=float(below.sum()),
        unknown_s=float((~known).sum()),
        lowest_pct=float(shown[known].min()) if known.any() else None,
        highest_co2_mmhg=_highest(record.trace, "paco2_mmhg"),
        oxygen_l=_litres(record),
    )


def gains_and_costs(was: Course, would: Course) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Sentences on what a change gains and what it costs.

    Differences that the model cannot tell from none are left out; the numbers stand for one simulated patient
    under the same chance, with all later acts left as they were.
    """
    gains: list[str] = []
    costs: list[str] = []

    def tell(better: bool, sentence: str) -> None:
        (gains if better else costs).append(sentence)

    more_s = would.in_range_s - was.in_range_s
    if abs(more_s) >= LEAST_S:
        tell(
            more_s > 0,
            f"About {span(_rounded(more_s))} {'more' if more_s > 0 else 'less'} in the ordered range.",
        )
    over_s = would.above_s - was.above_s
    if abs(over_s) >= LEAST_S:
        tell(
            over_s < 0,
            f"About {span(_rounded(over_s))} {'more' if over_s > 0 else 'less'} above it on oxygen.",
        )
    if was.lowest_pct is not None and would.lowest_pct is not None:
        points = would.lowest_pct - was.lowest_pct
        if abs(points) >= LEAST_POINTS:
            now, then = number(would.lowest_pct), number(was.lowest_pct)
            tell(points > 0, f"The lowest saturation shown is {now} % instead of {then} %.")
    if was.highest_co2_mmhg is not None and would.highest_co2_mmhg is not None:
        mmhg = would.highest_co2_mmhg - was.highest_co2_mmhg
        if abs(mmhg) >= LEAST_CO2_MMHG:
            words = "rises" if mmhg > 0 else "stays"
            tell(
                mmhg < 0,
                f"Carbon dioxide {words} about {abs(mmhg):.0f} mmHg {'higher' if mmhg > 0 else 'lower'}.",
            )
    litres = would.oxygen_l - was.oxygen_l
    if abs(litres) >= LEAST_LITRES:
        tell(litres < 0, f"About {abs(litres):.0f} L {'more' if litres > 0 else 'less'} gas is used.")
    return tuple(gains), tuple(costs)


def first_difference_s(was: Trace, would: Trace) -> float | None:
    """The first second at which two courses show something else; None where they never do. [s]"""
    rows = min(was.seconds.rows, would.seconds.rows)
    names: Sequence[str] = [name for name in was.seconds if name in would.seconds]
    first = rows
    for name in names:
        mine, other = was.seconds[name][:rows], would.seconds[name][:rows]
        same = mine == other
        if mine.dtype.kind == "f":
            same = same | (np.isnan(mine) & np.isnan(other))
        unlike = np.flatnonzero(~same)
        first = min(first, int(unlike[0])) if len(unlike) else first
    return float(was.seconds["t_s"][first]) if first < rows else None


def _rounded(seconds: float) -> float:
    """To half a minute: the model does not know it better."""
    return max(LEAST_S, 30.0 * round(abs(seconds) / 30.0))


def _highest(trace: Trace, name: str) -> float | None:
    column = trace.seconds.get(name)
    if column is None or not len(column):
        return None
    value = float(np.nanmax(np.asarray(column, dtype=float)))
    return None if isnan(value) else value


def _litres(record: Record) -> float:
    total_l = 0.0
    for device in record.device_kinds:
        flow = record.reading("flow_lpm", device)
        if flow is not None:
            total_l += float(np.nansum(flow)) / 60.0
    return total_l
