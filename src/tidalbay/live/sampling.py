"""The sampling line of an attempt: where it lies, since when, and what the last breath sent past it."""

from bisect import bisect_left

from tidalbay.attempt import Attempt
from tidalbay.bedside import Capnogram, SamplingLine, capnogram
from tidalbay.trace import Trace


def sampled(attempt: Attempt, window: Trace, now_s: float, seed: int) -> Capnogram | None:
    """The capnogram now; None while no line is on.

    Parameters
    ----------
    attempt : Attempt
    window : Trace
        Its last breaths.
    now_s : float
        The last second of the window. [s]
    seed : int
        Key of the attempt's chance.
    """
    site = attempt.equipment.sampling_site
    if site is None:
        return None
    body, plan = attempt.body.now, attempt.plan
    line = SamplingLine(
        site=site,
        controls=attempt.stretches[_during(attempt, window)].equipment.controls(
            plan.barometric_mmhg, plan.room_oxygen_frac
        ),
        mouth_share=body.mouth_share,
        since_s=_since_s(attempt, site),
    )
    return capnogram(window, now_s, seed, body._asdict(), plan.barometric_mmhg, line)


def _during(attempt: Attempt, window: Trace) -> int:
    """Which stretch of the equipment the last whole breath ended in."""
    if not window.breaths.rows:
        return -1
    ended_s = float(window.breaths["start_s"][-1] + window.breaths["duration_s"][-1])
    return max(0, bisect_left(attempt.stretches, ended_s, key=lambda stretch: stretch.from_s) - 1)


def _since_s(attempt: Attempt, site: str) -> float:
    """Since when the line has been where it is. [s]"""
    since_s = 0.0
    for stretch in reversed(attempt.stretches):
        if stretch.equipment.sampling_site != site:
            return since_s
        since_s = stretch.from_s
    return since_s
