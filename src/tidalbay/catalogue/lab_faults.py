"""What an instructor can make go wrong at any time, in the instructor's words."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from tidalbay.catalogue.causes import cause_value_fault, causes
from tidalbay.catalogue.yaml_rows import mapping


@dataclass(frozen=True, slots=True)
class LabFault:
    """One thing that can go wrong.

    Attributes
    ----------
    id, title : str
    throws : tuple of (str, value or None)
        Causes that strike together, each with its value; None where it is simply so.
    on : tuple of str
        Sorts of object that it can strike; empty where it strikes the patient, or no one object.
    only_if : str
        A number of the patient that must be above 0; empty for none.
    cue, answer, source : str
        What there is to find, what is done about it, where the row comes from.
    """

    id: str
    title: str
    throws: tuple[tuple[str, Any], ...]
    on: tuple[str, ...]
    only_if: str
    cue: str
    answer: str
    source: str


@cache
def lab_faults() -> Mapping[str, LabFault]:
    """Every fault by id, in the catalogue's order.

    Raises
    ------
    ValueError
        With a sentence, for a row that throws what is no cause, or a value it cannot have.
    """
    return {row["id"]: _fault(row) for row in mapping("faults.yaml")["faults"]}


def _fault(row: Mapping[str, Any]) -> LabFault:
    where = f"faults.yaml, {row['id']}"
    throws = tuple((said["cause"], said.get("value")) for said in row["throws"])
    for name, value in throws:
        if name not in causes():
            raise ValueError(f"{where}: {name} is no cause; write one of {', '.join(causes())}.")
        fault = None if value is None else cause_value_fault(causes()[name], value)
        if fault is not None:
            raise ValueError(f"{where}: {fault.sentence}")
    on = tuple(row.get("strikes", causes()[throws[0][0]].on))
    return LabFault(
        row["id"], row["title"], throws, on, row.get("only_if", ""), row["cue"], row["answer"], row["source"]
    )
