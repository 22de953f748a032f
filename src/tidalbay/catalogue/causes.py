"""Causes that an event of a case may change, and the readings that its condition may look at."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.fault import Fault, choice_fault, did_you_mean, number_fault, said
from tidalbay.catalogue.patients import patient_fields
from tidalbay.catalogue.yaml_rows import mapping

VALUE_TYPES: Final = ("number", "share", "whole", "choice", "yes_no", "yes")


@dataclass(frozen=True, slots=True)
class Cause:
    """Something that happens to a patient or to equipment without anybody's hands.

    Attributes
    ----------
    id : str
        A field of the patient, or a fault of the equipment.
    strikes : str
        `patient` or `equipment`.
    type : str
        One of `VALUE_TYPES`.
    unit : str
    low, high : float
        The range of a number.
    choices : tuple of str
        The words allowed, for a choice.
    numbers : tuple of int
        The numbers allowed, for a whole number that has no range.
    on : tuple of str
        Sorts of object it may strike; empty for the patient.
    time_constant_s : float
        How fast the patient follows; 0 at once. [s]
    sentence, source : str
    """

    id: str
    strikes: str
    type: str
    unit: str
    low: float
    high: float
    choices: tuple[str, ...]
    numbers: tuple[int, ...]
    on: tuple[str, ...]
    time_constant_s: float
    sentence: str
    source: str


@dataclass(frozen=True, slots=True)
class ConditionReading:
    """A reading that a condition may look at, with the range in which a threshold makes sense."""

    id: str
    of: str
    low: float
    high: float
    seen: bool
    about: str


@cache
def causes() -> Mapping[str, Cause]:
    """Every cause by id."""
    return {row["id"]: _cause(row) for row in mapping("causes.yaml")["causes"]}


@cache
def condition_readings() -> Mapping[str, ConditionReading]:
    """Every reading that a condition may look at, by id."""
    return {
        row["id"]: ConditionReading(
            row["id"], row["of"], row["min"], row["max"], row.get("seen", True), row["about"]
        )
        for row in mapping("causes.yaml")["readings"]
    }


def cause_fault(name: object) -> Fault | None:
    """Return what is wrong with the name of a cause, or None."""
    if isinstance(name, str) and name in causes():
        return None
    if isinstance(name, str) and name in condition_readings():
        what = f"{name} is a reading; an event sets only causes, and the model says what is read"
        return Fault("", what, "", "set what brings it about; the page of cases lists the causes")
    return Fault("", f"there is no cause {said(name)}", ", ".join(causes()), did_you_mean(name, causes()))


def cause_value_fault(cause: Cause, value: object) -> Fault | None:
    """Return what is wrong with the value that an event gives a cause, or None."""
    match cause.type:
        case "choice":
            return choice_fault(cause.id, value, cause.choices)
        case "yes_no":
            return (
                None
                if isinstance(value, bool)
                else Fault(cause.id, f"{cause.id} is {said(value)}", "true, false")
            )
        case "yes":
            return None if value is True else Fault(cause.id, f"{cause.id} is {said(value)}", "true")
        case "whole" if cause.numbers:
            if isinstance(value, int) and not isinstance(value, bool) and value in cause.numbers:
                return None
            return Fault(cause.id, f"{cause.id} is {said(value)}", ", ".join(map(str, cause.numbers)))
        case "whole" if isinstance(value, float):
            return Fault(
                cause.id, f"{cause.id} is {said(value)}", f"{said(cause.low)} to {said(cause.high)}, whole"
            )
    return number_fault(cause.id, value, cause.low, cause.high, cause.unit)


def reading_fault(name: object) -> Fault | None:
    """Return what is wrong with the name of a reading in a condition, or None."""
    if isinstance(name, str) and name in condition_readings():
        return None
    known = condition_readings()
    return Fault("reading", f"there is no reading {said(name)}", ", ".join(known), did_you_mean(name, known))


def _cause(row: Mapping[str, Any]) -> Cause:
    field = patient_fields().get(row["id"])
    low, high, unit = (field.low, field.high, field.unit) if field else (0.0, 1.0, "")
    return Cause(
        id=row["id"],
        strikes=row["strikes"],
        type=row.get("value", "number"),
        unit=row.get("unit", unit),
        low=row.get("min", low),
        high=row.get("max", high),
        choices=tuple(row.get("choices", ())),
        numbers=tuple(row.get("numbers", ())),
        on=tuple(row.get("on", ())),
        time_constant_s=float(row.get("time_constant_s", 0)),
        sentence=row["sentence"],
        source=row["source"],
    )
