"""Oxygen beyond need, counted over a recording: above the ordered range, and harm to the lung."""

from dataclasses import dataclass

import numpy as np

from tidalbay.science.oxygen_dose import above_range_pct_h_after, toxic_stage, toxic_units_after
from tidalbay.trace import Trace


@dataclass(frozen=True, slots=True)
class OxygenExcess:
    """What a recording gave beyond need.

    Attributes
    ----------
    above_range_pct_h : float
        Saturation above the ordered range, on oxygen, times hours. [% h]
    toxic_units : float
        The lung's oxygen dose. [min of pure oxygen]
    stage : int
        What that dose does, by `science.oxygen_dose.toxic_stage`.
    """

    above_range_pct_h: float
    toxic_units: float
    stage: int


def oxygen_excess(trace: Trace, highest_pct: float, barometric_mmhg: float = 760.0) -> OxygenExcess:
    """Count the oxygen beyond need over a whole recording.

    Parameters
    ----------
    trace : Trace
    highest_pct : float
        Upper end of the ordered range. [%]
    barometric_mmhg : float
        [mmHg]
    """
    seconds = trace.seconds
    above, units = 0.0, 0.0
    on_oxygen = seconds["fio2_frac"] > 0.215
    shown = np.nan_to_num(seconds["spo2_shown_pct"], nan=0.0)
    for row in range(len(seconds["t_s"])):
        above = above_range_pct_h_after(
            above, float(shown[row]), highest_pct, 1.0 if on_oxygen[row] else 0.0, 1.0
        )
        inspired_atm = float(seconds["fio2_frac"][row]) * barometric_mmhg / 760.0
        units = toxic_units_after(units, inspired_atm, 1.0)
    return OxygenExcess(above, units, toxic_stage(units))
