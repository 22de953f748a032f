"""The numbers behind what is seen: what the table of findings asks for, taken from a recording."""

from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from tidalbay.bedside.moment import (
    NOBODY,
    Numbers,
    last_breath,
    mean_over,
    number_at,
    patient_number,
    second_at,
    still_s,
)
from tidalbay.catalogue.body_formulas import lung_weight_kg, predicted_weight_kg
from tidalbay.catalogue.body_norms import usual_at
from tidalbay.catalogue.findings import finding_readings
from tidalbay.trace import Trace

WELL_CMH2O_S_L: Final = 3.0  # airways in health (textbooks, from memory)
EASED_SHARE: Final = (
    0.75  # of a narrowing, what relief of 1 would undo (assumed, as the patient's reversible_frac)
)
LOOKED_S: Final = 30.0  # an eye averages over some breaths (assumed)
# Quiet breathing: 6 to 8 mL/kg of predicted weight (textbooks, from memory), as often as is usual at the age.
QUIET_L_KG: Final = 0.007
ADULT_YEARS: Final = 18.0
LEAST_WEIGHT_KG: Final = 5.0
INFANT_BELOW_YEARS: Final = 1.5  # some words by then; common practice, no source
# Fields of the patient that stand in where the recording follows no such number.
_STANDS_IN: Final = {"cohb_frac": "carboxyhaemoglobin_frac"}
# What changes with age in health, and the table of what is usual.
_GROWS: Final = {
    "rate_per_min": "rate_per_min",
    "heart_rate_per_min": "resting_heart_rate_per_min",
    "resistance_cmh2o_s_l": "resistance_cmh2o_s_l",
    "systolic_mmhg": "systolic_mmhg",
}

Looks = dict[str, float | str]


def looks_at(trace: Trace, at_s: float, patient: Numbers = NOBODY) -> Looks:
    """Every reading that the findings ask for and this recording or patient can give.

    Parameters
    ----------
    trace : Trace
        Columns by the names of the table of findings are taken as they are, as means of the last 30 s.
    at_s : float
        [s]
    patient : mapping
        Numbers by field name, as they are now, and as words `skin_tone` (light, medium or dark) and `voice`
        (see `voice_of`).

    Returns
    -------
    dict
        With `t_s`. It holds hidden truth: for `findings`, never for a screen.
    """
    at_s = second_at(trace, at_s)
    looks: Looks = {"t_s": at_s}
    tone = patient.get("skin_tone")
    if isinstance(tone, str):
        looks["skin_tone"] = tone
    voice = patient.get("voice")
    if isinstance(voice, str):
        looks["voice"] = voice
    for name in finding_readings():
        value = mean_over(trace, name, at_s, LOOKED_S)
        if value is None:
            field = _STANDS_IN.get(name, name)
            said = patient.get(field)
            value = None if said is None or isinstance(said, str) else float(said)
        if value is not None:
            looks[name] = value
    looks.update(_derived(trace, at_s, patient))
    _as_of_an_adult(looks, patient)
    _ease(looks, trace, at_s)
    return looks


def _ease(looks: Looks, trace: Trace, at_s: float) -> None:
    """Airways that a drug has widened are heard as they are now, not as they were."""
    relief, before = number_at(trace, "airway_relief_frac", at_s), looks.get("resistance_cmh2o_s_l")
    if relief and isinstance(before, float):
        looks["resistance_cmh2o_s_l"] = before - EASED_SHARE * relief * max(0.0, before - WELL_CMH2O_S_L)


def voice_of(case: Mapping[str, Any]) -> str:
    """Who cannot say it in words, by the names of the table of findings; nothing for those who can."""
    if case.get("setup", {}).get("patient", {}).get("tracheostomy"):
        return "tracheostomy"
    age_years = case["patient"]["numbers"].get("age_years", ADULT_YEARS)
    return "infant" if float(age_years) < INFANT_BELOW_YEARS else ""


def quiet_ventilation_l_min(patient: Numbers) -> float:
    """What somebody quiet and well of this age, height and sex breathes. [L/min BTPS]"""
    sex, age_years = _sex(patient), patient_number(patient, "age_years", ADULT_YEARS)
    height_cm = patient_number(patient, "height_cm", 163.0 if sex == "female" else 175.0)
    if age_years >= ADULT_YEARS:
        weight_kg = max(LEAST_WEIGHT_KG, predicted_weight_kg(height_cm, sex))
    else:
        weight_kg = lung_weight_kg(age_years, sex, height_cm)
    return QUIET_L_KG * weight_kg * usual_at("rate_per_min", age_years, sex)


def _sex(patient: Numbers) -> str:
    return "female" if patient.get("sex") == "female" else "male"


def _as_of_an_adult(looks: Looks, patient: Numbers) -> None:
    """A child breathes faster through narrower airways in health: the bounds of the table are an adult's."""
    sex, age_years = _sex(patient), patient_number(patient, "age_years", ADULT_YEARS)
    if age_years >= ADULT_YEARS:
        return
    shares = {
        name: usual_at(norm, ADULT_YEARS, sex) / usual_at(norm, age_years, sex)
        for name, norm in _GROWS.items()
    }
    shares["inspiratory_flow_lpm"] = quiet_ventilation_l_min({"sex": sex}) / quiet_ventilation_l_min(patient)
    for name, share in shares.items():
        value = looks.get(name)
        if isinstance(value, float):
            looks[name] = value * share


def _derived(trace: Trace, at_s: float, patient: Numbers) -> Looks:
    derived: Looks = {"still_s": still_s(trace, at_s)}
    demand = mean_over(trace, "demand_l_min", at_s, LOOKED_S)
    if demand is not None:
        derived["drive_ratio"] = demand / quiet_ventilation_l_min(patient)
    paco2 = mean_over(trace, "paco2_mmhg", at_s, LOOKED_S)
    if paco2 is not None:
        derived["paco2_excess_mmhg"] = paco2 - patient_number(patient, "paco2_habitual_mmhg", 40.0)
    saturation = mean_over(trace, "sao2_pct", at_s, LOOKED_S)
    if saturation is not None:
        derived["deoxyhaemoglobin_g_dl"] = _deoxyhaemoglobin_g_dl(trace, at_s, patient, saturation)
    breath = last_breath(trace, at_s)
    if breath is not None:
        row = {name: float(trace.breaths[name][breath]) for name in ("tidal_ml", "inspiratory_s")}
        derived["inspiratory_flow_lpm"] = 0.06 * row["tidal_ml"] / max(0.1, row["inspiratory_s"])
    return {name: value for name, value in derived.items() if isinstance(value, str) or np.isfinite(value)}


def _deoxyhaemoglobin_g_dl(trace: Trace, at_s: float, patient: Numbers, saturation_pct: float) -> float:
    """Haemoglobin able to carry oxygen and without it, in arterial blood. [g/dL]"""
    cohb = number_at(trace, "cohb_frac", at_s)
    if cohb is None:
        cohb = patient_number(patient, "carboxyhaemoglobin_frac", 0.0)
    able = 1.0 - cohb - patient_number(patient, "methaemoglobin_frac", 0.0)
    return patient_number(patient, "haemoglobin_g_dl", 15.0) * able * (1.0 - 0.01 * saturation_pct)
