"""Entries as rows: the line of JSON that a log file would hold, chained to the line before it."""

import hashlib
import json
import sqlite3
from typing import Any, Final

from tidalbay.catalogue import act_versions
from tidalbay.records.problem import StoreError
from tidalbay.trace import MARK_VERSIONS, Entry, Log, LogUnreadableError, Mark, entry_line, log_from_bytes

NO_CHAIN: Final = b"\0" * 32
# As bytes, whatever a hand may have made of them in the file.
LINE_AND_CHAIN: Final = "CAST(line AS BLOB), CAST(chain AS BLOB)"


def chain(before: bytes, line: bytes) -> bytes:
    """Return the link of a line: SHA-256 of the link before it and the line."""
    return hashlib.sha256(before + line).digest()


def check_kind(entry: Entry | Mark) -> None:
    """Refuse an entry that could be written and not be read again."""
    known = MARK_VERSIONS if isinstance(entry, Mark) else act_versions()
    if known.get(entry.kind) != entry.v:
        raise StoreError(
            f"entry {entry.n}: {entry.kind} in version {entry.v} is not in the catalogue of acts, so it could"
            " not be read again. Nothing was kept."
        )


def insert(connection: sqlite3.Connection, attempt: str, entries: tuple[Entry | Mark, ...]) -> None:
    """Write entries that a log has already taken."""
    link = _last_link(connection, attempt)
    rows = []
    for entry in entries:
        line = entry_line(entry)
        link = chain(link, line)
        screen, counter = entry.key if entry.key is not None else (None, None)
        rows.append((attempt, entry.n, entry.t_ms, screen, counter, line, link))
    connection.executemany(
        "INSERT INTO entry (attempt, n, t_ms, screen, counter, line, chain) VALUES (?, ?, ?, ?, ?, ?, ?)",
        rows,
    )


def read_log(connection: sqlite3.Connection, attempt: str) -> Log:
    """Read an attempt's log, or raise `StoreError`: no such attempt, changed on the disk, unreadable."""
    lines, link = [], NO_CHAIN
    rows = connection.execute(
        f"SELECT n, {LINE_AND_CHAIN} FROM entry WHERE attempt = ? ORDER BY n", (attempt,)
    )
    for n, line, kept in rows:
        link = chain(link, line)
        if link != kept:
            raise StoreError(
                f"attempt {attempt}: entry {n} is not what was written; the disk or a person has changed it."
                f" The {n - 1} entries before it stand. Restart the server to have them read out."
            )
        lines.append(line)
    if not lines:
        raise StoreError(f"attempt {attempt}: there is no such attempt in this folder.")
    try:
        return log_from_bytes(b"".join(lines), f"attempt {attempt}", act_versions()).log
    except LogUnreadableError as problem:
        raise StoreError(str(problem)) from None


def attempt_row(attempt: str, first_line: bytes) -> tuple[Any, ...]:
    """Return the row of an attempt of which only the log is known: no station, no parent, no hour."""
    said = json.loads(first_line)["values"]
    return attempt, "", None, str(said["case"].get("id", "")), said["mode"], 0


def _last_link(connection: sqlite3.Connection, attempt: str) -> bytes:
    row = connection.execute(
        "SELECT chain FROM entry WHERE attempt = ? ORDER BY n DESC LIMIT 1", (attempt,)
    ).fetchone()
    return bytes(row[0]) if row else NO_CHAIN
