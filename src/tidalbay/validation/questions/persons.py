"""Questions on persons: the numbers a preset gives, and the score of their signs."""

from typing import Any

from tidalbay.catalogue.patients import patient_numbers
from tidalbay.science.warning import early_warning
from tidalbay.validation.asking import Words

WELL = {
    "rate_per_min": 16.0,
    "spo2_pct": 97.0,
    "on_oxygen": False,
    "systolic_mmhg": 124.0,
    "pulse_per_min": 72.0,
    "consciousness": "alert",
    "temperature_degc": 37.0,
    "age_years": 60.0,
}


def number(name: str, patient: str = "healthy_adult", overrides: Words | None = None) -> float:
    """One number of a patient of the catalogue. [as its name]"""
    return float(patient_numbers(patient, overrides)[name])


def dead_space_per_kg(patient: str = "healthy_adult", overrides: Words | None = None) -> float:
    """Anatomical dead space over weight. [mL/kg]"""
    numbers = patient_numbers(patient, overrides)
    return float(numbers["anatomical_dead_space_ml"]) / float(numbers["weight_kg"])


def intrathoracic_dead_space(patient: str = "healthy_adult") -> float:
    """Air passages below the throat. [mL]"""
    numbers = patient_numbers(patient)
    return float(numbers["anatomical_dead_space_ml"]) - float(numbers["upper_airway_ml"])


def warning_points(**signs: Any) -> float:
    """Total of the early-warning score; signs not said are those of a well person. [points]"""
    return float(early_warning(**{**WELL, **signs}).total)
