"""The eyes that watch for syncs are looked at themselves: lines as strace prints them, in every order."""

import pytest
from tests.records.system_calls import confirmed_too_early

WRITE = r'11  pwrite64(4<folder/acts.db-wal>, "\0\r{\"n\":7,\"key\":[\"tablet-0\",7]}\n", 4096, 32) = 4096'
SYNC = "11  fdatasync(4<folder/acts.db-wal>) = 0"
BEGINS = "11  fdatasync(4<folder/acts.db-wal> <unfinished ...>"
COMES_BACK = "11  <... fdatasync resumed>) = 0"
SAYS = r'12  write(1<pipe:[5]>, "CONFIRMED tablet-0 7\n", 21) = 21'


@pytest.mark.parametrize(
    "lines", [[WRITE, SYNC, SAYS], [WRITE, BEGINS, COMES_BACK, SAYS], [SYNC, WRITE, SYNC, SAYS]]
)
def test_a_sync_that_came_back_after_the_write_counts(lines):
    assert confirmed_too_early(lines) == (1, [])


@pytest.mark.parametrize(
    ("lines", "state"),
    [
        ([SAYS, WRITE, SYNC], "not even written"),
        ([SYNC, SAYS], "not even written"),
        ([WRITE, SAYS, SYNC], "written and not synced"),
        ([SYNC, WRITE, SAYS], "written and not synced"),
        ([WRITE, BEGINS, SAYS, COMES_BACK], "written and not synced"),
        ([BEGINS, WRITE, COMES_BACK, SAYS], "written and not synced"),
        ([WRITE, SYNC.replace("= 0", "= -1 EIO"), SAYS], "written and not synced"),
        ([WRITE, BEGINS, COMES_BACK.replace("= 0", "= -1 EIO"), SAYS], "written and not synced"),
        ([WRITE, SYNC.replace("acts.db-wal", "acts.db"), SAYS], "written and not synced"),
    ],
)
def test_anything_less_does_not(lines, state):
    assert confirmed_too_early(lines) == (1, [f"tablet-0 7 was confirmed and {state}"])
