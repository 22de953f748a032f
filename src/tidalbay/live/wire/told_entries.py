"""Entries of the log in words, as pages hang them on the ruled line of time."""

from collections.abc import Iterable
from typing import Any

from tidalbay.bedside import entry_passes, part_shown
from tidalbay.catalogue import acts
from tidalbay.trace import Entry, Log, plain


def entry_shown(entry: Entry, taken_back: bool) -> dict[str, Any]:
    """One act in words."""
    kind = acts()[entry.kind]
    return part_shown(
        "entries",
        {
            "n": entry.n,
            "t_ms": entry.t_ms,
            "act": entry.kind,
            "button": kind.button,
            "sentence": _told(entry),
            "by": entry.by,
            "hands": entry.hands,
            "manner": entry.manner,
            "on": entry.on,
            "taken_back": taken_back,
            "seen_at_ms": entry.seen_at_ms,
        },
    )


def entries_message(log: Log, role: str, mode: str, numbers: Iterable[int]) -> dict[str, Any] | None:
    """The entries of these numbers that a role may know of; None if it may know of none."""
    entries = log.entries
    back = {int(entry.values["entry"]) for entry in log.acts if entry.kind == "taken_back"}
    shown = []
    for n in sorted(set(numbers)):
        entry = entries[n - 1]
        if isinstance(entry, Entry) and entry_passes(role, mode, entry.kind):
            shown.append(entry_shown(entry, n in back))
    return {"kind": "entries", "entries": shown} if shown else None


def _told(entry: Entry) -> str:
    if entry.kind == "attempt_started":  # its arguments are the whole case
        return acts()[entry.kind].sentence
    told = acts()[entry.kind].told(plain(entry.values))
    return told if entry.on is None else told.replace("the device", f"the {entry.on.replace('_', ' ')}", 1)
