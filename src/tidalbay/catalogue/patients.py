"""Patients as plain numbers: presets, what nobody said from published formulas, and what no body survives."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from tidalbay.catalogue.fault import Fault, choice_fault, did_you_mean, number_fault, said
from tidalbay.catalogue.figure import Figure, figure_from_row
from tidalbay.catalogue.yaml_rows import mapping

PatientNumbers = dict[str, float | str]

FEVER_PER_DEGC: Final = 0.10  # oxygen used per degree above 37; textbooks, 0.10 to 0.13 (from memory)
RESPIRATORY_QUOTIENT: Final = 0.8  # textbooks
CARDIAC_INDEX_L_MIN_M2: Final = 2.8  # within 2.5 to 4.0, textbooks (from memory)
UPPER_AIRWAY_SHARE: Final = 0.43  # of the dead space: Nunn 1959, J Appl Physiol 14:187
BLOOD_ML_KG: Final = 70.0  # adults, textbooks (from memory)
DEAD_SPACE_ML_KG: Final = 2.2  # Numa & Newth, J Appl Physiol 1996;80:1485-9
FRC_ML_KG: Final = 34.0  # between textbook values sitting and lying (from memory)


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
    """

    name: str
    unit: str
    about: str
    low: float
    high: float
    choices: tuple[str, ...]
    usual: float | str | None
    basis: str


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
            what = f"a patient has no {said(name)}"
            faults.append(
                Fault(name, what, "", did_you_mean(name, patient_fields()) or "the page of cases lists them")
            )
        elif fault := field_fault(field, value):
            faults.append(fault)
    if faults:
        return faults
    return _together_faults(_merged(presets()[str(preset)], overrides))


def field_fault(field: PatientField, value: object) -> Fault | None:
    """Return what is wrong with one number of a patient, or None."""
    if field.choices:
        return choice_fault(field.name, value, field.choices)
    return number_fault(field.name, value, field.low, field.high, field.unit)


# --- what nobody said -----------------------------------------------------------------------------------


def predicted_weight_kg(height_cm: float, sex: str) -> float:
    """Weight that lungs are sized for. [kg]

    50 (men) or 45.5 kg (women) and 0.91 kg for each cm above 152.4: ARDS Network, N Engl J Med
    2000;342:1301-8 (from memory).
    """
    return (50.0 if sex == "male" else 45.5) + 0.91 * (height_cm - 152.4)


def resting_oxygen_use_ml_min(weight_kg: float, height_cm: float, age_years: float, sex: str) -> float:
    """Oxygen used at rest without fever. [mL/min STPD]

    Resting energy by Mifflin et al., Am J Clin Nutr 1990;51:241-7; turned into oxygen by Weir,
    J Physiol 1949;109:1-9, at a respiratory quotient of 0.8 (both from memory).
    """
    energy_kcal_day = (
        10.0 * weight_kg + 6.25 * height_cm - 5.0 * age_years + (5.0 if sex == "male" else -161.0)
    )
    kcal_per_l = 3.94 + 1.11 * RESPIRATORY_QUOTIENT
    return energy_kcal_day / 1440.0 / kcal_per_l * 1000.0


def body_surface_m2(weight_kg: float, height_cm: float) -> float:
    """Surface of the body. [m2]

    Du Bois & Du Bois, Arch Intern Med 1916;17:863-71 (from memory).
    """
    return 0.007184 * float(weight_kg**0.425) * float(height_cm**0.725)


def _lung_weight_kg(known: Mapping[str, Any]) -> float:
    return max(30.0, predicted_weight_kg(known["height_cm"], known["sex"]))


def _oxygen_use(known: Mapping[str, Any]) -> float:
    resting = resting_oxygen_use_ml_min(
        known["weight_kg"], known["height_cm"], known["age_years"], known["sex"]
    )
    fever_degc = max(0.0, float(known["temperature_degc"]) - 37.0)
    return round(resting * (1.0 + FEVER_PER_DEGC * fever_degc), 1)


