"""What a recording holds at a moment, and what only its past up to that moment can say.

Every reading is of a recorded second and looks at rows up to it and no further, so a longer recording never
changes it.
"""

from collections.abc import Mapping
from typing import Final

import numpy as np

from tidalbay.trace import Trace

Numbers = Mapping[str, float | str]  # of a patient, by field name
NOBODY: Final[Numbers] = {}

RISEN_ML: Final = 1.0  # a chest this far above rest is seen to have begun a breath


class NothingToReadError(LookupError):
    """A reading for which the recording holds too little; the sentence says what would do."""


def row_at(trace: Trace, at_s: float) -> int:
    """Number of the last row of seconds that is not after a moment. [1]

    Raises
    ------
    NothingToReadError
        For a moment outside the recording.
    """
    clock = trace.seconds["t_s"]
    if not len(clock):
        raise NothingToReadError("The recording holds no second yet; let time pass first.")
    if not clock[0] <= at_s < clock[-1] + 1.0:
        raise NothingToReadError(
            f"The recording runs from {clock[0]:g} to {clock[-1]:g} s and says nothing of {at_s:g} s."
        )
    return int(np.searchsorted(clock, at_s, side="right")) - 1


def second_at(trace: Trace, at_s: float) -> float:
    """The last recorded second that is not after a moment; readings are of that second. [s]"""
    return float(trace.seconds["t_s"][row_at(trace, at_s)])


def number_at(trace: Trace, name: str, at_s: float) -> float | None:
    """A column at a moment; None where there is no such column or nothing is known. [its unit]"""
    if name not in trace.seconds:
        return None
    value = float(trace.seconds[name][row_at(trace, at_s)])
    return None if value != value else value


def mean_over(trace: Trace, name: str, at_s: float, seconds: float) -> float | None:
    """Mean of a column over the seconds up to a moment, unknown rows left out. [its unit]"""
    if name not in trace.seconds:
        return None
    last = row_at(trace, at_s)
    clock = trace.seconds["t_s"]
    first = int(np.searchsorted(clock, clock[last] - seconds, side="right"))
    values = trace.seconds[name][min(first, last) : last + 1]
    known = values[~np.isnan(values)]
    return float(known.mean()) if len(known) else None


def number_or(trace: Trace, name: str, at_s: float, patient: Numbers, what: str) -> float:
    """A column at a moment or, where there is none, the patient's own number. [its unit]

    Parameters
    ----------
    what : str
        The reading that needs it, for the sentence.

    Raises
    ------
    NothingToReadError
        Where neither knows it.
    """
    value = number_at(trace, name, at_s)
    if value is None:
        said = patient.get(name)
        if said is None or isinstance(said, str):
            raise NothingToReadError(
                f"The {what} cannot be read: neither the recording nor the patient's numbers hold {name}. "
                "Pass the patient's numbers."
            )
        value = float(said)
    return value


def patient_number(patient: Numbers, field: str, otherwise: float) -> float:
    """A number of the patient, or another where nobody said it. [its unit]"""
    said = patient.get(field, otherwise)
    return otherwise if isinstance(said, str) else float(said)


def breaths_begun(trace: Trace, since_s: float, at_s: float) -> int:
    """How many breaths were seen to begin after one moment and not after another. [1]

    Notes
    -----
    A breath that has ended has its row. The one under way has none yet: it counts once the chest has
    been seen to rise since the last breath ended.
    """
    starts = trace.breaths["start_s"]
    ended = _ended(trace, at_s)
    begun = ended - int(np.searchsorted(starts[:ended], since_s, side="right"))
    under_way_s = _under_way_since_s(trace, at_s)
    return begun + (under_way_s is not None and under_way_s > since_s)


def still_s(trace: Trace, at_s: float) -> float:
    """How long ago the chest was last seen moving, 0 while a breath is under way. [s]"""
    if _under_way_since_s(trace, at_s) is not None:
        return 0.0
    ended = _ended(trace, at_s)
    since = _end_s(trace, ended - 1) if ended else float(trace.seconds["t_s"][0])
    return max(0.0, second_at(trace, at_s) - since)


def last_breath(trace: Trace, at_s: float) -> int | None:
    """Row of the last breath that had ended by a moment; None before the first. [1]"""
    ended = _ended(trace, at_s)
    return ended - 1 if ended else None


def _ended(trace: Trace, at_s: float) -> int:
    """How many breaths had ended by a moment."""
    ends = trace.breaths["start_s"] + trace.breaths["duration_s"]
    return int(np.searchsorted(ends, second_at(trace, at_s), side="right"))


def _end_s(trace: Trace, breath: int) -> float:
    return float(trace.breaths["start_s"][breath] + trace.breaths["duration_s"][breath])


def _under_way_since_s(trace: Trace, at_s: float) -> float | None:
    """When the breath under way was seen to begin, or None."""
    last = row_at(trace, at_s)
    ended = _ended(trace, at_s)
    since = _end_s(trace, ended - 1) if ended else -float("inf")
    clock = trace.seconds["t_s"]
    first = int(np.searchsorted(clock, since, side="right"))
    risen = np.flatnonzero(trace.seconds["chest_ml"][first : last + 1] > RISEN_ML)
    if not len(risen):
        return None
    before = first + int(risen[0]) - 1
    return max(since, float(clock[before]) if before >= 0 else float(clock[0]) - 1.0)
