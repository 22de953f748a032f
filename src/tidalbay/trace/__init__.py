"""The recording: what people did and judged, and what the patient showed, as plain data.

Acts and marks come in one at a time, and columns of numbers come in from a run; neither is computed here.
What goes out is an append-only log that reads and writes itself as lines of JSON, and a frozen trace of
columns that is equal to another only bit for bit.
"""

from tidalbay.trace.columns import Column, Columns, TraceError, unit_of
from tidalbay.trace.entry import MANNERS, MODES, Entry, EntryError, Key, attempt_started
from tidalbay.trace.lifting import Lift, lifted
from tidalbay.trace.lines import (
    LogUnreadableError,
    ReadLog,
    entry_line,
    log_bytes,
    log_from_bytes,
    read_log,
    write_log,
)
from tidalbay.trace.log import Log, LogRefusedError, Receipt
from tidalbay.trace.mark import MARK_VERSIONS, Mark
from tidalbay.trace.trace import CAUTION, Trace, trace_from_json
from tidalbay.trace.values import Value, ValueRefusedError, Values, frozen, plain

__all__ = [
    "CAUTION",
    "MANNERS",
    "MARK_VERSIONS",
    "MODES",
    "Column",
    "Columns",
    "Entry",
    "EntryError",
    "Key",
    "Lift",
    "Log",
    "LogRefusedError",
    "LogUnreadableError",
    "Mark",
    "ReadLog",
    "Receipt",
    "Trace",
    "TraceError",
    "Value",
    "ValueRefusedError",
    "Values",
    "attempt_started",
    "entry_line",
    "frozen",
    "lifted",
    "log_bytes",
    "log_from_bytes",
    "plain",
    "read_log",
    "trace_from_json",
    "unit_of",
    "write_log",
]
