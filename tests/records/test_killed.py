"""kill -9 at random moments: whatever was confirmed is there.  `benchmarks/kills.py` does it 200 times."""

import random
import subprocess
import sys

from tests.records.keeping import environment, killed_while_keeping, missing, some_moment_s

from tidalbay.records import ActStore
from tidalbay.records.acts.writer import MARKS_APART_S

TIMES = 6

MARK_FOR_EVER = """
import itertools, sys, time
from pathlib import Path
from tests.records.attempts import begun
store = begun(Path(sys.argv[1]))
for t_ms in itertools.count():
    store.mark_clock("a-1", t_ms, "running")
    print(t_ms, flush=True)
    time.sleep(0.001)
"""


def test_a_killed_server_loses_nothing_that_it_confirmed(tmp_path):
    chance = random.Random()
    taps = []
    for _ in range(TIMES):
        taps += killed_while_keeping(tmp_path, threads=3, after_s=some_moment_s(chance))

        assert missing(tmp_path, taps) == []
    assert len(taps) > 10 * TIMES


def test_a_clock_is_never_older_than_two_marks_apart(tmp_path):
    """Here a millisecond of the clock is one of the wall at most, so milliseconds bound what is lost."""
    child = subprocess.Popen(
        [sys.executable, "-c", MARK_FOR_EVER, str(tmp_path)],
        env=environment(),
        stdout=subprocess.PIPE,
        text=True,
    )
    assert child.stdout is not None
    for line in child.stdout:
        last_ms = int(line)
        if last_ms >= 1.4 * MARKS_APART_S * 1_000:
            break
    child.kill()
    child.stdout.close()
    child.wait()

    store = ActStore.open(tmp_path)
    (stored,) = store.open_attempts()
    store.close()

    assert MARKS_APART_S <= 2.0
    assert stored.state == "running"
    assert stored.t_ms > 0
    assert last_ms - stored.t_ms <= MARKS_APART_S * 1_000
