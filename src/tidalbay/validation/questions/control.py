"""Questions on the control of breathing: answers to carbon dioxide, to low oxygen, to oxygen given."""

from functools import cache
from typing import Any

import numpy as np

from tidalbay.catalogue.patients import patient_numbers
from tidalbay.engine import patient_from, settled
from tidalbay.science.blood import oxygen_saturation_frac
from tidalbay.science.controls import Controls
from tidalbay.science.gas import standard_atmosphere_mmhg
from tidalbay.science.ventilation import brain_pco2_mmhg, chemical_drive_l_min, hypoxic_factor
from tidalbay.validation.asking import Words, breaths, course, late_mean, seconds, ventilation_l_min

REBREATHING = {"device": "partial_rebreathing_mask", "fit": 1.0, "flow_lpm": 0.0, "room_oxygen_frac": 0.95}


def answer_to_carbon_dioxide(**case: Any) -> float:
    """Ventilation asked for per mmHg of carbon dioxide, oxygen breathed again from a bag. [L/min/mmHg]"""
    trace = course([{"minutes": 10, "room_oxygen_frac": 0.95}, {"minutes": 10, **REBREATHING}], **case)
    asked, paco2 = (late_mean(trace, name, 20.0) for name in ("demand_l_min", "paco2_mmhg"))
    before, at = (late_mean(trace, name, 10.0) for name in ("demand_l_min", "paco2_mmhg"))
    return (asked - before) / (paco2 - at)


def answer_to_low_oxygen(po2_mmhg: float, pco2_mmhg: float = 40.0, patient: str = "healthy_adult") -> float:
    """Ventilation that low arterial oxygen adds at one carbon dioxide, above that at 100 mmHg. [L/min]"""
    low, usual = (_drive(po2, pco2_mmhg, patient) for po2 in (po2_mmhg, 100.0))
    return low - usual


def answer_per_per_cent(pco2_mmhg: float = 40.0, patient: str = "healthy_adult") -> float:
    """Ventilation gained per 1 % fall of saturation from 97 to 75 %, at one carbon dioxide. [L/min/%]"""
    pressures = np.linspace(40.0, 90.0, 26)
    saturation = [100.0 * oxygen_saturation_frac(float(po2), 7.40, 37.0) for po2 in pressures]
    asked = [_drive(float(po2), pco2_mmhg, patient) for po2 in pressures]
    return -float(np.polyfit(saturation, asked, 1)[0])


def hyperbola(po2_mmhg: float) -> float:
    """How much low oxygen multiplies the answer to carbon dioxide, against 100 mmHg. [1]"""
    return hypoxic_factor(po2_mmhg) / hypoxic_factor(100.0)


def carbon_dioxide_on_oxygen(
    oxygen: Words, minutes: float, patient: str, overrides: Words | None = None
) -> float:
    """Arterial carbon dioxide after a time on oxygen, less that on air. [mmHg]"""
    trace = course(
        [{"minutes": 5}, {"minutes": minutes, **oxygen}], patient=patient, overrides=dict(overrides or {})
    )
    return late_mean(trace, "paco2_mmhg") - late_mean(trace, "paco2_mmhg", 5.0)


def ventilation_on_oxygen(
    oxygen: Words, minutes: float, patient: str, overrides: Words | None = None
) -> float:
    """Ventilation after a time on oxygen, over that on air. [1]"""
    trace = course(
        [{"minutes": 5}, {"minutes": minutes, **oxygen}], patient=patient, overrides=dict(overrides or {})
    )
    return ventilation_l_min(trace) / ventilation_l_min(trace, 5.0)


def at_height(column: str, altitude_m: float, over: str = "difference", from_m: float = 0.0) -> float:
    """A column settled at a height after ascent, less that below, or over it, or alone. [as the column]"""
    trace = course([{"minutes": 10, "altitude_m": from_m}, {"minutes": 60, "altitude_m": altitude_m}])
    above, below = late_mean(trace, column, None, 5.0), late_mean(trace, column, 10.0, 5.0)
    return {"difference": above - below, "ratio": above / below, "alone": above}[over]


def expired_oxygen_at_height(altitude_m: float) -> float:
    """Oxygen pressure at the end of a breath out, settled at a height. [mmHg]"""
    dry_mmhg = standard_atmosphere_mmhg(altitude_m) - 47.0
    return at_height("end_tidal_o2_frac", altitude_m, "alone") * dry_mmhg


def resting(column: str, patient: str = "healthy_adult", overrides: Words | None = None) -> float:
    """A column of the trace at rest on air. [as the column]"""
    trace = course([{"minutes": 15}], patient=patient, overrides=dict(overrides or {}))
    if column == "ventilation_l_min":
        return ventilation_l_min(trace)
    if column == "peak_inspiratory_flow_lpm":
        return float(np.mean(breaths(trace, column)[-20:]))
    return float(np.mean(seconds(trace, column)[-120:]))


def dead_share_of_breath(patient: str = "healthy_adult") -> float:
    """Share of a breath that does not exchange, from ventilation, output and arterial pressure. [1]"""
    output = float(patient_numbers(patient)["co2_output_ml_min"])
    return 1.0 - 0.863 * output / (resting("paco2_mmhg", patient) * resting("ventilation_l_min", patient))


def _drive(po2_mmhg: float, pco2_mmhg: float, patient: str) -> float:
    return _asked(po2_mmhg, pco2_mmhg, _threshold_mmhg(patient), patient)


@cache
def _threshold_mmhg(patient: str) -> float:
    """Threshold of the receptors, solved so that this patient rests at their habit on air. [mmHg]"""
    numbers = {name: value for name, value in patient_numbers(patient).items() if not isinstance(value, str)}
    return settled(patient_from(numbers), Controls(), 0).patient.co2_threshold_mmhg


def _asked(po2_mmhg: float, pco2_mmhg: float, threshold_mmhg: float, patient: str) -> float:
    numbers = patient_numbers(patient)
    return chemical_drive_l_min(
        brain_pco2_mmhg(pco2_mmhg, po2_mmhg),
        pco2_mmhg,
        po2_mmhg,
        threshold_mmhg,
        float(numbers["co2_sensitivity_l_min_mmhg"]),
        float(numbers["hypoxic_sensitivity_l_min_mmhg"]),
        0.0,
    )
