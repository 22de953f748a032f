"""The clock of one station: real time in, the attempt's milliseconds out."""

import time
from collections.abc import Callable
from math import inf
from typing import Any, Final

MOST_AT_ONCE_S: Final = 2.0  # real time that may pass between two looks before the rest is given up
FASTEST: Final = 60


class StationClock:
    """Counts the attempt's time while it goes; real time is read from a counter that never jumps.

    A computer that slept, or was too busy to look for longer than `MOST_AT_ONCE_S`, does not make
    the patient live through it: the time beyond is lost, and `take_lost_s` says how much.

    Parameters
    ----------
    wall : callable
        Seconds of real time from any origin, rising. [s]
    at_ms : int
        Where it stands. [ms]
    """

    def __init__(self, wall: Callable[[], float] = time.monotonic, at_ms: float = 0) -> None:
        """Begin standing still."""
        self._wall = wall
        self._at_ms = float(at_ms)
        self._looked_s = wall()
        self._goes = False
        self._holds = 0
        self._lost_s = 0.0
        self._owed_s = 0.0  # gone by while the disk was waited for
        self._until_ms = inf
        self.times = 1

    @property
    def goes(self) -> bool:
        """Whether time passes, or would if the disk were not waited for."""
        return self._goes

    @property
    def until_ms(self) -> float:
        """Where it will stand still by itself; inf if nowhere. [ms]"""
        return self._until_ms

    def now_ms(self) -> int:
        """The attempt's time, whole milliseconds, never less than before. [ms]"""
        wall_s = self._wall()
        passed_s = max(0.0, wall_s - self._looked_s)
        self._looked_s = wall_s
        if self._goes and self._holds:
            self._owed_s += passed_s
        elif self._goes:
            self._count(passed_s)
        return int(self._at_ms)

    def go(self, until_ms: float = inf) -> None:
        """Let time pass, up to a moment. [ms]"""
        self.now_ms()
        self._goes, self._until_ms = True, until_ms

    def stop(self) -> None:
        """Stand still."""
        self.now_ms()
        self._goes, self._until_ms = False, inf

    def pace(self, times: int) -> None:
        """Let time pass so many times as fast, 1 to `FASTEST`."""
        self.now_ms()
        self.times = times

    def set_to(self, at_ms: float) -> None:
        """Move on to a later moment. [ms]"""
        self._at_ms = max(float(self.now_ms()), float(at_ms))
        self._owed_s = 0.0  # the wait was for this

    def hold(self) -> None:
        """Stand still for as long as the disk is waited for; `release` makes up for it."""
        self.now_ms()
        self._holds += 1

    def release(self) -> None:
        """Go on, and make up for the wait: acts must not slow the patient's time down."""
        self.now_ms()
        self._holds -= 1
        if not self._holds:
            owed_s, self._owed_s = self._owed_s, 0.0
            if self._goes:
                self._count(owed_s)

    def take_lost_s(self) -> float:
        """Real time given up since this was last asked. [s]"""
        lost_s, self._lost_s = self._lost_s, 0.0
        return lost_s

    def in_real_s(self, at_ms: float) -> float:
        """Real time until the clock reaches a moment; inf while it stands still. [s]"""
        if not self._goes or self._holds:
            return inf
        return max(0.0, (at_ms - self._at_ms) / (1000.0 * self.times))

    def _count(self, passed_s: float) -> None:
        """Let real time become the attempt's, all but what is too much at once. [s]"""
        counted_s = min(passed_s, MOST_AT_ONCE_S)
        self._lost_s += passed_s - counted_s
        self._at_ms = min(self._at_ms + 1000.0 * counted_s * self.times, max(self._until_ms, self._at_ms))

    def told(self, state: str) -> dict[str, Any]:
        """The clock as messages carry it."""
        return {"t_ms": self.now_ms(), "times": self.times, "state": state}
