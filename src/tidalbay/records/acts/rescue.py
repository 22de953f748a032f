"""A damaged acts.db: a copy kept aside, everything that can be read moved to a sound file, and a sentence."""

import hashlib
import os
import shutil
import sqlite3
import zlib
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from tidalbay.records.acts.act_file import sync, sync_folder
from tidalbay.records.acts.rows import LINE_AND_CHAIN, NO_CHAIN, attempt_row, chain
from tidalbay.records.acts.schema import STEPS, bring_up_to_date
from tidalbay.records.problem import StoreError

RESCUED: Final = "acts.rescued.db"
_SIDE_FILES: Final = ("-wal", "-shm")
_PAGE_BYTES: Final = tuple(2**power for power in range(9, 16))
_LONGEST_BYTES: Final = 2**36  # a header that says more is garbage itself


def damage_of(path: Path) -> str | None:
    """Look a file through: say in a few words what is wrong with it, or return None.

    Both the database's own structure and the chain of every attempt's lines are looked at.
    """
    connection = _open_untouched(path)
    try:
        (layout,) = connection.execute("PRAGMA user_version").fetchone()
        if layout > len(STEPS):
            return None  # of a newer program, which is not for us to judge
        (found,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if found != "ok":
            return " ".join(str(found).split()).strip("* ")
        if connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'entry'").fetchone():
            return _broken_chain(connection)
    except sqlite3.DatabaseError as problem:
        if getattr(problem, "sqlite_errorcode", 0) & 0xFF not in (
            sqlite3.SQLITE_CORRUPT,
            sqlite3.SQLITE_NOTADB,
        ):
            raise
        return str(problem)
    finally:
        connection.close()
    return None


def rescue(path: Path, damage: str) -> str:
    """Put a sound file in the place of a damaged one, and return a sentence that says what became of it.

    Of every attempt the entries up to the first that cannot be read are kept.

    Raises
    ------
    StoreError
        If nothing at all can be read; the file is left as it is.
    """
    with _lengthened_copy(path) as copy:
        found = _Found(copy)
    if not found.entries:
        raise StoreError(
            f"{path}  is damaged ({damage}) and nothing in it can be read. It was left as it is. Put a copy"
            " that was kept elsewhere in its place; or move it away, and the server begins with no attempts."
        )
    aside = _copy_aside(path)
    part = path.with_name("acts.rescue-part.db")
    part.unlink(missing_ok=True)
    _write(part, found)
    sync(part)
    part.replace(path.with_name(RESCUED))
    sync_folder(path.parent)
    take_rescued(path)
    return (
        f"{path.name} was damaged ({damage}). {found.told()}"
        f" The damaged file is kept beside it as {aside.name}."
    )


def take_rescued(path: Path) -> None:
    """Move a rescued file to its place, where one waits: a crash may have come between."""
    rescued = path.with_name(RESCUED)
    if not rescued.exists():
        return
    for ending in _SIDE_FILES:  # pages of the damaged file; they must not be laid over the sound one
        path.with_name(path.name + ending).unlink(missing_ok=True)
    sync_folder(path.parent)
    os.replace(rescued, path)
    sync_folder(path.parent)


class _Found:
    """What can be read of a damaged file."""

    def __init__(self, path: Path) -> None:
        connection = _open_untouched(path)
        try:
            self.attempts = {row[1]: row for row in _readable(connection, "attempt", "began", "*")}
            self.clocks = list(_readable(connection, "clock", "rowid", "attempt, t_ms, state"))
            self.traces = [
                row
                for row in _readable(connection, "shown_trace", "rowid", "attempt, sha256, packed")
                if _is_whole(*row)
            ]
            columns = f"arrived, attempt, n, t_ms, screen, counter, {LINE_AND_CHAIN}"
            rows = sorted(
                {row[0]: row for row in _readable(connection, "entry", "arrived", columns)}.values()
            )
        finally:
            connection.close()
        self.entries: list[tuple[Any, ...]] = []
        self.lost: dict[str, int] = defaultdict(int)
        links: dict[str, tuple[int, bytes]] = defaultdict(lambda: (0, NO_CHAIN))
        for row in rows:
            _, attempt, n, _, _, _, line, kept = row
            last_n, link = links[attempt]
            if attempt not in self.lost and n == last_n + 1 and chain(link, line) == kept:
                links[attempt] = (n, kept)
                self.entries.append(row)
            else:
                self.lost[attempt] += 1
        self.kept_of = {attempt: n for attempt, (n, _) in links.items() if n}
        for attempt, row in self._first_lines():
            self.attempts.setdefault(attempt, row)

    def told(self) -> str:
        """Say what was read and what was not."""
        words = f"{_count(len(self.entries), 'entry', 'entries')} of {_count(len(self.kept_of), 'attempt')}"
        words += f" {'was' if len(self.entries) == 1 else 'were'} read from it and stand."
        for attempt in self.lost:
            words += f" Attempt {attempt} stands up to entry {self.kept_of.get(attempt, 0)}, not beyond."
        return words

    def _first_lines(self) -> Iterator[tuple[str, tuple[Any, ...]]]:
        """Yield a row for every attempt that is known by its first entry alone."""
        for _, attempt, n, _, _, _, line, _ in self.entries:
            if n == 1 and attempt not in self.attempts:
                yield attempt, (None, *attempt_row(attempt, line))


def _open_untouched(path: Path) -> sqlite3.Connection:
    """Open a file so that looking does not change it: nothing waiting in its log is laid over it."""
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None, timeout=5.0)


