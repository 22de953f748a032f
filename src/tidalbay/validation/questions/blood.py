"""Questions on blood: what it holds at given pressures."""

import numpy as np

from tidalbay.science.acid_base import base_excess_mmol_l, bicarbonate_mmol_l, standard_base_excess_mmol_l
from tidalbay.science.arithmetic import LN10, exp
from tidalbay.science.blood import (
    apparent_pk,
    blood_contents,
    co2_content_ml_dl,
    co2_solubility_mmol_l_mmhg,
    oxygen_content_ml_dl,
    oxygen_saturation_frac,
    plasma_co2_content_ml_dl,
)


def saturation_pct(po2_mmhg: float, ph: float = 7.40, temperature_degc: float = 37.0) -> float:
    """Haemoglobin saturation of blood. [%]"""
    return 100.0 * oxygen_saturation_frac(po2_mmhg, ph, temperature_degc)


def p50_mmhg(ph: float = 7.40, temperature_degc: float = 37.0) -> float:
    """Oxygen pressure at half saturation. [mmHg]"""
    low, high = 5.0, 100.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        is_below = oxygen_saturation_frac(middle, ph, temperature_degc) < 0.5
        low, high = (middle, high) if is_below else (low, middle)
    return 0.5 * (low + high)


def steepest_hill_slope() -> float:
    """Largest slope of ln(S / (1 - S)) over ln PO2. [1]"""
    logs = np.linspace(np.log(8.0), np.log(150.0), 400)
    shares = np.array([oxygen_saturation_frac(float(np.exp(x)), 7.40, 37.0) for x in logs])
    odds = np.log(shares / (1.0 - shares))
    return float(np.max(np.diff(odds) / np.diff(logs)))


def bicarbonate(pco2_mmhg: float, ph: float) -> float:
    """Bicarbonate of plasma. [mmol/L]"""
    return bicarbonate_mmol_l(pco2_mmhg, ph)


def base_excess(pco2_mmhg: float, ph: float, haemoglobin_g_dl: float, saturation_frac: float = 1.0) -> float:
    """Base excess of blood. [mmol/L]"""
    return base_excess_mmol_l(pco2_mmhg, ph, haemoglobin_g_dl, saturation_frac)


def standard_base_excess(pco2_mmhg: float, ph: float) -> float:
    """Base excess of the extracellular fluid. [mmol/L]"""
    return standard_base_excess_mmol_l(pco2_mmhg, ph)


def oxygen_content(po2_mmhg: float, ph: float, haemoglobin_g_dl: float) -> float:
    """Oxygen in blood. [mL/dL STPD]"""
    saturation = oxygen_saturation_frac(po2_mmhg, ph, 37.0)
    return oxygen_content_ml_dl(po2_mmhg, saturation, haemoglobin_g_dl, 0.0)


def oxygen_capacity() -> float:
    """Oxygen that a gram of saturated haemoglobin binds. [mL/g STPD]"""
    return (oxygen_content_ml_dl(100.0, 1.0, 10.0, 0.0) - oxygen_content_ml_dl(100.0, 0.0, 10.0, 0.0)) / 10.0


def carbon_dioxide_content(
    pco2_mmhg: float, ph: float, saturation_frac: float, haemoglobin_g_dl: float
) -> float:
    """Carbon dioxide in blood. [mL/dL STPD]"""
    return co2_content_ml_dl(pco2_mmhg, ph, saturation_frac, haemoglobin_g_dl, 37.0)


def dissolved_carbon_dioxide_pct(pco2_mmhg: float, ph: float, haemoglobin_g_dl: float) -> float:
    """Dissolved share of all carbon dioxide in arterial blood. [%]"""
    bound_over_dissolved = exp(LN10 * (ph - apparent_pk(ph, 37.0)))
    dissolved = plasma_co2_content_ml_dl(pco2_mmhg, ph, 37.0) / (1.0 + bound_over_dissolved)
    return 100.0 * dissolved / co2_content_ml_dl(pco2_mmhg, ph, 0.975, haemoglobin_g_dl, 37.0)


def haldane_ml_dl(pco2_mmhg: float, low_mmhg: float, high_mmhg: float, haemoglobin_g_dl: float) -> float:
    """Carbon dioxide set free at one pressure when blood takes up oxygen. [mL/dL STPD]"""
    venous, arterial = (
        blood_contents(po2, pco2_mmhg, haemoglobin_g_dl, 0.0, 37.0, 0.0, 0.0) for po2 in (low_mmhg, high_mmhg)
    )
    return float(venous[1] - arterial[1])


def carbonic_pk(ph: float, temperature_degc: float) -> float:
    """Apparent pK of carbonic acid in plasma. [1]"""
    return apparent_pk(ph, temperature_degc)


def carbon_dioxide_solubility(temperature_degc: float) -> float:
    """Solubility of carbon dioxide in plasma. [mmol/L/mmHg]"""
    return co2_solubility_mmol_l_mmhg(temperature_degc)