# Each reads only fields that stand before it in the catalogue.
_FORMULAS: Final[Mapping[str, Callable[[Mapping[str, Any]], float]]] = {
    "height_cm": lambda known: 175.0 if known["sex"] == "male" else 163.0,
    "weight_kg": lambda known: 70.0 if known["sex"] == "male" else 60.0,
    "haemoglobin_g_dl": lambda known: 15.0 if known["sex"] == "male" else 13.5,
    "frc_ml": lambda known: round(FRC_ML_KG * _lung_weight_kg(known), 0),
    "oxygen_use_ml_min": _oxygen_use,
    "co2_output_ml_min": lambda known: round(RESPIRATORY_QUOTIENT * known["oxygen_use_ml_min"], 1),
    "cardiac_output_l_min": lambda known: round(
        CARDIAC_INDEX_L_MIN_M2 * body_surface_m2(known["weight_kg"], known["height_cm"]), 2
    ),
    "anatomical_dead_space_ml": lambda known: round(DEAD_SPACE_ML_KG * _lung_weight_kg(known), 1),
    "upper_airway_ml": lambda known: round(UPPER_AIRWAY_SHARE * DEAD_SPACE_ML_KG * _lung_weight_kg(known), 1),
    "blood_ml": lambda known: round(BLOOD_ML_KG * _lung_weight_kg(known), 0),
}


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
            value = min(max(_FORMULAS[name](known), field.low), field.high)
        known[name] = value if isinstance(value, str) else float(value)
    return known


def _together_faults(numbers: Mapping[str, Any]) -> list[Fault]:
    """Numbers that are possible one by one and not in one body."""
    faults = []
    body_mass = numbers["weight_kg"] / (numbers["height_cm"] / 100.0) ** 2
    if not 10.0 <= body_mass <= 90.0:
        kg, cm = said(numbers["weight_kg"]), said(numbers["height_cm"])
        what = f"{kg} kg at {cm} cm is a body mass index of {body_mass:.0f}"
        faults.append(Fault("weight_kg", what, "a body mass index of 10 to 90 kg/m2"))
    if numbers["systolic_mmhg"] < numbers["diastolic_mmhg"] + 10.0:
        what = (
            f"the blood pressure is {said(numbers['systolic_mmhg'])} over {said(numbers['diastolic_mmhg'])}"
        )
        faults.append(Fault("systolic_mmhg", what, "an upper pressure at least 10 mmHg above the lower"))
    quotient = numbers["co2_output_ml_min"] / numbers["oxygen_use_ml_min"]
    if not 0.6 <= quotient <= 1.3:
        what = f"carbon dioxide made over oxygen used is {quotient:.2f}"
        faults.append(Fault("co2_output_ml_min", what, "a respiratory quotient of 0.6 to 1.3"))
    if numbers["carboxyhaemoglobin_frac"] + numbers["methaemoglobin_frac"] > 0.6:
        faults.append(
            Fault(
                "carboxyhaemoglobin_frac",
                "carboxyhaemoglobin and methaemoglobin together leave too little haemoglobin for oxygen",
                "0 to 0.6 together",
            )
        )
    if numbers["frc_ml"] < 3.0 * numbers["anatomical_dead_space_ml"]:
        frc, passages = said(numbers["frc_ml"]), said(numbers["anatomical_dead_space_ml"])
        what = f"frc_ml is {frc} with air passages of {passages} mL"
        faults.append(Fault("frc_ml", what, "at least three times the anatomical dead space"))
    return faults


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
    )


def _preset(row: Mapping[str, Any]) -> Preset:
    numbers = {name: said for name, said in row["numbers"].items() if name != "sex"}
    figures = {
        name: figure_from_row(figure, f"patients.yaml, {row['id']}, {name}")
        for name, figure in numbers.items()
    }
    return Preset(row["id"], row["words"], row["numbers"]["sex"], figures)
