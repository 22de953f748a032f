"""What one run showed: a row a second, a row a breath, and nothing that can change."""

import csv
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import numpy as np

from tidalbay.trace.columns import Column, Columns, TraceError, array_of, unit_of

CAUTION: Final = (
    "For teaching and assessment with simulated patients only; not for the care of any person. "
    "The order, local policy, the device's own instructions and licensed practice come first."
)


class Trace:
    """A recording, equal to another only bit for bit.

    Parameters
    ----------
    seconds : mapping of arrays
        One row a second; `t_s` is its clock and rises. [units in the names]
    breaths : mapping of arrays
        One row a breath.
    about : mapping of text
        A sentence for columns whose name does not say it all.

    Raises
    ------
    TraceError
        For columns of several lengths, infinite numbers, a clock that does not rise, or a number
        whose name says no unit and that `about` does not explain.

    Notes
    -----
    A reading holds from its second until the next row (right-continuous).
    """

    __slots__ = ("breaths", "columns", "seconds")

    seconds: Columns
    breaths: Columns
    columns: Mapping[str, Column]

    def __init__(
        self, seconds: Mapping[str, Any], breaths: Mapping[str, Any], about: Mapping[str, str] | None = None
    ) -> None:
        """Copy, check and freeze the columns."""
        set_once = object.__setattr__
        set_once(self, "seconds", Columns(seconds))
        set_once(self, "breaths", Columns(breaths))
        _check_clock(self.seconds)
        set_once(self, "columns", _described(self.seconds, self.breaths, about or {}))

    @property
    def units(self) -> dict[str, str]:
        """The unit of every column, by its name."""
        return {name: column.unit for name, column in self.columns.items()}

    def at(self, t_s: float) -> dict[str, float | int | bool | str]:
        """Return what was recorded at a moment: the last row not after it.

        Raises `LookupError`, with a sentence, for a moment outside the recording.
        """
        clock = self.seconds["t_s"]
        if not len(clock):
            raise LookupError("the trace holds no second, so nothing was recorded at any moment.")
        if not clock[0] <= t_s <= clock[-1]:
            raise LookupError(
                f"the trace runs from {clock[0]:g} to {clock[-1]:g} s; {t_s:g} s is outside it."
            )
        return self.seconds.row(int(np.searchsorted(clock, t_s, side="right")) - 1)

    def digest(self) -> str:
        """Return the SHA-256 of every name and every byte, 64 hexadecimal digits."""
        hashed = hashlib.sha256()
        for table in (self.seconds, self.breaths):
            hashed.update(f"{len(table)} columns of {table.rows}\n".encode())
            for name, array in table.items():
                hashed.update(f"{name} {table.kind(name)}\n".encode())
                if array.dtype.kind == "U":
                    hashed.update(json.dumps(array.tolist()).encode())
                else:
                    hashed.update(array.astype(array.dtype.newbyteorder("<")).tobytes())
        return hashed.hexdigest()

    def to_csv(self, path: Path | str, table: str = "seconds") -> None:
        """Write one table (`seconds` or `breaths`); an unknown number is an empty cell."""
        columns = self._table(table)
        with Path(path).open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(columns)
            writer.writerows(zip(*[_cells(array) for array in columns.lists().values()], strict=True))

    def as_plain(self) -> dict[str, Any]:
        """Return the whole recording as dictionaries and lists; an unknown number is None."""
        return {
            "caution": CAUTION,
            "columns": {
                name: {"unit": column.unit, "kind": column.kind, "about": column.about}
                for name, column in self.columns.items()
            },
            "seconds": self.seconds.lists(),
            "breaths": self.breaths.lists(),
            "digest": self.digest(),
        }

    def to_json(self) -> str:
        """Return the whole recording as JSON; an unknown number is null."""
        return json.dumps(self.as_plain(), ensure_ascii=False, allow_nan=False)

    def _table(self, table: str) -> Columns:
        if table not in ("seconds", "breaths"):
            raise TraceError(f"a trace has no table {table}; it has seconds and breaths.")
        return self.seconds if table == "seconds" else self.breaths

    def __setattr__(self, name: str, value: object) -> None:
        """Refuse to change."""
        raise AttributeError("a trace cannot be changed; make a new one.")

    def __delattr__(self, name: str) -> None:
        """Refuse to change."""
        raise AttributeError("a trace cannot be changed; make a new one.")

    def __eq__(self, other: object) -> bool:
        """Compare bit for bit, names and their order included."""
        if not isinstance(other, Trace):
            return NotImplemented
        return self.seconds.same_bits(other.seconds) and self.breaths.same_bits(other.breaths)

    def __hash__(self) -> int:
        """Hash by the digest."""
        return int(self.digest()[:15], 16)

    def __reduce__(self) -> tuple[type["Trace"], tuple[dict[str, Any], dict[str, Any], dict[str, str]]]:
        """Travel between processes."""
        about = {name: column.about for name, column in self.columns.items() if column.about}
        return Trace, (dict(self.seconds), dict(self.breaths), about)

    def __repr__(self) -> str:
        """Say how much was recorded."""
        return (
            f"<Trace: {self.seconds.rows} seconds, {self.breaths.rows} breaths, {len(self.columns)} columns>"
        )


def trace_from_json(text: str) -> Trace:
    """Read a trace that `Trace.to_json` wrote, the same bit for bit.

    Raises `TraceError`, with a sentence, if it was not written so or was changed since.
    """
    try:
        said = json.loads(text)
        kinds = {name: column["kind"] for name, column in said["columns"].items()}
        seconds, breaths = (
            {name: array_of(kinds[name], items) for name, items in said[table].items()}
            for table in ("seconds", "breaths")
        )
        about = {name: column["about"] for name, column in said["columns"].items() if column["about"]}
        digest = said["digest"]
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise TraceError("this is not a trace: it lacks columns, seconds, breaths or a digest.") from None
    trace = Trace(seconds, breaths, about)
    if trace.digest() != digest:
        raise TraceError("this trace was changed after it was written: its digest does not fit.")
    return trace


def _check_clock(seconds: Columns) -> None:
    if "t_s" not in seconds:
        raise TraceError("the seconds have no column t_s; it is their clock.")
    clock = seconds["t_s"]
    if clock.dtype.kind not in "fi" or not np.all(np.diff(clock) > 0) or np.isnan(clock).any():
        raise TraceError("the clock t_s does not rise from row to row.")


def _described(seconds: Columns, breaths: Columns, about: Mapping[str, str]) -> dict[str, Column]:
    unknown = [name for name in about if name not in seconds and name not in breaths]
    if unknown:
        raise TraceError(f"there is a sentence about {', '.join(unknown)}, and no such column.")
    described: dict[str, Column] = {}
    for table in (seconds, breaths):
        for name in table:
            column = _describe(name, table.kind(name), about.get(name, ""))
            if described.setdefault(name, column).kind != column.kind:
                raise TraceError(
                    f"column {name} holds {described[name].kind} a second and {column.kind} a breath."
                )
    return described


def _describe(name: str, kind: str, about: str) -> Column:
    unit = unit_of(name) if kind in ("number", "whole") else ""
    if unit is None and kind == "number" and not about:
        raise TraceError(f"column {name} says no unit; end its name in one, as in spo2_shown_pct.")
    return Column(name, unit or "", kind, about)


def _cells(items: list[Any]) -> list[str]:
    return [
        "" if item is None else str(item).lower() if isinstance(item, bool) else str(item) for item in items
    ]
