"""Patients as plain numbers: presets, what nobody said from published formulas, and what no body survives."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from tidalbay.catalogue.body_faults import together_faults
from tidalbay.catalogue.body_formulas import by_formula
from tidalbay.catalogue.fault import Fault, choice_fault, did_you_mean, number_fault, said
from tidalbay.catalogue.figure import Figure, figure_from_row
from tidalbay.catalogue.yaml_rows import mapping

PatientNumbers = dict[str, float | str]


class PatientError(ValueError):
    """Numbers that cannot be a living person; the text has a sentence for each, `faults` their parts."""

    def __init__(self, faults: list[Fault]) -> None:
        """Say every fault, a line each."""
        super().__init__("\n".join(fault.sentence for fault in faults))
        self.faults = tuple(faults)


@dataclass(frozen=True, slots=True)
class PatientField:
    """One number of a patient.

    Attributes
    ----------
    name, unit, about : str
        The name says the unit too; `about` is one clause.
    low, high : float
        The range of a living person in bed.
    choices : tuple of str
        The words allowed, for the one field that is a word.
    usual : float, str or None
        What it is when nobody says; None where a formula says it.
    basis : str
        Where that comes from.
    of_body : tuple of float, or None
        The least and the most that one body can have, as shares of what its formula gives; None
        where `low` and `high` hold for everybody.
    """

    name: str
    unit: str
    about: str
    low: float
    high: float
    choices: tuple[str, ...]
    usual: float | str | None
    basis: str
    of_body: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Preset:
    """A kind of patient to start from: figures by field, each with its standing, and the sex."""

    id: str
    words: str
    sex: str
    figures: Mapping[str, Figure]


@cache
def patient_fields() -> Mapping[str, PatientField]:
    """Every number of a patient by name."""
    return {row["name"]: _field(row) for row in mapping("patients.yaml")["fields"]}


@cache
def presets() -> Mapping[str, Preset]:
    """Every preset by id."""
    return {row["id"]: _preset(row) for row in mapping("patients.yaml")["presets"]}


def patient_numbers(preset: str, overrides: Mapping[str, Any] | None = None) -> PatientNumbers:
    """Return every number of a patient.

    Parameters
    ----------
    preset : str
        Id of a preset.
    overrides : mapping
        Numbers by field name that this patient has instead.

    Returns
    -------
    dict
        A value for every field, in the catalogue's order; `sex` alone is a word. Derived numbers are
        rounded, so that a patient is the same to the last digit on every machine.

    Raises
    ------
    PatientError
        With a sentence for everything that no living person has.
    """
    faults = patient_faults(preset, overrides or {})
    if faults:
        raise PatientError(faults)
    return _merged(presets()[preset], overrides or {})


def preset_fault(name: object) -> Fault | None:
    """Return what is wrong with a preset's name, or None."""
    if isinstance(name, str) and name in presets():
        return None
    return Fault(
        "preset", f"there is no preset {said(name)}", ", ".join(presets()), did_you_mean(name, presets())
    )


def patient_faults(preset: object, overrides: Mapping[str, Any]) -> list[Fault]:
    """Return everything that is wrong with a patient, one fault each."""
    of_preset = preset_fault(preset)
    faults = [of_preset] if of_preset else []
    for name, value in overrides.items():
        field = patient_fields().get(name)
        if field is None:
            faults.append(
                Fault(
                    name,
                    f"a patient has no {said(name)}",
                    "",
                    number_hint(name) or "the page of cases lists them",
                )
            )
        elif fault := field_fault(field, value):
            faults.append(fault)
    if faults:
        return faults
    shares = {field.name: field.of_body for field in patient_fields().values() if field.of_body}
    return together_faults(_merged(presets()[str(preset)], overrides), shares)


@cache
def _instead() -> Mapping[str, str]:
    """What to write in place of words that people try, with the reason where there is one."""
    hints: dict[str, str] = {}
    for row in mapping("patients.yaml")["instead"]:
        why = f"; {row['why']}" if "why" in row else ""
        hints |= dict.fromkeys(row["said"], f"write {row['write']}{why}")
    return hints


def number_hint(name: object) -> str:
    """Return what to write for a number that a patient does not have, such as pH; or nothing."""
    wanted = str(name).strip().lower().replace("-", "_").replace(" ", "_")
    return _instead().get(wanted) or did_you_mean(name, patient_fields())


def field_fault(field: PatientField, value: object) -> Fault | None:
    """Return what is wrong with one number of a patient, or None."""
    if field.choices:
        return choice_fault(field.name, value, field.choices)
    return number_fault(field.name, value, field.low, field.high, field.unit)


def _merged(preset: Preset, overrides: Mapping[str, Any]) -> PatientNumbers:
    known: PatientNumbers = {}
    for name, field in patient_fields().items():
        if name in overrides:
            value = overrides[name]
        elif name == "sex":
            value = preset.sex
        elif name in preset.figures:
            value = preset.figures[name].value
        elif field.usual is not None:
            value = field.usual
        else:
            value = min(max(by_formula(name, known), field.low), field.high)
        known[name] = value if isinstance(value, str) else float(value)
    return known


def _field(row: Mapping[str, Any]) -> PatientField:
    return PatientField(
        name=row["name"],
        unit=row.get("unit", ""),
        about=row["about"],
        low=row.get("min", 0),
        high=row.get("max", 0),
        choices=tuple(row.get("choices", ())),
        usual=None if "formula" in row else row["usual"],
        basis=row["basis"],
        of_body=(float(row["of_body"][0]), float(row["of_body"][1])) if "of_body" in row else None,
    )


def _preset(row: Mapping[str, Any]) -> Preset:
    numbers = {name: said for name, said in row["numbers"].items() if name != "sex"}
    figures = {
        name: figure_from_row(figure, f"patients.yaml, {row['id']}, {name}")
        for name, figure in numbers.items()
    }
    return Preset(row["id"], row["words"], row["numbers"]["sex"], figures)
