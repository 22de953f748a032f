"""How often somebody may do something: buckets that fill at a rate and are emptied by doing."""

import time
from collections.abc import Callable
from dataclasses import dataclass
from math import ceil
from typing import Final

MOST_BUCKETS: Final = 4096


@dataclass(frozen=True)
class Bucket:
    """How much at once, and how much in the long run.

    Parameters
    ----------
    holds : float
        What may be done at once.
    a_second : float
        What comes back each second. [1/s]
    """

    holds: float
    a_second: float


class Rates:
    """Counts for one sort of doing, by whoever does it."""

    def __init__(self, bucket: Bucket, now_s: Callable[[], float] = time.monotonic) -> None:
        """Begin with full buckets; `now_s` gives seconds that only rise."""
        self._bucket = bucket
        self._now_s = now_s
        self._left: dict[str, tuple[float, float]] = {}  # what is left, and when that was so [s]

    def wait_s(self, who: str, amount: float = 1.0) -> int:
        """How long until `who` may do `amount`, in whole seconds; 0 for now. Nothing is counted. [s]"""
        missing = min(amount, self._bucket.holds) - self._filled(who)
        return max(0, ceil(missing / self._bucket.a_second))

    def count(self, who: str, amount: float = 1.0) -> None:
        """Count what was done; more than there was makes the wait longer, up to one whole bucket."""
        left = max(self._filled(who) - amount, -self._bucket.holds)
        self._left[who] = (left, self._now_s())
        if len(self._left) > MOST_BUCKETS:
            self._forget_full()

    def take(self, who: str, amount: float = 1.0) -> int:
        """Count it if it may be done now and return 0; else return how long to wait. [s]"""
        wait_s = self.wait_s(who, amount)
        if not wait_s:
            self.count(who, amount)
        return wait_s

    def _filled(self, who: str) -> float:
        left, at_s = self._left.get(who, (self._bucket.holds, self._now_s()))
        return min(self._bucket.holds, left + self._bucket.a_second * (self._now_s() - at_s))

    def _forget_full(self) -> None:
        emptiest = sorted(self._left, key=self._filled)[: MOST_BUCKETS // 2]
        self._left = {who: self._left[who] for who in emptiest}
