"""Conversions at the edges, and the two conditions in which a gas volume is stated here.

A bare millilitre hides 11 %: gas is *metered* cool and dry (flowmeters are marked for 21 °C and
101.325 kPa) and *breathed* warm and wet (BTPS: 37 °C, saturated).  Blood content is STPD.
"""

from typing import Final

MMHG_PER_KPA: Final = 7.50062
KPA_PER_PSI: Final = 6.89476
KPA_PER_BAR: Final = 100.0
CMH2O_PER_KPA: Final = 10.19716
SECONDS_PER_MINUTE: Final = 60.0
ML_PER_L: Final = 1000.0

BODY_K: Final = 310.15
METERED_K: Final = 294.15  # 21 °C, the reference of medical flowmeters
STANDARD_K: Final = 273.15
STANDARD_MMHG: Final = 760.0
BODY_WATER_MMHG: Final = 47.0  # saturated vapour at 37 °C


def mmhg_from_kpa(pressure_kpa: float) -> float:
    """Pressure in mmHg. [mmHg]"""
    return pressure_kpa * MMHG_PER_KPA


def kpa_from_mmhg(pressure_mmhg: float) -> float:
    """Pressure in kPa. [kPa]"""
    return pressure_mmhg / MMHG_PER_KPA


def psi_from_kpa(pressure_kpa: float) -> float:
    """Pressure in pounds per square inch. [psi]"""
    return pressure_kpa / KPA_PER_PSI


def kpa_from_psi(pressure_psi: float) -> float:
    """Pressure in kPa. [kPa]"""
    return pressure_psi * KPA_PER_PSI


def btps_per_metered(barometric_mmhg: float) -> float:
    """Body-condition volume of one metered volume of dry gas. [1]

    1.124 at sea level.  The flowmeter is marked for 760 mmHg, so at altitude the same amount of
    gas fills more room in the chest.
    """
    return (BODY_K / METERED_K) * STANDARD_MMHG / (barometric_mmhg - BODY_WATER_MMHG)


def stpd_per_btps(barometric_mmhg: float) -> float:
    """Standard dry volume of one body-condition volume. [1]

    0.826 at sea level.
    """
    return (STANDARD_K / BODY_K) * (barometric_mmhg - BODY_WATER_MMHG) / STANDARD_MMHG


def btps_ml_s_from_lpm(flow_lpm: float, barometric_mmhg: float) -> float:
    """Flow at body conditions from the litres a minute a flowmeter shows. [mL/s BTPS]"""
    return flow_lpm * ML_PER_L / SECONDS_PER_MINUTE * btps_per_metered(barometric_mmhg)
