"""One attempt as the store knows it, apart from its log."""

from dataclasses import dataclass
from typing import Final

STATES: Final = ("running", "paused", "ended")


@dataclass(frozen=True)
class StoredAttempt:
    """Where an attempt stands.

    Parameters
    ----------
    id, station : str
        Opaque ids.
    parent : str or None
        The attempt that this one branched from.
    case_id, mode : str
        As the first entry of the log says them.
    started_utc_ms : int
        Wall clock when it began, for people to read; it decides no order. [ms]
    t_ms : int
        The attempt's own clock: its last mark or its last entry, whichever is later. The truth may
        be later by as much as marks are apart. [ms]
    state : str
        One of `STATES`.
    """

    id: str
    station: str
    parent: str | None
    case_id: str
    mode: str
    started_utc_ms: int
    t_ms: int
    state: str
