"""Proof that an entry is on the disk before it is confirmed, in the system calls themselves.

Killing a process cannot show it: what the process wrote outlives it in the page cache.  So the calls
are watched, and two builds with the fault planted must be caught by the same eyes.
"""

import pytest
from tests.needs import needs
from tests.records.keeping import command, confirmed, missing, under_strace
from tests.records.system_calls import WATCHED, confirmed_too_early

THREADS, TAPS = 3, 6


def watched(folder, *fault):
    told = folder / "calls"
    under_strace(told, WATCHED, command(folder / "data", THREADS, TAPS, *fault))
    return confirmed_too_early(told.read_text(errors="replace").splitlines())


@needs("strace")
def test_every_entry_is_synced_before_it_is_confirmed(tmp_path):
    count, faults = watched(tmp_path)

    assert count == THREADS * TAPS
    assert faults == []


@needs("strace")
@pytest.mark.parametrize(
    ("fault", "words"), [("confirms-first", "not even written"), ("relaxed", "written and not synced")]
)
def test_a_build_that_confirms_too_early_is_caught(tmp_path, fault, words):
    count, faults = watched(tmp_path, fault)

    assert count == THREADS * TAPS
    assert any(words in fault for fault in faults)


@needs("strace")
def test_a_full_disk_is_a_sentence_and_what_was_confirmed_stays(tmp_path):
    """The disk has no room for a while: what comes meanwhile is refused, what comes after is taken."""
    folder = tmp_path / "data"
    said = under_strace(tmp_path / "calls", [], command(folder, 1, 3))
    full = [
        "-e",
        "trace=pwrite64",
        "-P",
        str(folder / "acts.db-wal"),
        "-e",
        "inject=pwrite64:error=ENOSPC:when=40+",
    ]
    said += under_strace(tmp_path / "calls", full, command(folder, 1, 20))
    said += under_strace(tmp_path / "calls", [], command(folder, 1, 3))

    refused = [line for line in said if line.startswith("REFUSED")]
    assert len(refused) == 1
    assert "the disk is full. This was not kept; all that was confirmed before it is." in refused[0]
    assert 6 < len(confirmed(said)) < 26
    assert missing(folder, confirmed(said)) == []
    number = int(refused[0].split()[2])
    assert f"CONFIRMED tablet-0 {number}" in said  # by the next server, under the same number


@needs("strace")
def test_a_sync_that_fails_confirms_nothing_and_nothing_more_is_taken(tmp_path):
    """A second sync that succeeds proves nothing about what came before it."""
    folder = tmp_path / "data"
    said = under_strace(tmp_path / "calls", [], command(folder, 2, 3))
    failing = [
        "-e",
        "trace=fdatasync",
        "-P",
        str(folder / "acts.db-wal"),
        "-e",
        "inject=fdatasync:error=EIO:when=5",
    ]
    said += under_strace(tmp_path / "calls", failing, command(folder, 2, 20))

    refused = [line for line in said if line.startswith("REFUSED")]
    assert len(refused) == 2  # both threads, though only one sync failed
    assert all("the disk did not confirm a write" in line for line in refused)
    assert missing(folder, confirmed(said)) == []
