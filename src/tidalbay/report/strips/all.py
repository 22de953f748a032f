"""The strips of an attempt, from the top of the page to its foot."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Final

import numpy as np

from tidalbay.catalogue.devices import device_kinds
from tidalbay.judge.record import NO_DEVICE, Record
from tidalbay.report.strips.slow import SkinMinutes, score_strip, skin_strip
from tidalbay.report.strips.strip import Line, Span, Strip, scale
from tidalbay.report.strips.thinning import Points, thinned

NOT_KEPT: Final = "The trace does not hold it."
COUNTED_S: Final = 30


def strips_of(record: Record, step_s: int, skin: SkinMinutes | None = None) -> tuple[Strip, ...]:
    """Every strip, thinned to this step, all over the same time.

    Parameters
    ----------
    record : Record
    step_s : int
        From `step_of`. [s]
    skin : rows of (moment [s], stage by place) or None
        None where only a stored trace is there.
    """
    return (
        _saturation(record, step_s),
        _inspired(record, step_s),
        _worn(record),
        _carbon_dioxide(record, step_s),
        _breaths(record, step_s),
        score_strip(record),
        _medicine(record, step_s),
        skin_strip(record, skin),
    )


def _worn(record: Record) -> Strip:
    spans = tuple(_worn_spans(record))
    said = "" if any(span.words for span in spans) else "Nothing was worn."
    return Strip(
        "worn", "Worn", "on the face", "", "spans", spans=tuple(s for s in spans if s.words), said=said
    )


def _worn_spans(record: Record) -> Iterator[Span]:
    worn = record.trace.seconds.get("wearing")
    if worn is None or not len(worn):
        return
    edges = [0, *(int(row) + 1 for row in np.flatnonzero(worn[1:] != worn[:-1])), len(worn)]
    for first, last in pairwise(edges):
        # A row tells of the second that ends with it: what is worn from its row on was put on before.
        from_s = float(record.clock[max(0, first - 1)]) if first else float(record.clock[0])
        to_s = float(record.clock[min(last - 1, len(worn) - 1)])
        yield Span(from_s, to_s, _devices(str(worn[first])))


def _devices(kinds: str) -> str:
    if kinds == NO_DEVICE:
        return ""
    known = device_kinds()
    return " and ".join(known[kind].words if kind in known else kind for kind in kinds.split(" + "))


def _saturation(record: Record, step_s: int) -> Strip:
    low, high = record.case["order"]["target_spo2_pct"]
    lines = tuple(
        Line(name, words, points, is_hidden)
        for name, words, is_hidden in (
            ("spo2_shown_pct", "shown", False),
            ("sao2_pct", "true, in the artery", True),
        )
        if (points := _points(record, name, step_s, 1))
    )
    sized = scale((*lines, Line("", "", ((0.0, float(low)), (0.0, float(high))))), 8.0, 0.0, 100.0)
    return Strip(
        "saturation",
        "Saturation",
        "shown, and true",
        "%",
        "line",
        lines,
        band=(float(low), float(high)),
        said="" if lines else NOT_KEPT,
        **sized,  # type: ignore[arg-type]
    )


def _inspired(record: Record, step_s: int) -> Strip:
    return _single(
        record, step_s, "inspired", "Inspired oxygen", "worked out", "%", "fio2_frac", 6.0, 100.0, 0
    )


def _carbon_dioxide(record: Record, step_s: int) -> Strip:
    return _single(
        record,
        step_s,
        "carbon_dioxide",
        "Carbon dioxide",
        "in the artery",
        "mmHg",
        "paco2_mmhg",
        12.0,
        1.0,
        0,
    )


def _breaths(record: Record, step_s: int) -> Strip:
    """As a count over half a minute would find them: from one breath to the next they differ much."""
    title, about = "Breaths", "a minute"
    values = record.trace.seconds.get("rate_per_min")
    if values is None or not len(values):
        return Strip("breaths", title, about, "", "line", said=NOT_KEPT)
    sums = np.concatenate([[0.0], np.cumsum(np.asarray(values, dtype=float))])
    last = np.arange(1, len(values) + 1)
    first = np.maximum(0, last - COUNTED_S)
    points = thinned(record.clock, (sums[last] - sums[first]) / (last - first), step_s, 1)
    line = Line("rate_per_min", "breaths", points, is_hidden=True)
    return Strip("breaths", title, about, "", "line", (line,), **scale((line,), 9.0, 0.0))  # type: ignore[arg-type]


def _medicine(record: Record, step_s: int) -> Strip:
    title, about = "Medicine", "in the lungs"
    points = _points(record, "lung_dose_mg", step_s, 4)
    most = max((value or 0.0 for _, value in points), default=0.0)
    if most <= 0.0:
        said = "No nebulised medicine was given." if points else NOT_KEPT
        return Strip("medicine", title, about, "mg", "line", said=said)
    line = Line("lung_dose_mg", "settled", points, is_hidden=True)
    sized = scale((line,), most, 0.0)
    return Strip("medicine", title, about, "mg", "line", (line,), digits=2, **sized)  # type: ignore[arg-type]


def _single(
    record: Record,
    step_s: int,
    id: str,
    title: str,
    about: str,
    unit: str,
    column: str,
    least: float,
    times: float,
    digits: int,
) -> Strip:
    """A strip of one line that nobody at the bedside could see."""
    points = _points(record, column, step_s, 1, times)
    if not points:
        return Strip(id, title, about, unit, "line", said=NOT_KEPT)
    line = Line(column, title.lower(), points, is_hidden=True)
    return Strip(id, title, about, unit, "line", (line,), digits=digits, **scale((line,), least, 0.0))  # type: ignore[arg-type]


def _points(record: Record, column: str, step_s: int, digits: int, times: float = 1.0) -> Points:
    values = record.trace.seconds.get(column)
    if values is None:
        return ()
    return thinned(record.clock, times * np.asarray(values, dtype=float), step_s, digits)
