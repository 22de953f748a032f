"""Attempts that were played once for all tests of the report, and marks put beside them."""

from functools import cache

import tidalbay
from tidalbay.engine import compile_now
from tidalbay.report import debrief_of, skin_each_minute
from tidalbay.trace import Log, Mark

CASES = sorted(tidalbay.demonstrations())
PATHS = ("good", "tempting")


@cache
def played(case="post-operative", path="good", mode="formative"):
    """The attempt, ended, and its trace."""
    compile_now()
    found = tidalbay.load_case(case)
    playing = tidalbay.play(found, path, mode=mode)
    playing.run_to(60.0 * found.minutes)
    playing.end()
    return playing.attempt, playing.trace()


@cache
def debrief(case="post-operative", path="good", mode="formative"):
    attempt, trace = played(case, path, mode)
    return debrief_of(attempt.log, trace, skin_each_minute(attempt))


def marked(log, *marks):
    """The same log with marks behind it: (kind, about, values)."""
    longer = Log(log.entries)
    t_ms = log.entries[-1].t_ms
    for kind, about, values in marks:
        longer.append(
            Mark(n=longer.next_n, t_ms=t_ms, kind=kind, rater="checker", about=about, values=values)
        )
    return longer
