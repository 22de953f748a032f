"""Which attempt at an assessment one is for its learner, counted from what is kept."""

import sqlite3
from collections.abc import Sequence
from typing import Final

COUNTED_MODE: Final = "summative"
_NOBODY: Final = ("station", "instructor", "script")  # who begins an attempt that is no learner's

_LINE: Final = "CAST(line AS TEXT)"
_WHOSE: Final = f"""
    SELECT case_id, mode, began, (SELECT json_extract({_LINE}, '$.by') FROM entry
        WHERE entry.attempt = attempt.id AND n = 1)
    FROM attempt WHERE id = ?
"""
# One that nobody touched before it made room for another holds its first entry and its end alone.
_BEFORE: Final = f"""
    SELECT (SELECT json_extract({_LINE}, '$.values.why') FROM entry
        WHERE entry.attempt = attempt.id AND json_extract({_LINE}, '$.kind') = 'attempt_ended')
    FROM attempt JOIN clock ON clock.attempt = attempt.id AND clock.state = 'ended'
    WHERE case_id = ? AND mode = ? AND began < ?
        AND (SELECT json_extract({_LINE}, '$.by') FROM entry WHERE entry.attempt = attempt.id AND n = 1) = ?
        AND (SELECT count(*) FROM entry WHERE entry.attempt = attempt.id) > 2
"""


def turn_of(connection: sqlite3.Connection, attempt: str, costs_nothing: Sequence[str]) -> int | None:
    """Count the learner's earlier assessments on the same case that ended and cost an attempt, and this one.

    None for an attempt that is no assessment, is nobody's, or is not kept here.
    """
    row = connection.execute(_WHOSE, (attempt,)).fetchone()
    if row is None:
        return None
    case_id, mode, began, by = row
    if mode != COUNTED_MODE or by in _NOBODY:
        return None
    ends = [why for (why,) in connection.execute(_BEFORE, (case_id, mode, began, by))]
    return 1 + sum(1 for why in ends if why not in costs_nothing)
