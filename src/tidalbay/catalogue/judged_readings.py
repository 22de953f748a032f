"""Readings that a criterion may look at, and where they stand in a recording."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from tidalbay.catalogue.yaml_rows import mapping


@dataclass(frozen=True, slots=True)
class JudgedReading:
    """One reading.

    Attributes
    ----------
    id, unit, about : str
        What criteria call it, its unit as a person writes it, and a few words.
    of : str
        `patient`, or the sort of object whose reading it is.
    column : str
        The column of the recording, or how its name ends behind the object's name.
    times : float
        What the column is multiplied by to be in this unit.
    low, high : float
        Beyond these no such reading can be. [its unit]
    seen : bool
        Whether somebody at the bedside could have seen it.
    """

    id: str
    of: str
    column: str
    unit: str
    low: float
    high: float
    about: str
    times: float
    seen: bool


@cache
def judged_readings() -> Mapping[str, JudgedReading]:
    """Every reading by id."""
    return {row["id"]: _reading(row) for row in mapping("judged_readings.yaml")["readings"]}


def _reading(row: Mapping[str, Any]) -> JudgedReading:
    return JudgedReading(
        id=row["id"],
        of=row["of"],
        column=row["column"],
        unit=row["unit"],
        low=float(row["low"]),
        high=float(row["high"]),
        about=row["about"],
        times=float(row.get("times", 1.0)),
        seen=bool(row.get("seen", True)),
    )