@contextmanager
def _lengthened_copy(path: Path) -> Iterator[Path]:
    """Copy a file to read from, as long as it says it is: without its last pages it would not be opened."""
    copy = path.with_name("acts.rescue-read.db")
    try:
        _copy(path, copy)
        with copy.open("r+b") as file:
            head = file.read(32)
            page_bytes, pages = int.from_bytes(head[16:18], "big"), int.from_bytes(head[28:32], "big")
            if page_bytes in _PAGE_BYTES and copy.stat().st_size < page_bytes * pages < _LONGEST_BYTES:
                file.truncate(page_bytes * pages)
        yield copy
    finally:
        for ending in ("", *_SIDE_FILES):
            copy.with_name(copy.name + ending).unlink(missing_ok=True)


def _copy(path: Path, to: Path) -> None:
    for ending in ("-wal", ""):  # the file itself last: no crash leaves half a copy under its name
        source = path.with_name(path.name + ending)
        if source.exists():
            target = to.with_name(to.name + ending)
            shutil.copyfile(source, target)
            sync(target)


def _copy_aside(path: Path) -> Path:
    number = 1
    while (aside := path.with_name(f"acts.damaged-{number}.db")).exists():
        number += 1
    _copy(path, aside)
    sync_folder(path.parent)
    return aside


def _readable(
    connection: sqlite3.Connection, table: str, key: str, columns: str
) -> Iterator[tuple[Any, ...]]:
    """Yield the rows of a table that can be read, from its beginning and then from its end."""
    for direction in ("ASC", "DESC"):
        try:
            yield from connection.execute(
                f"SELECT {columns} FROM {table} NOT INDEXED ORDER BY {key} {direction}"
            )
        except sqlite3.DatabaseError:
            continue
        return


def _write(path: Path, found: _Found) -> None:
    connection = sqlite3.connect(path, isolation_level=None)
    try:
        bring_up_to_date(connection, path)
        connection.execute("BEGIN")
        connection.executemany("INSERT INTO attempt VALUES (?, ?, ?, ?, ?, ?, ?)", found.attempts.values())
        connection.executemany("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?, ?, ?)", found.entries)
        connection.executemany("INSERT OR IGNORE INTO clock VALUES (?, ?, ?)", found.clocks)
        connection.executemany("INSERT OR IGNORE INTO shown_trace VALUES (?, ?, ?)", found.traces)
        connection.execute("COMMIT")
    finally:
        connection.close()


def _broken_chain(connection: sqlite3.Connection) -> str | None:
    links: dict[str, bytes] = {}
    for attempt, n, line, kept in connection.execute(
        f"SELECT attempt, n, {LINE_AND_CHAIN} FROM entry ORDER BY arrived"
    ):
        links[attempt] = chain(links.get(attempt, NO_CHAIN), line)
        if links[attempt] != kept:
            return f"entry {n} of attempt {attempt} is not what was written"
    return None


def _is_whole(attempt: str, sha256: str, packed: bytes) -> bool:
    try:
        return hashlib.sha256(zlib.decompress(packed)).hexdigest() == sha256
    except zlib.error:
        return False


def _count(number: int, one: str, many: str = "") -> str:
    return f"{number} {one if number == 1 else many or one + 's'}"
