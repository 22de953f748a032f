"""What a station tells its pages: messages in plain values, and of each only what the role may receive.

An attempt and what was found in it come in; dictionaries ready for JSON go out. No message is made anywhere
else, and every field passes the one allow-list of the bedside.
"""

from tidalbay.live.wire.at_hand import every_fault, faults_at_hand
from tidalbay.live.wire.introduced import introduction
from tidalbay.live.wire.moment import Moment, moment_of
from tidalbay.live.wire.plausible import plausible_acts, plausible_states
from tidalbay.live.wire.told_entries import entries_message, entry_shown
from tidalbay.live.wire.told_marks import marks_message, marks_shown, steps_shown
from tidalbay.live.wire.told_verdicts import verdicts_message, verdicts_told

__all__ = [
    "Moment",
    "entries_message",
    "entry_shown",
    "every_fault",
    "faults_at_hand",
    "introduction",
    "marks_message",
    "marks_shown",
    "moment_of",
    "plausible_acts",
    "plausible_states",
    "steps_shown",
    "verdicts_message",
    "verdicts_told",
]
