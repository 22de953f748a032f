"""The model, asked through its public questions, each at most once however many rows need the answer.

A run is known by its words: two rows that say the same thing share it.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from tidalbay import ask
from tidalbay.attempt import Breath
from tidalbay.trace import Trace

Column: TypeAlias = NDArray[np.float64]
Words: TypeAlias = Mapping[str, Any]

COUNTS = ("valves", "setting_pct", "seed")
STEADY: Words = {"breath_variability_frac": 0.0}  # every breath like the last


def breath(**words: Any) -> Breath:
    """One settled breath, by the words of `tidalbay.breath`."""
    return _breath(_key(words))


def course(stages: Sequence[Words], **words: Any) -> Trace:
    """A patient through stages, by the words of `tidalbay.course`; breaths do not vary unless said."""
    overrides = {**STEADY, **words.pop("overrides", {})}
    return _course(_key({"stages": list(stages), "overrides": overrides, **words}))


def seconds(trace: Trace, name: str) -> Column:
    """One column of a trace's seconds."""
    return np.asarray(trace.seconds[name], dtype=np.float64)


def breaths(trace: Trace, name: str) -> Column:
    """One column of a trace's breaths."""
    return np.asarray(trace.breaths[name], dtype=np.float64)


def late_mean(trace: Trace, name: str, until_min: float | None = None, over_min: float = 1.0) -> float:
    """Mean of a column over the minute before a moment, or before the end."""
    clock = seconds(trace, "t_s")
    end_s = float(clock[-1]) if until_min is None else 60.0 * until_min
    within = (clock > end_s - 60.0 * over_min) & (clock <= end_s)
    return float(np.mean(seconds(trace, name)[within]))


def ventilation_l_min(trace: Trace, until_min: float | None = None, over_min: float = 2.0) -> float:
    """Gas breathed in, a minute, over the time before a moment. [L/min BTPS]"""
    starts = breaths(trace, "start_s")
    end_s = float(seconds(trace, "t_s")[-1]) if until_min is None else 60.0 * until_min
    within = (starts > end_s - 60.0 * over_min) & (starts + breaths(trace, "duration_s") <= end_s)
    taken_s = float(np.sum(breaths(trace, "duration_s")[within]))
    return float(np.sum(breaths(trace, "inspired_ml")[within])) * 0.06 / taken_s


def solved(of: Callable[[float], float], wanted: float, low: float, high: float) -> float:
    """Where a monotonic function has a value; `low` and `high` in the order in which it rises or falls."""
    rises = of(high) > of(low)
    for _ in range(14):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if (of(middle) < wanted) == rises else (low, middle)
    return 0.5 * (low + high)


def _key(words: Words) -> str:
    return json.dumps(_numbered(words), sort_keys=True)


def _numbered(said: Any) -> Any:
    """Whole numbers as fractional ones, so that 15 and 15.0 are one question; counts stay whole."""
    if isinstance(said, Mapping):
        return {name: value if name in COUNTS else _numbered(value) for name, value in said.items()}
    if isinstance(said, list):
        return [_numbered(each) for each in said]
    return float(said) if type(said) is int else said


@cache
def _breath(key: str) -> Breath:
    return ask.breath(**json.loads(key))


@cache
def _course(key: str) -> Trace:
    return ask.course(**json.loads(key))
