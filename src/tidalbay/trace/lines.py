"""The log as lines of JSON: one entry a line, read back whole, a torn tail tolerated and said."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tidalbay.trace.entry import Entry, Key
from tidalbay.trace.lifting import LIFTS, Lift, lifted
from tidalbay.trace.log import Log
from tidalbay.trace.mark import MARK_VERSIONS, Mark
from tidalbay.trace.values import plain

_ACT_FIELDS = ("n", "t_ms", "kind", "v", "by", "hands", "manner", "on", "seen_at_ms", "key", "values")
_MARK_FIELDS = ("n", "t_ms", "kind", "v", "rater", "about", "key", "values")


class LogUnreadableError(ValueError):
    """A log that cannot be replayed; the sentence names the file, the line and the kind."""


@dataclass(frozen=True)
class ReadLog:
    """A log as it was read, and a sentence about its end if that was torn off."""

    log: Log
    torn: str | None


def log_bytes(log: Log) -> bytes:
    """Return the log as lines of JSON, UTF-8."""
    return b"".join(entry_line(entry) for entry in log)


def write_log(path: Path | str, log: Log) -> None:
    """Write the log as lines of JSON."""
    Path(path).write_bytes(log_bytes(log))


def read_log(
    path: Path | str, kinds: Mapping[str, int], lifts: Mapping[tuple[str, int], Lift] = LIFTS
) -> ReadLog:
    """Read a log from a file; see `log_from_bytes`."""
    try:
        data = Path(path).read_bytes()
    except FileNotFoundError:
        raise LogUnreadableError(f"{path}  there is no such file.") from None
    except IsADirectoryError:
        raise LogUnreadableError(f"{path}  this is a folder; give the log file itself.") from None
    except OSError as problem:
        raise LogUnreadableError(f"{path}  the file cannot be read: {problem.strerror}.") from None
    return log_from_bytes(data, str(path), kinds, lifts)


def log_from_bytes(
    data: bytes, name: str, kinds: Mapping[str, int], lifts: Mapping[tuple[str, int], Lift] = LIFTS
) -> ReadLog:
    """Read a log from its bytes.

    Parameters
    ----------
    data : bytes
        Lines of JSON. A last line without its newline that cannot be read is a torn tail: it is
        left out and reported. Any other line that cannot be read stops the reading.
    name : str
        What to call the file in sentences.
    kinds : mapping
        Known kinds of act, and the version in which each is written today.
    lifts : mapping
        Functions that lift older versions, by kind and version.

    Raises
    ------
    LogUnreadableError
        Naming the line and the kind.
    """
    *lines, tail = data.split(b"\n")
    log = Log()
    versions = {**kinds, **MARK_VERSIONS}
    for number, line in enumerate(lines, start=1):
        _append_line(log, line, f"{name}:{number}", versions, lifts)
    torn = _append_tail(log, tail, f"{name}:{len(lines) + 1}", versions, lifts)
    if not len(log):
        raise LogUnreadableError(f"{name}  the log is empty; its first line is attempt_started.")
    return ReadLog(log, torn)


def entry_line(entry: Entry | Mark) -> bytes:
    """Return one entry as its line of JSON, newline included."""
    fields = _MARK_FIELDS if isinstance(entry, Mark) else _ACT_FIELDS
    record = {field: plain(getattr(entry, field)) for field in fields}
    said = {field: value for field, value in record.items() if value is not None and value != {}}
    return json.dumps(said, ensure_ascii=False, allow_nan=False, separators=(",", ":")).encode() + b"\n"


def _append_tail(
    log: Log, tail: bytes, where: str, versions: Mapping[str, int], lifts: Mapping[tuple[str, int], Lift]
) -> str | None:
    if not tail:
        return None
    try:
        _record(tail)
    except ValueError:
        kept = "1 entry was" if len(log) == 1 else f"{len(log)} entries were"
        return f"{where}  the last line is cut short and was left out; {kept} read."
    _append_line(log, tail, where, versions, lifts)
    return None


def _append_line(
    log: Log, line: bytes, where: str, versions: Mapping[str, int], lifts: Mapping[tuple[str, int], Lift]
) -> None:
    try:
        record = _record(line)
    except ValueError as problem:
        raise LogUnreadableError(f"{where}  this line cannot be read: {problem}.") from None
    kind, v = record.get("kind"), record.get("v")
    if not isinstance(kind, str) or not isinstance(v, int) or isinstance(v, bool) or v < 1:
        raise LogUnreadableError(
            f"{where}  the line has no kind and version, so it is not an entry of a log."
        )
    if kind not in versions:
        raise LogUnreadableError(
            f"{where}  the kind {kind} is not known here: the log was written by a newer version or by hand."
            " Nothing was replayed."
        )
    if v > versions[kind]:
        raise LogUnreadableError(
            f"{where}  {kind} is in version {v} and this program reads up to version {versions[kind]}:"
            " the log was written by a newer version. Nothing was replayed."
        )
    try:
        log.append(_entry(lifted(record, versions[kind], lifts)))
    except (ValueError, LookupError) as problem:
        raise LogUnreadableError(f"{where}  {kind}: {problem.args[0]}") from None


def _entry(record: dict[str, Any]) -> Entry | Mark:
    is_mark = record["kind"] in MARK_VERSIONS
    fields = _MARK_FIELDS if is_mark else _ACT_FIELDS
    needed = ("n", "t_ms", "rater") if is_mark else ("n", "t_ms", "by", "hands")
    missing = [field for field in needed if field not in record]
    if missing:
        raise ValueError(f"the line lacks {', '.join(missing)}.")
    extra = [field for field in record if field not in fields]
    if extra:
        raise ValueError(f"the line holds {', '.join(extra)}, which no envelope has.")
    if isinstance(record.get("key"), list):
        record = {**record, "key": Key(*record["key"]) if len(record["key"]) == 2 else record["key"]}
    return Mark(**record) if is_mark else Entry(**record)


def _record(line: bytes) -> dict[str, Any]:
    try:
        record = json.loads(
            line.decode("utf-8"), object_pairs_hook=_without_doubles, parse_constant=_refuse_constant
        )
    except UnicodeDecodeError:
        raise ValueError("it is not UTF-8") from None
    except json.JSONDecodeError as problem:
        raise ValueError(f"it is not JSON at column {problem.colno}") from None
    except RecursionError:
        raise ValueError("it is nested too deeply") from None
    if not isinstance(record, dict):
        raise ValueError("it is not an object in braces")
    return record


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    record = dict(pairs)
    if len(record) != len(pairs):
        twice = next(name for i, (name, _) in enumerate(pairs) if name in [n for n, _ in pairs[:i]])
        raise ValueError(f"it says {twice} twice")
    return record


def _refuse_constant(word: str) -> float:
    raise ValueError(f"it holds {word}, which is not a number")
