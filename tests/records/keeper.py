"""A small server to watch and to kill: python -m tests.records.keeper FOLDER THREADS TAPS [PLANTED]

Each thread appends taps to an attempt of its own and says in one system call which tap was confirmed
(`CONFIRMED tablet-0 7`) or refused.  PLANTED names a fault to build in, for the checks that must see it:
`confirms-first` settles futures before the commit, `relaxed` does not sync at every commit.
"""

import os
import sys
import threading
import time
from pathlib import Path

from tests.records.attempts import SOON_S, act, first

from tidalbay.records import ActStore, StoreError
from tidalbay.records.acts import act_store
from tidalbay.records.acts.writer import Waiting, Writer
from tidalbay.trace import Key, Receipt


class ConfirmsFirst(Writer):
    """The fault that no kill of a process can show: the page cache outlives the process."""

    def _write(self, group, marks):
        for waiting in group:
            waiting.future.set_result((Receipt(1, 0),))
        time.sleep(0.05)
        super()._write([Waiting(waiting.job) for waiting in group], marks)


def plant(fault: str) -> None:
    if fault == "confirms-first":
        act_store.Writer = ConfirmsFirst
    elif fault == "relaxed":
        honest = act_store.open_for_writing

        def relaxed(path):
            connection = honest(path)
            connection.execute("PRAGMA synchronous = NORMAL")
            return connection

        act_store.open_for_writing = relaxed
    else:
        raise ValueError(fault)


def say(*words: object) -> None:
    os.write(1, (" ".join(str(word) for word in words) + "\n").encode())


def keep(store: ActStore, thread: int, taps: int) -> None:
    attempt, screen = f"a-{thread}", f"tablet-{thread}"
    next_n = 2
    if attempt in {stored.id for stored in store.open_attempts()}:
        next_n = len(store.log(attempt)) + 1
    else:
        store.begin(attempt, f"s{thread}", [first()]).result(SOON_S)
    for n in range(next_n, next_n + taps):
        tap = act(n, n * 100, key=Key(screen, n), values={"flow_lpm": 4.0})
        try:
            store.append(attempt, [tap]).result(SOON_S)
        except StoreError as refusal:
            say("REFUSED", screen, n, refusal)
            return
        say("CONFIRMED", screen, n)
        store.mark_clock(attempt, n * 100, "running")


def main(folder: str, threads: str, taps: str, fault: str = "") -> None:
    if fault:
        plant(fault)
    store = ActStore.open(Path(folder))
    keepers = [threading.Thread(target=keep, args=(store, i, int(taps))) for i in range(int(threads))]
    for keeper in keepers:
        keeper.start()
    for keeper in keepers:
        keeper.join()
    store.close()


if __name__ == "__main__":
    main(*sys.argv[1:])
