"""Numbers that are possible one by one and not in one body."""

from collections.abc import Mapping
from typing import Any, Final

from tidalbay.catalogue.body_formulas import adult_share, by_formula
from tidalbay.catalogue.fault import Fault, said

Numbers = Mapping[str, Any]

ADULT_BMI: Final = (10.0, 90.0)  # kg/m2; people have lived at both ends (from memory)
CHILD_BMI: Final = (8.0, 50.0)  # kg/m2; assumed
LEAST_PULSE_PRESSURE: Final = 10.0  # mmHg; assumed
QUOTIENTS: Final = (0.6, 1.3)  # carbon dioxide over oxygen, 0.7 to 1.0 at rest, textbooks; wide (assumed)
MOST_LOST_HAEMOGLOBIN: Final = 0.6  # share that carries no oxygen; assumed
FRC_PER_DEAD_SPACE: Final = 3.0  # assumed


def together_faults(numbers: Numbers, ranges: Mapping[str, tuple[float, float]]) -> list[Fault]:
    """Return everything that does not go together, one fault each.

    Parameters
    ----------
    numbers : mapping
        Every number of a patient.
    ranges : mapping
        By field, the least and the most that one body can have, as shares of what is usual for it.
    """
    found = [
        _height_fault(numbers, ranges["height_cm"]),
        _size_fault(numbers),
        _pressure_fault(numbers),
        _quotient_fault(numbers),
        _haemoglobin_fault(numbers),
    ]
    faults = [fault for fault in found if fault]
    # With a wrong frame every usual value is wrong too, and saying so would hide the cause.
    if any(fault.name in ("height_cm", "weight_kg") for fault in faults):
        return faults
    others = (_body_fault(name, shares, numbers) for name, shares in ranges.items() if name != "height_cm")
    faults += [fault for fault in others if fault]
    volume = _volume_fault(numbers)
    if volume and not any(fault.name in ("frc_ml", "anatomical_dead_space_ml") for fault in faults):
        faults.append(volume)
    return faults


def _height_fault(numbers: Numbers, shares: tuple[float, float]) -> Fault | None:
    usual = by_formula("height_cm", numbers)
    low, high = (float(round(share * usual)) for share in shares)
    if low <= numbers["height_cm"] <= high:
        return None
    what = f"height_cm is {said(numbers['height_cm'])} at {_age(numbers)}"
    return Fault("height_cm", what, f"{said(low)} to {said(high)} cm at that age")


def _size_fault(numbers: Numbers) -> Fault | None:
    body_mass = numbers["weight_kg"] / (numbers["height_cm"] / 100.0) ** 2
    child = adult_share(numbers["age_years"]) <= 0.0
    low, high = CHILD_BMI if child else ADULT_BMI
    if low <= body_mass <= high:
        return None
    kg, cm = said(numbers["weight_kg"]), said(numbers["height_cm"])
    what = f"{kg} kg at {cm} cm is a body mass index of {body_mass:.0f}"
    allowed = f"a body mass index of {said(low)} to {said(high)} kg/m2{' in a child' if child else ''}"
    return Fault("weight_kg", what, allowed)


def _pressure_fault(numbers: Numbers) -> Fault | None:
    if numbers["systolic_mmhg"] >= numbers["diastolic_mmhg"] + LEAST_PULSE_PRESSURE:
        return None
    what = f"the blood pressure is {said(numbers['systolic_mmhg'])} over {said(numbers['diastolic_mmhg'])}"
    allowed = f"an upper pressure at least {said(LEAST_PULSE_PRESSURE)} mmHg above the lower"
    return Fault("systolic_mmhg", what, allowed)


def _quotient_fault(numbers: Numbers) -> Fault | None:
    quotient = numbers["co2_output_ml_min"] / numbers["oxygen_use_ml_min"]
    low, high = QUOTIENTS
    if low <= quotient <= high:
        return None
    what = f"carbon dioxide made over oxygen used is {quotient:.2f}"
    return Fault("co2_output_ml_min", what, f"a respiratory quotient of {said(low)} to {said(high)}")


def _haemoglobin_fault(numbers: Numbers) -> Fault | None:
    if numbers["carboxyhaemoglobin_frac"] + numbers["methaemoglobin_frac"] <= MOST_LOST_HAEMOGLOBIN:
        return None
    what = "carboxyhaemoglobin and methaemoglobin together leave too little haemoglobin for oxygen"
    return Fault("carboxyhaemoglobin_frac", what, f"0 to {said(MOST_LOST_HAEMOGLOBIN)} together")


def _volume_fault(numbers: Numbers) -> Fault | None:
    if numbers["frc_ml"] >= FRC_PER_DEAD_SPACE * numbers["anatomical_dead_space_ml"]:
        return None
    frc, passages = said(numbers["frc_ml"]), said(numbers["anatomical_dead_space_ml"])
    what = f"frc_ml is {frc} with air passages of {passages} mL"
    return Fault("frc_ml", what, "at least three times the anatomical dead space")


def _body_fault(name: str, shares: tuple[float, float], numbers: Numbers) -> Fault | None:
    """One number against what this body usually has."""
    usual = by_formula(name, numbers)
    low, high = (float(_short(share * usual)) for share in shares)
    if low <= numbers[name] <= high:
        return None
    what = f"{name} is {said(numbers[name])}, and {said(usual)} is usual {_whom(numbers)}"
    return Fault(name, what, f"{said(low)} to {said(high)} in this body")


def _whom(numbers: Numbers) -> str:
    who = {"female": ("girl", "woman"), "male": ("boy", "man")}[numbers["sex"]]
    noun = who[0] if numbers["age_years"] < 16.0 else who[1]
    cm, kg = said(numbers["height_cm"]), said(numbers["weight_kg"])
    return f"for a {noun} of {_age(numbers)}, {cm} cm and {kg} kg"


def _age(numbers: Numbers) -> str:
    """An age as people say it: days, then months, then years."""
    years = float(numbers["age_years"])
    if years < 1.0 / 12.0:
        return _counted(round(years * 365.25), "day")
    if years < 2.0:
        return _counted(round(years * 12.0), "month")
    return _counted(round(years), "year")


def _counted(count: int, unit: str) -> str:
    return f"{count} {unit}" if count == 1 else f"{count} {unit}s"


def _short(value: float) -> str:
    """Three figures at most, whole above a hundred."""
    if abs(value) >= 100.0:
        return f"{value:.0f}"
    return f"{float(f'{value:.3g}'):g}"
