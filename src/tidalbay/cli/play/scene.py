"""What stands on the page of a run: who lies there, what is seen at a moment, and the run by the minute."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import isnan
from typing import TYPE_CHECKING

from tidalbay.cli.paper import labelled, wrapped
from tidalbay.cli.play.plot import FINE, Pen, Scale, curve, time_line, with_scale
from tidalbay.cli.play.telling import (
    Row,
    Told,
    clock,
    counted_rate,
    percent,
    shown_words,
    worn_short,
    worn_words,
)

if TYPE_CHECKING:
    from tidalbay.case import Case
    from tidalbay.trace import Trace

MARGIN = 6
WIDEST_PLOT = 100
LABEL = 11


@dataclass(frozen=True, slots=True)
class Sheet:
    """The paper a scene is drawn on."""

    columns: int
    rows: int
    pen: Pen

    @property
    def curve_columns(self) -> int:
        """Characters that a curve may take."""
        return min(self.columns - 1, WIDEST_PLOT) - MARGIN

    @property
    def curve_rows(self) -> tuple[int, int]:
        """Rows for saturation and for inspired oxygen, so that some sentences still fit above."""
        both = max(5, min(11, self.rows - 15))
        return both - both // 2, both // 2

    @property
    def subscript(self) -> str:
        """The saturation's name in the letters that can be shown."""
        return "SpO₂" if self.pen is FINE else "SpO2"


def opening(case: "Case", minutes: float, script: str, caution: str, wide: int) -> list[str]:
    """Return who lies there, what was ordered, what is played, and the caution."""
    age = case.patient.numbers.get("age_years")
    who = ", ".join(
        [case.patient.name, *([f"{age:g}"] if age else []), *([case.patient.bed] if case.patient.bed else [])]
    )
    says = f" “{case.patient.says}”" if case.patient.says else ""
    lines = labelled("Patient", f"{who}.{says}", wide, LABEL)
    lines += labelled("Order", case.order.text, wide, LABEL)
    lines += labelled("Played", f"{minutes:g} minute{'' if minutes == 1 else 's'}, {script}", wide, LABEL)
    return lines + labelled("Caution", caution, wide, LABEL)


def scene(
    trace: "Trace", told: Sequence[Told], case: "Case", until_s: float, reached_s: float, sheet: Sheet
) -> list[str]:
    """Draw the run as it stands: clock, what is seen, two curves, and the line of time under them."""
    i = trace.seconds.rows - 1
    row = trace.seconds.row(i)
    low, high = case.order.target_spo2_pct
    times = trace.seconds["t_s"].tolist()
    spo2 = trace.seconds["spo2_shown_pct"].tolist()
    inspired = (100.0 * trace.seconds["fio2_frac"]).tolist()
    first, second = sheet.curve_rows
    return [
        f"{clock(reached_s)} of {clock(until_s)}   {sheet.pen.flag_passed} on the line: an act or event",
        *_seen(row, counted_rate(trace, i), (low, high), sheet),
        "",
        f"{sheet.subscript} shown, %   (dotted: the ordered range)",
        *_drawn(times, spo2, until_s, saturation_scale(spo2, low, high), first, sheet),
        "Oxygen in each breath, %",
        *_drawn(times, inspired, until_s, inspired_scale(inspired), second, sheet),
        *time_line(
            reached_s,
            until_s,
            [each.t_s for each in told if each.t_s <= until_s],
            sheet.curve_columns,
            MARGIN,
            sheet.pen,
        ),
    ]


def _seen(row: Row, rate: float, ordered: tuple[float, float], sheet: Sheet) -> list[str]:
    seen = [
        ("worn", worn_words(row)),
        (sheet.subscript, f"{shown_words(row)} shown; ordered {ordered[0]:g} to {ordered[1]:g} %"),
        ("breathing", f"{rate:.0f} a minute; {percent(row['fio2_frac'])} oxygen in each breath"),
        ("pulse", f"{row['heart_rate_per_min']:.0f} a minute"),
    ]
    return [f"{label:<{LABEL}}{words}"[: sheet.columns - 1] for label, words in seen]


def _drawn(
    times: Sequence[float], values: Sequence[float], until_s: float, scale: Scale, rows: int, sheet: Sheet
) -> list[str]:
    lines = curve(times, values, until_s, scale, sheet.curve_columns, rows, sheet.pen)
    return with_scale(lines, scale, MARGIN, sheet.pen)


def saturation_scale(values: Sequence[float], low: float, high: float) -> Scale:
    """Return a scale from 100 % down to a multiple of five below everything shown and ordered."""
    least = min([low, *(value for value in values if not isnan(value))])
    bottom = max(0.0, 5.0 * ((min(least, 89.0) - 0.5) // 5))
    return Scale(bottom, 100.0, (100.0, bottom, low), (low, high))


def inspired_scale(values: Sequence[float]) -> Scale:
    """Return a scale from 20 % up to 40, 60 or 100 %."""
    most = max(values, default=20.0)
    top = next(top for top in (40.0, 60.0, 100.0) if most <= top or top == 100.0)
    return Scale(20.0, top, (20.0, top))


def by_the_minute(trace: "Trace", told: Sequence[Told], wide: int) -> list[str]:
    """Return the run as a chart on paper: a row each minute, and what happened between them."""
    rows = [(float(t_s), i) for i, t_s in enumerate(trace.seconds["t_s"].tolist()) if t_s % 60 == 0]
    lines = ["time   SpO2  breaths  pulse  oxygen  flow   worn", "          %    /min    /min       %  L/min"]
    waiting = list(told)
    for t_s, i in rows:
        while waiting and waiting[0].t_s < t_s:
            lines += _happening(waiting.pop(0), wide)
        lines.append(_minute(trace, i))
    for each in waiting:
        lines += _happening(each, wide)
    return lines


def _minute(trace: "Trace", i: int) -> str:
    row = trace.seconds.row(i)
    worn, flow = worn_short(row)
    spo2 = "-" if isnan(row["spo2_shown_pct"]) else f"{row['spo2_shown_pct']:.0f}"  # type: ignore[arg-type]
    return (
        f"{clock(float(row['t_s']))}  {spo2:>4}  {counted_rate(trace, i):>7.0f}"
        f"  {row['heart_rate_per_min']:>5.0f}  {100 * float(row['fio2_frac']):>6.0f}  {flow:>5}  {worn}"
    )


def _happening(each: Told, wide: int) -> list[str]:
    first, *more = wrapped(each.line, wide - 9).split("\n")
    return [f"{clock(each.t_s)}    {first}", *(" " * 9 + line for line in more)]


def happening(each: Told, wide: int) -> str:
    """Return one thing that happened as it is put above the live page."""
    first, *more = wrapped(each.line, wide - 8).split("\n")
    return "\n".join([f"{clock(each.t_s)}  {first}", *(" " * 7 + line for line in more)])
