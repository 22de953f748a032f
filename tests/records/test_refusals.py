"""A disk, a folder or another program that refuses: a sentence, and nothing that was kept is lost."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from tests.records.attempts import SOON_S, act, begun, first, tap
from tests.records.keeping import environment

from tidalbay.records import ActStore, StoreError

HOLD = """
import sys, time
from pathlib import Path
from tidalbay.records import ActStore
store = ActStore.open(Path(sys.argv[1]))
print("open", flush=True)
sys.stdin.read()
"""

OPEN_WITHOUT_RIGHTS = """
import os, sys
from pathlib import Path
from tidalbay.records import ActStore, StoreError
if os.geteuid() == 0:
    os.setuid(65534)  # whoever may do everything is refused nothing
try:
    ActStore.open(Path(sys.argv[1]))
except StoreError as refusal:
    print(refusal)
"""

FILL_A_SHORT_FILE = """
import resource, sys
from pathlib import Path
from tests.records.attempts import SOON_S, act, begun
from tidalbay.records import StoreError
store = begun(Path(sys.argv[1]))
resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
for n in range(2, 1_000):
    try:
        store.append("a-1", [act(n, n)]).result(SOON_S)
    except StoreError as refusal:
        print(refusal)
        break
    kept = n
print(kept, store.trouble is not None)
"""


def refusal(folder: Path) -> str:
    with pytest.raises(StoreError) as problem:
        ActStore.open(folder)
    return str(problem.value)


def child(code: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code, str(folder)],
        env=environment(),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )


def test_a_full_database_refuses_one_batch_and_takes_the_next(tmp_path):
    store = begun(tmp_path)
    connection = store._writer._pen.connection
    (pages,) = connection.execute("PRAGMA page_count").fetchone()
    connection.execute(f"PRAGMA max_page_count = {pages + 1}")
    large = act(2, values={"note": "x" * 40_000})

    refused, taken = store.append("a-1", [large]), store.append("a-1", [tap(2, 0)])

    with pytest.raises(StoreError, match=r"acts\.db  the disk is full\. This was not kept; all that was"):
        refused.result(SOON_S)
    assert taken.result(SOON_S)[0].n == 2
    assert store.trouble is None  # it takes something again
    connection.execute("PRAGMA max_page_count = 1000000")
    assert store.append("a-1", [act(3, values={"note": "x" * 40_000})]).result(SOON_S)[0].n == 3
    assert len(store.log("a-1")) == 3
    store.close()


@pytest.mark.skipif(os.name == "nt", reason="this system has no limit on the length of a file")
def test_a_file_that_may_grow_no_further_keeps_what_it_has(tmp_path):
    sentence, last = child(FILL_A_SHORT_FILE, tmp_path).stdout.splitlines()

    kept, is_troubled = last.split()
    assert (
        "the disk refused (disk I/O error). This was not kept; all that was confirmed before it is."
        in sentence
    )
    assert is_troubled == "True"
    store = ActStore.open(tmp_path)
    assert len(store.log("a-1")) == int(kept)
    store.close()


@pytest.mark.skipif(os.name == "nt", reason="rights are asked of in another way on this system")
@pytest.mark.parametrize("what", ["folder", "file", "a place for the folder"])
def test_a_read_only_place_is_said(what):
    # Not the usual place for tests: others may not even look into that one.
    folder = Path(tempfile.mkdtemp())
    try:
        begun(folder).close()
        before = (folder / "acts.db").read_bytes()
        (folder / "acts.db").chmod(0o444)
        (folder / "server.lock").chmod(0o666)
        folder.chmod(0o777 if what == "file" else 0o555)
        asked = folder / "data" if what == "a place for the folder" else folder

        said = child(OPEN_WITHOUT_RIGHTS, asked).stdout

        assert "cannot be written: the folder or the file is read-only. Give this account the right" in said
        assert str(asked) in said
        assert (folder / "acts.db").read_bytes() == before
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


def test_a_file_in_the_place_of_the_folder_is_said(tmp_path):
    (tmp_path / "data").write_text("not a folder")

    assert "data  the disk refused (File exists)" in refusal(tmp_path / "data")


def test_two_servers_in_one_folder_and_the_lock_dies_with_its_process(tmp_path):
    server = subprocess.Popen(
        [sys.executable, "-c", HOLD, str(tmp_path)],
        env=environment(),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert server.stdout is not None
    assert server.stdin is not None
    assert server.stdout.readline() == "open\n"

    sentence = refusal(tmp_path)

    assert sentence == (
        f"{tmp_path}  another server works in this folder (process {server.pid}). Use that one, stop it, or"
        " name another folder with --data."
    )
    server.send_signal(signal.SIGKILL if os.name != "nt" else signal.SIGTERM)
    server.wait()
    server.stdin.close()
    server.stdout.close()
    ActStore.open(tmp_path).close()


def test_one_process_does_not_open_a_folder_twice(tmp_path):
    store = ActStore.open(tmp_path)

    assert f"(process {os.getpid()}, this one)" in refusal(tmp_path / "." / "")
    store.close()
    ActStore.open(tmp_path).close()


def test_a_file_of_a_newer_program_is_left_as_it_is(tmp_path):
    begun(tmp_path).close()
    connection = sqlite3.connect(tmp_path / "acts.db")
    connection.executescript("PRAGMA user_version = 99; ALTER TABLE entry RENAME TO entry_of_tomorrow")
    connection.close()
    before = (tmp_path / "acts.db").read_bytes()

    sentence = refusal(tmp_path)

    assert "acts.db  was written by a newer Tidalbay (layout 99; this one knows up to 1)." in sentence
    assert (tmp_path / "acts.db").read_bytes() == before


def test_another_program_that_holds_the_file_is_waited_for_and_then_named(tmp_path, monkeypatch):
    store = begun(tmp_path)
    store._writer._pen.connection.execute("PRAGMA busy_timeout = 50")
    other = sqlite3.connect(tmp_path / "acts.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")

    with pytest.raises(StoreError, match="another program holds the file"):
        store.append("a-1", [tap(2, 0)]).result(SOON_S)
    other.execute("ROLLBACK")
    other.close()
    assert store.append("a-1", [tap(2, 0)]).result(SOON_S)[0].n == 2
    store.close()


def test_a_wall_clock_that_jumps_back_changes_no_order(tmp_path):
    hours = iter([2_000_000_000_000, 1_000_000_000_000, 1_500_000_000_000])
    store = ActStore.open(tmp_path, now_utc_ms=lambda: next(hours))
    for i in (3, 2, 1):
        store.begin(f"a-{i}", "s1", [first()])
        store.append(f"a-{i}", [tap(2, 0), tap(3, 1)]).result(SOON_S)

    assert [stored.id for stored in store.open_attempts()] == ["a-3", "a-2", "a-1"]
    assert [entry.n for entry in store.log("a-1")] == [1, 2, 3]
    store.close()


def test_a_fault_in_one_job_leaves_the_writer_working(tmp_path):
    store = begun(tmp_path)

    with pytest.raises(StoreError, match="could not be written"):
        store._writer.submit(lambda pen: 1 / 0).result(SOON_S)

    assert store.append("a-1", [tap(2, 0)]).result(SOON_S)[0].n == 2
    store.close()
