"""Columns of a recording: arrays by unit-bearing names, frozen, and what each of them means."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final, NoReturn

import numpy as np
import numpy.typing as npt

# How a name says its unit: its longest ending in this table.
UNIT_OF_ENDING: Final[Mapping[str, str]] = {
    "_s": "s",
    "_seconds": "s",
    "_ms": "ms",
    "_min": "min",
    "_minutes": "min",
    "_per_min": "/min",
    "_lpm": "L/min",
    "_l_min": "L/min",
    "_ml_s": "mL/s",
    "_ml_min": "mL/min",
    "_ml_min_mmhg": "mL/min/mmHg",
    "_l_min_mmhg": "L/min/mmHg",
    "_ml": "mL",
    "_ml_btps": "mL BTPS",
    "_ml_stpd": "mL STPD",
    "_ml_metered": "mL at 21 °C, dry",
    "_btps_ml": "mL BTPS",
    "_btps_ml_s": "mL/s BTPS",
    "_l": "L",
    "_pct": "%",
    "_frac": "1",
    "_share": "1",
    "_mmhg": "mmHg",
    "_kpa": "kPa",
    "_psi": "psi",
    "_bar": "bar",
    "_cmh2o": "cmH2O",
    "_cmh2o_l": "cmH2O/L",
    "_cmh2o_s_l": "cmH2O·s/L",
    "_degc": "°C",
    "_mmol_l": "mmol/L",
    "_g_dl": "g/dL",
    "_ml_dl": "mL/dL",
    "_mg": "mg",
    "_kg": "kg",
    "_cm": "cm",
    "_m": "m",
    "_deg": "degree",
    "_years": "years",
    "_ph": "1",
}

_KINDS: Final = {"f": "number", "i": "whole", "u": "whole", "b": "yes_no", "U": "words"}
_DTYPES: Final[Mapping[str, Any]] = {
    "number": np.float64,
    "whole": np.int64,
    "yes_no": np.bool_,
    "words": np.str_,
}

Array = npt.NDArray[Any]


class TraceError(ValueError):
    """Columns that cannot be a recording; the sentence names the column."""


@dataclass(frozen=True)
class Column:
    """What one column holds.

    Parameters
    ----------
    name : str
        Its name in the trace, unit last.
    unit : str
        As a person writes it; empty where there is none.
    kind : str
        `number` (NaN where nothing is known), `whole`, `yes_no` or `words`.
    about : str
        One sentence, empty where the name says it all.
    """

    name: str
    unit: str
    kind: str
    about: str = ""


@cache
def unit_of(name: str) -> str | None:
    """Return the unit that a name ends in, or None if it ends in none."""
    endings = [ending for ending in UNIT_OF_ENDING if f"_{name}".endswith(ending)]
    return UNIT_OF_ENDING[max(endings, key=len)] if endings else None


class Columns(dict[str, Array]):
    """A dictionary of read-only arrays of one length; a data frame takes it as it is.

    Numbers are float64 with one bit pattern for NaN, whole numbers int64, so that two
    recordings of the same run are the same bytes on every machine.
    """

    def __init__(self, arrays: Mapping[str, Any] | Iterable[tuple[str, Any]] = ()) -> None:
        """Copy and freeze the arrays; raise `TraceError` for one that cannot be a column."""
        super().__init__({name: _column(name, array) for name, array in dict(arrays).items()})
        lengths = {name: len(array) for name, array in self.items()}
        if len(set(lengths.values())) > 1:
            said = ", ".join(f"{name} {length}" for name, length in lengths.items())
            raise TraceError(f"columns of one table have one length; here they have: {said}.")

    @property
    def rows(self) -> int:
        """How many rows the table has."""
        return len(next(iter(self.values()))) if self else 0

    def kind(self, name: str) -> str:
        """Say what a column holds: `number`, `whole`, `yes_no` or `words`."""
        return _KINDS[self[name].dtype.kind]

    def row(self, i: int) -> dict[str, float | int | bool | str]:
        """Return one row as plain Python values."""
        return {name: array[i].item() for name, array in self.items()}

    def lists(self) -> dict[str, list[Any]]:
        """Return every column as a list that JSON can say: NaN becomes None."""
        return {
            name: [None if item != item else item for item in array.tolist()] for name, array in self.items()
        }

    def same_bits(self, other: "Columns") -> bool:
        """Whether both hold the same names in the same order, and the same bytes."""
        return list(self) == list(other) and all(
            mine.dtype == other[name].dtype and mine.tobytes() == other[name].tobytes()
            for name, mine in self.items()
        )

    def __reduce__(self) -> tuple[type["Columns"], tuple[dict[str, Array]]]:
        """Travel between processes as a plain dictionary."""
        return Columns, (dict(self),)

    def _refuse(self, *_: object, **__: object) -> NoReturn:
        raise TypeError("a recording cannot be changed; make a new one.")

    __setitem__ = __delitem__ = pop = popitem = clear = update = setdefault = __ior__ = _refuse


def array_of(kind: str, items: list[Any]) -> Array:
    """Return the array that `Columns.lists` made a list of: None becomes NaN."""
    if kind not in _DTYPES:
        raise TraceError(f"a column is said to hold {kind!r}; it holds one of {', '.join(_DTYPES)}.")
    return np.array([np.nan if item is None else item for item in items], dtype=_DTYPES[kind])


def _column(name: object, given: Any) -> Array:
    if not (isinstance(name, str) and name.isidentifier()):
        raise TraceError(f"{name!r} is not a name for a column; names are like spo2_shown_pct.")
    array = np.array(given)
    if array.ndim != 1:
        raise TraceError(f"column {name} has {array.ndim} dimensions; a column has one.")
    if array.dtype.kind not in _KINDS:
        raise TraceError(f"column {name} holds {array.dtype}; a column holds numbers, yes or no, or words.")
    if array.dtype.kind == "U":  # no wider than its longest word, so that equal words are equal bytes
        array = np.array(array.tolist(), dtype=np.str_)
    else:
        array = array.astype(_DTYPES[_KINDS[array.dtype.kind]])
    if array.dtype.kind == "f":
        if np.isinf(array).any():
            row = int(np.flatnonzero(np.isinf(array))[0])
            raise TraceError(
                f"column {name} is infinite in row {row}; write NaN where a number is not known."
            )
        array[np.isnan(array)] = np.nan
    array.flags.writeable = False
    return array
