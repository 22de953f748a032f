"""Stations in time: a clock, a log and a set of listeners around one attempt at a time.

Acts, marks and words to the clock come in from pages and scripts, and are on the disk before they are
confirmed.  What goes out are numbered messages, one for each breath, and of each only what a role may
receive.

Public names: `Lab`, `Station`, `ActSaid`, `MarkSaid`, `ClockSaid`, `Who`, `act_said`, `mark_said`,
`clock_said`, `is_whose`, `StationRefused`, `CLOCK_DOES`, `BY_LEARNER_ASSESSED`, `Keeper`, `compiled_soon`.
"""

from tidalbay.live.hands.rules import BY_LEARNER_ASSESSED
from tidalbay.live.hands.said import (
    CLOCK_DOES,
    ActSaid,
    ClockSaid,
    MarkSaid,
    StationRefused,
    Who,
    act_said,
    clock_said,
    is_whose,
    mark_said,
)
from tidalbay.live.lab import Lab
from tidalbay.live.station import Station
from tidalbay.live.store import Keeper
from tidalbay.live.warming import compiled_soon

__all__ = [
    "BY_LEARNER_ASSESSED",
    "CLOCK_DOES",
    "ActSaid",
    "ClockSaid",
    "Keeper",
    "Lab",
    "MarkSaid",
    "Station",
    "StationRefused",
    "Who",
    "act_said",
    "clock_said",
    "compiled_soon",
    "is_whose",
    "mark_said",
]
