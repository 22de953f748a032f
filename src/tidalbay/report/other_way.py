"""Another way beside the one it went: both courses, gains, costs, and what that stands for."""

from collections.abc import Mapping
from typing import Any, Final

from tidalbay.attempt import WhatIf
from tidalbay.catalogue.acts import acts
from tidalbay.judge import course_of, gains_and_costs, record_of
from tidalbay.judge.words import clock, upper
from tidalbay.report.strips import step_of, strips_of
from tidalbay.report.strips.slow import skin_each_minute
from tidalbay.trace import Entry, Log, Trace, plain

STANDS_FOR: Final = (
    "This is one simulated patient under the same chance; another patient could have done otherwise. "
    "All later acts were left as they were."
)
LEAST_DOSE_FRAC: Final = 0.1  # smaller differences of a dose are not worth a sentence (assumed)
NOTHING: Final = "Nothing that would show in the few numbers that are compared."


def is_changeable(entry: Entry) -> bool:
    """Whether it makes sense to ask what would have come of another act than this.

    What only looks, asks or writes moves nothing, and the clock's own acts are nobody's treatment.
    """
    kind = acts()[entry.kind]
    return kind.changes != "nothing" and kind.group != "time" and entry.manner != "said"


def other_way(log: Log, was: Trace, would: WhatIf) -> dict[str, Any]:
    """The other way as plain values.

    Parameters
    ----------
    log : Log
        As it went.
    was : Trace
        As it went.
    would : WhatIf
        Run to the same end.

    Returns
    -------
    dict
        `from_s` (None where nothing was changed), `strips` of the other way, `gains`, `costs`, `left_out` and
        `stands_for`, all in words.
    """
    trace = would.attempt.trace(gauges_every_s=_ONCE_A_STRETCH)
    mine, others = record_of(log, was), record_of(would.attempt.log, trace)
    gains, costs = gains_and_costs(course_of(mine), course_of(others))
    medicine = _medicine(was, trace)
    gains, costs = (*gains, *medicine[0]), (*costs, *medicine[1])
    strips = strips_of(others, step_of(mine.end_s), skin_each_minute(would.attempt))
    return {
        "from_s": would.from_s if would.from_s < float("inf") else None,
        "strips": [strip.as_plain() for strip in strips],
        "gains": list(gains),
        "costs": list(costs),
        "nothing": "" if gains or costs else NOTHING,
        "left_out": [_left_out(log, n, why) for n, why in would.left_out],
        "stands_for": STANDS_FOR,
    }


def _medicine(was: Trace, would: Trace) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What more or less of a medicine settles in the lungs: as a gain or as a cost."""
    doses_mg = [
        float(t.seconds["lung_dose_mg"][-1]) if "lung_dose_mg" in t.seconds else 0.0 for t in (was, would)
    ]
    before_mg, after_mg = doses_mg
    if abs(after_mg - before_mg) < LEAST_DOSE_FRAC * max(doses_mg) or max(doses_mg) <= 0.0:
        return (), ()
    told = f"{after_mg:.2g} mg" if after_mg > 0.0 else "No medicine"
    said = (f"{told} settles in the lungs instead of {before_mg:.2g} mg.",)
    return (said, ()) if after_mg > before_mg else ((), said)


def _left_out(log: Log, n: int, why: str) -> str:
    """An act that hands could no longer do, in a sentence."""
    entry = next((each for each in log.acts if each.n == n), None)
    if entry is None:
        return upper(why)
    told: Mapping[str, Any] = plain(entry.values)
    done = f"{acts()[entry.kind].told(told)} at {clock(entry.t_ms / 1000.0)}"
    return f"Left out, since hands could not do it then: {done}. {why}"


_ONCE_A_STRETCH: Final = 10**9
