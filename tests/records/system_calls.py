"""Reads what strace saw: which confirmed taps had been written to acts.db-wal, and synced, by then."""

import re

WATCHED = ["-e", "trace=fsync,fdatasync,write,pwrite64,pwritev", "-s", "70000"]

_WRITES = re.compile(r"^(\d+) +p?write(?:64|v)?\(\d+<[^>]*acts\.db-wal>")
_SYNC = re.compile(r"^(\d+) +f(?:data)?sync\(\d+<[^>]*acts\.db-wal>(\) += 0)?")
_SYNC_RESUMED = re.compile(r"^(\d+) +<\.\.\. f(?:data)?sync resumed>\) += 0")
_CONFIRMED = re.compile(r"^\d+ +write\(1<[^>]*>, \"CONFIRMED (\S+) (\d+)\\n\"")
_KEY = re.compile(r"\\\"key\\\":\[\\\"([^\\]+)\\\",(\d+)\]")  # as strace prints the JSON of a line


def confirmed_too_early(lines: list[str]) -> tuple[int, list[str]]:
    """Go through system calls in their order.

    Returns
    -------
    int, list of str
        How many taps were confirmed, and a sentence for each that was not yet written and synced.
    """
    written: set[tuple[str, str]] = set()
    syncing: dict[str, set[tuple[str, str]]] = {}
    synced: set[tuple[str, str]] = set()
    faults: list[str] = []
    count = 0
    for line in lines:
        if _WRITES.match(line):
            written |= set(_KEY.findall(line))
        elif (sync := _SYNC.match(line)) is not None:
            if sync[2]:
                synced |= written
            else:  # another thread was let in before it returned
                syncing[sync[1]] = set(written)
        elif (resumed := _SYNC_RESUMED.match(line)) is not None:
            synced |= syncing.pop(resumed[1], set())
        elif (said := _CONFIRMED.match(line)) is not None:
            count += 1
            tap = (said[1], said[2])
            if tap not in synced:
                state = "written and not synced" if tap in written else "not even written"
                faults.append(f"{said[1]} {said[2]} was confirmed and {state}")
    return count, faults
