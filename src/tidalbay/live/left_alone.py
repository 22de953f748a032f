"""Whether everybody has left a station whose patient breathes on: then there is nobody to breathe for."""

from collections.abc import Callable
from typing import Final

AFTER_S: Final = 1800.0
# An assessment goes on: its tablet may only have lost the network, and its time is the same for everyone.
MAY_WAIT: Final = ("demonstration", "practice")
WORDS: Final = (
    "Nobody has looked at this station for half an hour, so its patient waits. Let time go on when somebody "
    "is here."
)


class LeftAlone:
    """Counts real time since a screen was connected or somebody acted.

    Parameters
    ----------
    wall : callable
        A counter of real seconds that never jumps. [s]
    """

    def __init__(self, wall: Callable[[], float]) -> None:
        """Begin as if somebody had just been here."""
        self._wall = wall
        self._seen_s = wall()

    def seen(self) -> None:
        """Somebody is here."""
        self._seen_s = self._wall()

    def is_so(self, mode: str, has_listeners: bool) -> bool:
        """Whether a running station in this mode has been left."""
        if has_listeners:
            self.seen()
        return mode in MAY_WAIT and self._wall() - self._seen_s >= AFTER_S
