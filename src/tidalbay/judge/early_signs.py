"""The published early-warning score of the signs that a record shows at a moment."""

from collections.abc import Mapping
from functools import cache
from typing import Any, Final

import numpy as np

from tidalbay.catalogue.findings import Bound, finding_ladders
from tidalbay.judge.record import Flags, Record
from tidalbay.science.warning import early_warning

AIR_PCT: Final = 21.5  # gas with no more oxygen than this is air
HYPERCAPNIC_RANGE: Final = (88.0, 92.0)  # the range that the score's second scale is for (RCP 2017)
USUAL_TEMPERATURE_DEGC: Final = 37.0
SIGNS: Final = (
    "rate_per_min",
    "spo2_shown_pct",
    "systolic_mmhg",
    "heart_rate_per_min",
    "alertness_frac",
    "confusion_frac",
)


def scale_of(case: Mapping[str, Any]) -> int:
    """Which oxygen scale the order asks for: 2 for a target of 88 to 92 %."""
    low, high = case["order"]["target_spo2_pct"]
    return 2 if (float(low), float(high)) == HYPERCAPNIC_RANGE else 1


def holds_signs(record: Record) -> bool:
    """Whether the record holds all that the score needs."""
    return all(name in record.trace.seconds for name in SIGNS)


def score_at(record: Record, row: int, scale: int, read: Mapping[str, float] | None = None) -> int:
    """The score at a row by an oxygen scale.

    Parameters
    ----------
    record : Record
    row : int
    scale : int
        1 or 2.
    read : mapping or None
        Signs as somebody read them, by the names of `SIGNS`, in the place of what the record holds.

    Raises
    ------
    WarningRefusedError
        With a sentence: a child, a sign that was not shown.
    """
    seconds = record.trace.seconds
    numbers = record.case["patient"]["numbers"]
    now = {name: float(seconds[name][row]) for name in SIGNS} | dict(read or {})
    return early_warning(
        rate_per_min=now["rate_per_min"],
        spo2_pct=None if np.isnan(now["spo2_shown_pct"]) else now["spo2_shown_pct"],
        on_oxygen=bool(given_oxygen(record)[row]),
        systolic_mmhg=now["systolic_mmhg"],
        pulse_per_min=now["heart_rate_per_min"],
        consciousness=_consciousness(now),
        temperature_degc=float(numbers.get("temperature_degc", USUAL_TEMPERATURE_DEGC)),
        age_years=float(numbers.get("age_years", 40.0)),
        scale=scale,
    ).total


def given_oxygen(record: Record) -> Flags:
    """For each row whether any oxygen was given: gas to what is worn, and not from the air outlet."""
    supplied = record.reading("supplied_oxygen_pct")
    if supplied is None:
        return record.on_oxygen
    return np.asarray(record.on_oxygen & ~(supplied <= AIR_PCT), dtype=bool)


def _consciousness(now: Mapping[str, float]) -> str:
    """By the table of findings; its rungs of alertness are the levels of the score."""
    for rung, bounds in _alertness():
        if not bounds or any(all(b.holds(now[b.reading]) for b in all_of) for all_of in bounds):
            return rung
    return "alert"


@cache
def _alertness() -> tuple[tuple[str, tuple[tuple[Bound, ...], ...]], ...]:
    ladder = finding_ladders()["alertness"]
    return tuple(
        (rung.id, tuple(tuple(b for b in all_of if isinstance(b, Bound)) for all_of in rung.when))
        for rung in ladder.rungs
    )
