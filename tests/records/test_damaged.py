"""A file that the disk, a crash or a person has spoilt: what was confirmed stands, and a sentence says so."""

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from tests.records.attempts import SOON_S, act, begun, first, tap

from tidalbay.records import ActStore, StoreError

ENTRIES = 120  # with their lines some twenty pages

KEEP_AND_DIE = """
import os, signal, sys
from pathlib import Path
from tests.records.attempts import SOON_S, begun, tap
store = begun(Path(sys.argv[1]))
for n in range(2, 6):
    store.append("a-1", [tap(n, n)]).result(SOON_S)
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def kept(tmp_path):
    """A store with two attempts, closed: everything is in acts.db itself."""
    store = begun(tmp_path)
    store.begin("a-2", "s2", [first(seed=8)])
    for n in range(2, ENTRIES + 1):
        store.append("a-1", [act(n, n * 1_000, values={"flow_lpm": float(n)})])
        store.append("a-2", [act(n, n * 1_000, values={"flow_lpm": float(n)})])
    store.mark_clock("a-1", 130_000, "running")
    store.close()
    return tmp_path


@pytest.fixture
def killed(tmp_path):
    """A store whose server was killed: everything is in the write-ahead log, five entries in all."""
    child = subprocess.run(
        [sys.executable, "-c", KEEP_AND_DIE, str(tmp_path)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        check=False,
    )
    assert child.returncode == -signal.SIGKILL
    return tmp_path


def garble(path: Path, at: int, length: int) -> None:
    with path.open("r+b") as file:
        file.seek(at)
        file.write(os.urandom(length))


def page_of(path: Path, needle: bytes) -> int:
    """Where the page begins that holds some words."""
    return path.read_bytes().index(needle) // 4096 * 4096


def test_a_page_in_the_middle_costs_what_was_on_it_and_no_more(kept):
    path = kept / "acts.db"
    at = page_of(path, b'"n":90,')
    spoilt = path.read_bytes()[:at] + b"\xff" * 4096 + path.read_bytes()[at + 4096 :]
    path.write_bytes(spoilt)

    store = ActStore.open(kept)

    one, two = store.log("a-1"), store.log("a-2")
    assert 60 < len(one) < 90
    assert 60 < len(two) < 91
    assert [entry.n for entry in one] == list(range(1, len(one) + 1))
    assert store.notice is not None
    assert f"{len(one) + len(two)} entries of 2 attempts were read from it and stand." in store.notice
    assert f"Attempt a-1 stands up to entry {len(one)}, not beyond." in store.notice
    assert (kept / "acts.damaged-1.db").read_bytes() == spoilt
    assert [stored.station for stored in store.open_attempts()] == ["s1", "s2"]
    assert store.open_attempts()[0].t_ms == 130_000
    store.append("a-1", [act(len(one) + 1, 500_000)]).result(SOON_S)
    store.close()


def test_a_line_that_was_changed_is_found_though_the_database_is_sound(kept):
    connection = sqlite3.connect(kept / "acts.db")
    connection.execute(
        "UPDATE entry SET line = replace(line, '50.0', '15.0') WHERE attempt = 'a-1' AND n = 50"
    )
    connection.commit()
    connection.close()

    store = ActStore.open(kept)

    assert store.notice is not None
    assert "entry 50 of attempt a-1 is not what was written" in store.notice
    assert "Attempt a-1 stands up to entry 49, not beyond." in store.notice
    assert (len(store.log("a-1")), len(store.log("a-2"))) == (49, ENTRIES)
    store.close()


def test_a_file_that_lost_its_end_gives_what_is_left(kept):
    path = kept / "acts.db"
    os.truncate(path, path.stat().st_size // 4096 * 3 // 4 * 4096 + 100)

    store = ActStore.open(kept)

    assert store.notice is not None
    assert "acts.db was damaged" in store.notice
    assert len(store.log("a-1")) > 10
    store.close()
    sound = ActStore.open(kept)
    assert sound.notice is None
    sound.close()


@pytest.mark.parametrize("length", [16, 4096])
def test_a_file_that_cannot_be_read_at_all_is_left_as_it_is(kept, length):
    path = kept / "acts.db"
    garble(path, 0, length)
    spoilt = path.read_bytes()

    with pytest.raises(StoreError) as problem:
        ActStore.open(kept)

    assert "is damaged (file is not a database) and nothing in it can be read. It was left as it is." in str(
        problem.value
    )
    assert path.read_bytes() == spoilt
    path.rename(kept / "away.db")
    ActStore.open(kept).close()  # the lock was let go


def test_an_attempt_whose_own_row_is_gone_is_known_by_its_first_entry(kept):
    connection = sqlite3.connect(kept / "acts.db")
    connection.execute("DELETE FROM attempt WHERE id = 'a-2'")
    connection.execute("UPDATE entry SET chain = zeroblob(32) WHERE attempt = 'a-1' AND n = 7")
    connection.commit()
    connection.close()

    store = ActStore.open(kept)

    stored = {stored.id: stored for stored in store.open_attempts()}
    assert (stored["a-2"].case_id, stored["a-2"].mode, stored["a-2"].station) == (
        "post-operative",
        "formative",
        "",
    )
    store.close()


def test_a_rescue_cut_off_before_its_last_step_is_finished(kept):
    """The sound file waits under its own name; old pages must not be laid over it."""
    path = kept / "acts.db"
    path.rename(kept / "acts.rescued.db")
    path.write_bytes(b"damaged")
    (kept / "acts.db-wal").write_bytes(b"old pages")

    store = ActStore.open(kept)

    assert len(store.log("a-1")) == ENTRIES
    assert not (kept / "acts.rescued.db").exists()
    store.close()


@pytest.mark.parametrize("cut", [1, 24, 1_000, 4_000])
def test_a_torn_tail_of_the_write_ahead_log_costs_the_last_commit_only(killed, cut):
    """What a power cut leaves of a commit that was under way, never confirmed."""
    wal = killed / "acts.db-wal"
    os.truncate(wal, wal.stat().st_size - cut)

    store = ActStore.open(killed)

    assert [entry.n for entry in store.log("a-1")] == [1, 2, 3, 4]
    assert store.append("a-1", [tap(5, 5)]).result(SOON_S)[0].n == 5
    store.close()


def test_garbage_after_the_last_commit_costs_nothing(killed):
    with (killed / "acts.db-wal").open("ab") as file:
        file.write(os.urandom(5_000))

    store = ActStore.open(killed)

    assert [entry.n for entry in store.log("a-1")] == [1, 2, 3, 4, 5]
    store.close()
