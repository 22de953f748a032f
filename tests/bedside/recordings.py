"""Recordings made by hand, so that what should be read in them is known beforehand."""

import numpy as np

from tidalbay.trace import Trace

STEADY = {
    "spo2_shown_pct": 95.0,
    "sao2_pct": 95.4,
    "pao2_mmhg": 78.0,
    "paco2_mmhg": 40.0,
    "ph": 7.40,
    "rate_per_min": 15.0,
    "tidal_ml": 500.0,
    "demand_l_min": 7.5,
    "heart_rate_per_min": 72.0,
    "shunt_frac": 0.02,
    "effort_index_frac": 0.016,
    "fatigue_frac": 0.0,
    "alertness_frac": 1.0,
    "confusion_frac": 0.0,
    "cohb_frac": 0.01,
    "systolic_mmhg": 124.0,
    "diastolic_mmhg": 76.0,
}
IN_SHARE = 0.42
PATIENT = {
    "sex": "male",
    "height_cm": 175.0,
    "haemoglobin_g_dl": 15.0,
    "methaemoglobin_frac": 0.005,
    "paco2_habitual_mmhg": 40.0,
    "resistance_cmh2o_s_l": 3.0,
    "expiratory_time_constant_s": 0.35,
    "anatomical_dead_space_ml": 150.0,
    "temperature_degc": 37.0,
    "pain": 0.0,
    "lobe_plugged": 0.0,
}


def recording(starts_s, ends_s, seconds, **columns):
    """Breaths that begin and end at given times, and steady columns but for those that are said."""
    starts, ends = np.asarray(starts_s, dtype=float), np.asarray(ends_s, dtype=float)
    clock = np.arange(1.0, seconds + 1)
    table = {name: np.full(len(clock), value) for name, value in STEADY.items()}
    for name, value in columns.items():
        table[name] = value(clock) if callable(value) else np.full(len(clock), value)
    whole = ends <= clock[-1]
    lengths = (ends - starts)[whole]
    tidal = np.full(len(lengths), 500.0)
    breaths = {
        "start_s": starts[whole],
        "duration_s": lengths,
        "inspiratory_s": IN_SHARE * lengths,
        "tidal_ml": tidal,
        "inspired_ml": tidal,
        "end_tidal_co2_mmhg": np.full(len(lengths), 38.0),
        "inspired_co2_ml": np.zeros(len(lengths)),
    }
    return Trace(
        {"t_s": clock, "chest_ml": chest_ml(clock, starts, ends), **table},
        breaths,
        {"ph": "pH of arterial blood."},
    )


def chest_ml(clock, starts, ends):
    """A chest that rises from the start of each breath and is back at rest before its end."""
    volumes = np.zeros(len(clock))
    for start, end in zip(starts, ends, strict=True):
        share = (clock - start) / (end - start)
        inside = (share > 0.0) & (share < 1.0)
        rising = 500.0 * np.sin(0.5 * np.pi * np.clip(share / IN_SHARE, 0.0, 1.0)) ** 2
        falling = 500.0 * np.clip((0.9 - share) / (0.9 - IN_SHARE), 0.0, 1.0)
        volumes[inside] = np.where(share < IN_SHARE, rising, falling)[inside]
    return volumes


def regular(breaths_per_min, /, seconds=240, phase_s=0.0, **columns):
    """Somebody who breathes like a clock."""
    period_s = 60.0 / breaths_per_min
    starts = phase_s + period_s * np.arange(int(seconds / period_s) + 1)
    return recording(starts, starts + period_s, seconds, **columns)


def irregular(breaths_per_min, /, seconds=600, spread=0.15, seed=1, **columns):
    """Somebody whose breaths differ in length."""
    lengths = 60.0 / breaths_per_min * (1.0 + spread * np.random.default_rng(seed).normal(size=seconds))
    starts = np.concatenate([[0.0], np.cumsum(np.clip(lengths, 0.5, None))])
    starts = starts[starts < seconds]
    return recording(starts[:-1], starts[1:], seconds, **columns)


def stopping(breaths_per_min, /, stop_s, seconds=240, **columns):
    """Somebody who stops breathing."""
    period_s = 60.0 / breaths_per_min
    starts = period_s * np.arange(int(stop_s / period_s))
    return recording(starts, starts + period_s, seconds, **columns)


def until(trace, end_s):
    """The same recording as it was at an earlier moment."""
    rows = int(np.searchsorted(trace.seconds["t_s"], end_s, side="right"))
    ended = trace.breaths["start_s"] + trace.breaths["duration_s"] <= end_s
    about = {name: column.about for name, column in trace.columns.items() if column.about}
    return Trace(
        {name: column[:rows] for name, column in trace.seconds.items()},
        {name: column[ended] for name, column in trace.breaths.items()},
        about,
    )
