"""Questions on the oximeter: what it shows when, and when it is wrong."""

from typing import Any

import numpy as np

from tidalbay.science.oximetry import functional_reading_frac
from tidalbay.validation.asking import course, seconds


def shown_pct(o2hb_frac: float, cohb_frac: float = 0.0, methb_frac: float = 0.0) -> float:
    """What two colours read in blood of that make-up; the rest is deoxyhaemoglobin. [%]"""
    rest = 1.0 - o2hb_frac - cohb_frac - methb_frac
    return 100.0 * functional_reading_frac(o2hb_frac, cohb_frac, methb_frac, max(0.0, rest))


def over_read_points(o2hb_frac: float, cohb_frac: float) -> float:
    """Reading less oxyhaemoglobin. [percentage points]"""
    return shown_pct(o2hb_frac, cohb_frac) - 100.0 * o2hb_frac


def over_read_share(o2hb_frac: float, cohb_frac: float) -> float:
    """Reading less oxyhaemoglobin, over carboxyhaemoglobin. [1]"""
    return over_read_points(o2hb_frac, cohb_frac) / (100.0 * cohb_frac)


def display_lag_s(**then: Any) -> float:
    """Half-way on the display after half-way in arterial blood, when oxygen is put on. [s]"""
    trace = course([{"minutes": 4}, {"minutes": 10, **then}], overrides={"shunt_frac": 0.25})

    def half_way(column: str) -> float:
        values = seconds(trace, column)[240:]
        middle = 0.5 * (np.mean(values[:5]) + np.mean(values[-60:]))
        return float(np.flatnonzero(values >= middle)[0])

    return half_way("spo2_shown_pct") - half_way("sao2_pct")


def display_error_points(shunts: list[float], minutes: float = 30.0) -> float:
    """Root mean square of display less arterial saturation over patients of these shunts. [points]"""
    errors = []
    for shunt in shunts:
        trace = course([{"minutes": minutes}], overrides={"shunt_frac": shunt})
        shown, true = (seconds(trace, name)[300::30] for name in ("spo2_shown_pct", "sao2_pct"))
        errors.append(shown - true)
    return float(np.sqrt(np.nanmean(np.square(np.concatenate(errors)))))


def display_within_share(points: float, shunts: list[float], minutes: float = 30.0) -> float:
    """Share of displayed values within so many points of arterial saturation. [1]"""
    near = []
    for shunt in shunts:
        trace = course([{"minutes": minutes}], overrides={"shunt_frac": shunt})
        shown, true = (seconds(trace, name)[300::30] for name in ("spo2_shown_pct", "sao2_pct"))
        near.append(np.abs(shown - true) <= points)
    return float(np.mean(np.concatenate(near)))
