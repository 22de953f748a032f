"""Questions on time: apnoea, oxygen stores, steps of inspired oxygen, wash-out."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from tidalbay.trace import Trace
from tidalbay.validation.asking import Column, Words, course, late_mean, seconds

PURE = {"room_oxygen_frac": 1.0}  # a tight circle full of oxygen


def apnoea(
    ready: Sequence[Words],
    minutes: float,
    room_oxygen_frac: float = 1.0,
    airway_open: bool = False,
    patient: str = "healthy_adult",
    overrides: Words | None = None,
    **device: Any,
) -> tuple[Trace, int]:
    """The trace of breathing that is got ready and stopped, and the second at which it stops."""
    stop = {
        "minutes": minutes,
        "breathing": "apnoea",
        "airway_open": airway_open,
        "room_oxygen_frac": room_oxygen_frac,
        **device,
    }
    trace = course([*ready, stop], patient=patient, overrides=dict(overrides or {}))
    return trace, round(60.0 * sum(float(stage["minutes"]) for stage in ready))


def carbon_dioxide_in_apnoea(from_min: float, to_min: float, **case: Any) -> float:
    """Rise of arterial carbon dioxide between two moments of apnoea, a minute. [mmHg/min]"""
    trace, start = apnoea(minutes=max(5.0, to_min + 0.5), **case)
    paco2 = seconds(trace, "paco2_mmhg")
    first, last = (float(paco2[start + round(60.0 * at)]) for at in (from_min, to_min))
    return (last - first) / (to_min - from_min)


def seconds_of_apnoea(until_pct: float, **case: Any) -> float:
    """How long arterial saturation stays at or above a value in apnoea. [s]"""
    trace, start = apnoea(**case)
    after = seconds(trace, "sao2_pct")[start:]
    below = np.flatnonzero(after < until_pct)
    return float(below[0] if len(below) else len(after) - 1)


def steepest_fall(minutes: float, **case: Any) -> float:
    """Steepest fall of arterial saturation in apnoea over ten seconds. [%/s]"""
    trace, start = apnoea(minutes=minutes, **case)
    after = seconds(trace, "sao2_pct")[start:]
    return float(np.max(after[:-10] - after[10:])) / 10.0


def expired_oxygen_after(minutes: float, **case: Any) -> float:
    """Oxygen at the end of breathing out after a time on pure oxygen, resting on air before. [1]"""
    words = dict(case)
    stage = {**PURE, **words.pop("stage", {})}
    before = {name: stage[name] for name in stage if name not in ("room_oxygen_frac", "device", "flow_lpm")}
    trace = course([{"minutes": 1, **before}, {"minutes": 6, **stage}], **words)
    return float(seconds(trace, "end_tidal_o2_frac")[60 + round(60 * minutes)])


def minutes_to_expired_oxygen(share: float, **case: Any) -> float:
    """Minutes on pure oxygen until the end of a breath out holds that share. [min]"""
    words = dict(case)
    stage = {**PURE, **words.pop("stage", {})}
    before = {name: stage[name] for name in stage if name not in ("room_oxygen_frac", "device", "flow_lpm")}
    trace = course([{"minutes": 1, **before}, {"minutes": 10, **stage}], **words)
    reached = np.flatnonzero(seconds(trace, "end_tidal_o2_frac")[60:] >= share)
    return float(reached[0]) / 60.0 if len(reached) else 10.0


def lung_oxygen(frc_ml: float) -> float:
    """Oxygen in the lungs at the end of a quiet breath of air out. [mL BTPS]"""
    trace = course([{"minutes": 10, "breathing": "held"}], overrides={"frc_ml": frc_ml})
    return frc_ml * late_mean(trace, "end_tidal_o2_frac") * 713.0 / 760.0


def step(column: str, first: Words, then: Words, minutes: float, **case: Any) -> tuple[Column, Column]:
    """Minutes since a step from one stage to the next, and a column from then on."""
    trace = course([{"minutes": 1, **first}, {"minutes": minutes, **then}], **case)
    values = seconds(trace, column)[59:]
    return np.arange(len(values)) / 60.0, values


def minutes_to_share_of_step(share: float, column: str, **case: Any) -> float:
    """Minutes until a share of the whole change after a step has been made. [min]"""
    clock, values = step(column, **case)
    done = (values - values[0]) / (np.mean(values[-60:]) - values[0])
    return float(clock[np.flatnonzero(done >= share)[0]])


def minutes_until_within(band: float, column: str, **case: Any) -> float:
    """Minutes after a step until a column stays within a band of where it ends. [min]"""
    clock, values = step(column, **case)
    outside = np.flatnonzero(np.abs(values - np.mean(values[-60:])) > band)
    return float(clock[outside[-1]]) if len(outside) else 0.0


def rate_constant(column: str, **case: Any) -> float:
    """Rate constant of the change after a step, from the time of its first 63 %. [1/min]"""
    return 1.0 / time_constant(column, **case)


def time_constant(column: str, **case: Any) -> float:
    """Time of the first 63 % of the change after a step. [min]"""
    return minutes_to_share_of_step(1.0 - 1.0 / np.e, column, **case)


def half_life_min(fio2_frac: float, minutes: float, patient: str = "carbon_monoxide", **stage: Any) -> float:
    """Half-life of carboxyhaemoglobin on this inspired oxygen. [min]"""
    trace = course(
        [{"minutes": minutes, "room_oxygen_frac": fio2_frac, **stage}],
        patient=patient,
    )
    share = seconds(trace, "cohb_frac")
    first, last = float(share[300]), float(share[-1])
    return (minutes - 5.0) * float(np.log(2.0) / np.log(first / last))


def oxygen_taken_up(minutes: float, **case: Any) -> float:
    """Oxygen put into the lungs' gas by breathing it pure for a time, beyond what air holds. [mL BTPS]"""
    words: Mapping[str, Any] = dict(case)
    frc_ml = float(words["overrides"]["frc_ml"])
    gained = expired_oxygen_after(minutes, **words) - expired_oxygen_after(0.0, **words)
    return frc_ml * gained * 713.0 / 760.0
