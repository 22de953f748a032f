"""Gas outside the blood: in the room, in the lung and in a cylinder."""

from typing import Final

from tidalbay.science.arithmetic import exp, power
from tidalbay.science.jit import in_kernel
from tidalbay.units import BODY_WATER_MMHG, METERED_K, MMHG_PER_KPA

ATMOSPHERE_KPA: Final = 101.325
DRY_AIR_OXYGEN_FRAC: Final = 0.2095
HIGHEST_CYLINDER_KPA: Final = 40_000.0

# Z = 1 + sum of c[i][j] p^(i+1) t^j  with p in units of 30 MPa and t = 300 K / T - 1: fitted by us to
# the equations of state named at each gas, -10 to 50 °C and 0 to 310 bar, within 0.03 %.
_Rows = tuple[tuple[float, float, float], ...]
_COMPRESSIBILITY: Final[dict[str, _Rows]] = {
    # Schmidt R, Wagner W. Fluid Phase Equilibria 1985;19:175-200.
    "oxygen": (
        (-0.18785, -0.92382, -0.75397),
        (0.10667, -0.11907, -2.75729),
        (0.13244, 1.1964, 6.41499),
        (-0.0622, -0.53304, -3.0767),
    ),
    # Span R et al. J Phys Chem Ref Data 2000;29:1361-1433.
    "nitrogen": (
        (-0.05788, -0.74297, -0.98874),
        (0.22407, 0.44021, 0.37994),
        (0.0033, 0.53386, 1.53318),
        (-0.02671, -0.35335, -1.02379),
    ),
    # Lemmon EW et al. J Phys Chem Ref Data 2000;29:331-385.
    "air": (
        (-0.09032, -0.77431, -0.99394),
        (0.20367, 0.28246, -0.09951),
        (0.02779, 0.74055, 2.49599),
        (-0.03296, -0.42154, -1.50848),
    ),
}


@in_kernel
def water_vapour_mmhg(temperature_degc: float) -> float:
    """Pressure of water vapour in saturated gas. [mmHg]

    Parameters
    ----------
    temperature_degc : float
        Temperature of the gas, 0 to 50. [°C]

    Notes
    -----
    47.1 mmHg at 37 °C, where the trade writes 47.

    Examples
    --------
    >>> round(water_vapour_mmhg(37.0), 1)
    47.1

    References
    ----------
    Buck AL. J Appl Meteorol 1981;20:1527-1532.
    """
    hectopascal = 6.1121 * exp(17.502 * temperature_degc / (240.97 + temperature_degc))
    return hectopascal * 0.1 * MMHG_PER_KPA


@in_kernel
def standard_atmosphere_mmhg(altitude_m: float) -> float:
    """Barometric pressure of the standard atmosphere. [mmHg]

    Parameters
    ----------
    altitude_m : float
        Height above the sea, -500 to 11000. [m]

    Notes
    -----
    High mountains have more: see `mountain_pressure_mmhg`.

    Examples
    --------
    >>> round(standard_atmosphere_mmhg(1500.0), 1)
    634.2

    References
    ----------
    ISO 2533:1975, Standard Atmosphere, troposphere.
    """
    return ATMOSPHERE_KPA * MMHG_PER_KPA * power(1.0 - 0.0065 * altitude_m / 288.15, 5.25588)


@in_kernel
def mountain_pressure_mmhg(altitude_m: float) -> float:
    """Barometric pressure on most mountains where people live or climb. [mmHg]

    Parameters
    ----------
    altitude_m : float
        Height above the sea, 0 to 9000. [m]

    Examples
    --------
    >>> round(mountain_pressure_mmhg(5000.0))
    420

    References
    ----------
    West JB. J Appl Physiol 1996;81:1850-1854 (coefficients from memory).
    """
    km = altitude_m / 1000.0
    return exp(6.63268 - 0.1112 * km - 0.00149 * km * km)


@in_kernel
def inspired_oxygen_mmhg(fio2_frac: float, barometric_mmhg: float) -> float:
    """Oxygen pressure in inspired gas once it is warm and wet. [mmHg]

    Parameters
    ----------
    fio2_frac : float
        Oxygen in the dry gas. [1]
    barometric_mmhg : float
        Pressure of the room. [mmHg]

    Examples
    --------
    >>> round(inspired_oxygen_mmhg(0.21, 760.0), 1)
    149.7

    References
    ----------
    West JB, Respiratory Physiology (from memory).
    """
    return fio2_frac * (barometric_mmhg - BODY_WATER_MMHG)


@in_kernel
def alveolar_oxygen_mmhg(
    fio2_frac: float, barometric_mmhg: float, paco2_mmhg: float, respiratory_quotient: float
) -> float:
    """Oxygen pressure in the alveoli at rest, by the full alveolar gas equation. [mmHg]

    Parameters
    ----------
    fio2_frac : float
        Oxygen in the dry inspired gas. [1]
    barometric_mmhg : float
        Pressure of the room. [mmHg]
    paco2_mmhg : float
        Carbon dioxide pressure in the alveoli, or in arterial blood. [mmHg]
    respiratory_quotient : float
        Carbon dioxide given out over oxygen taken up, above 0. [1]

    Notes
    -----
    Holds in a steady state with no carbon dioxide inspired. Not below 0.

    Examples
    --------
    >>> round(alveolar_oxygen_mmhg(0.21, 760.0, 40.0, 0.8), 1)
    101.8

    References
    ----------
    West JB, Respiratory Physiology; Nunn's Applied Respiratory Physiology (both from memory).
    """
    inspired = inspired_oxygen_mmhg(fio2_frac, barometric_mmhg)
    ratio = max(respiratory_quotient, 0.01)
    return max(0.0, inspired - paco2_mmhg * (fio2_frac + (1.0 - fio2_frac) / ratio))


@in_kernel
def alveolar_co2_mmhg(co2_output_stpd_ml_min: float, alveolar_ventilation_btps_lpm: float) -> float:
    """Carbon dioxide pressure in the alveoli at rest, by the alveolar ventilation equation. [mmHg]

    Parameters
    ----------
    co2_output_stpd_ml_min : float
        Carbon dioxide given out. [mL STPD per minute]
    alveolar_ventilation_btps_lpm : float
        Ventilation that reaches the alveoli; no less than 0.01 is counted. [L BTPS per minute]

    Examples
    --------
    >>> round(alveolar_co2_mmhg(200.0, 4.3), 1)
    40.1

    References
    ----------
    West JB, Respiratory Physiology (from memory): 0.863 = 760 (310 / 273) / 1000.
    """
    return 0.863 * co2_output_stpd_ml_min / max(alveolar_ventilation_btps_lpm, 0.01)


@in_kernel
def shunt_frac(capillary_o2_ml_dl: float, arterial_o2_ml_dl: float, venous_o2_ml_dl: float) -> float:
    """Share of the cardiac output that takes up no oxygen in the lung. [1]

    Parameters
    ----------
    capillary_o2_ml_dl : float
        Oxygen content of blood in balance with alveolar gas. [mL/dL]
    arterial_o2_ml_dl, venous_o2_ml_dl : float
        Oxygen content of arterial and mixed venous blood. [mL/dL]

    Notes
    -----
    From 0 to 1; 0 where capillary blood holds no more than venous blood.

    Examples
    --------
    >>> round(shunt_frac(20.4, 19.9, 15.0), 3)
    0.093

    References
    ----------
    Berggren S. Acta Physiol Scand 1942;4(suppl 11) (from memory).
    """
    gained = capillary_o2_ml_dl - venous_o2_ml_dl
    if gained <= 0.0:
        return 0.0
    return min(1.0, max(0.0, (capillary_o2_ml_dl - arterial_o2_ml_dl) / gained))


def oxygen_compressibility(pressure_kpa: float, temperature_k: float) -> float:
    """Compressibility factor Z of oxygen; 1 is an ideal gas. [1]

    Parameters
    ----------
    pressure_kpa : float
        Absolute pressure, 0 to 31000. [kPa]
    temperature_k : float
        Temperature, 263 to 323. [K]

    Notes
    -----
    Within 0.03 % of the equation of state in that range.

    Examples
    --------
    >>> round(oxygen_compressibility(13_801.0, 293.15), 3)
    0.938

    References
    ----------
    A polynomial of ours, fitted to Schmidt R, Wagner W. Fluid Phase Equilibria 1985;19:175-200.
    """
    return _compressibility_and_slope(pressure_kpa, temperature_k, "oxygen")[0]


def nitrogen_compressibility(pressure_kpa: float, temperature_k: float) -> float:
    """Compressibility factor Z of nitrogen; 1 is an ideal gas. [1]

    Parameters
    ----------
    pressure_kpa : float
        Absolute pressure, 0 to 31000. [kPa]
    temperature_k : float
        Temperature, 263 to 323. [K]

    References
    ----------
    A polynomial of ours, fitted to Span R et al. J Phys Chem Ref Data 2000;29:1361-1433.
    """
    return _compressibility_and_slope(pressure_kpa, temperature_k, "nitrogen")[0]


def air_compressibility(pressure_kpa: float, temperature_k: float) -> float:
    """Compressibility factor Z of dry air; 1 is an ideal gas. [1]

    Parameters
    ----------
    pressure_kpa : float
        Absolute pressure, 0 to 31000. [kPa]
    temperature_k : float
        Temperature, 263 to 323. [K]

    References
    ----------
    A polynomial of ours, fitted to Lemmon EW et al. J Phys Chem Ref Data 2000;29:331-385.
    """
    return _compressibility_and_slope(pressure_kpa, temperature_k, "air")[0]


def gas_held_l(water_capacity_l: float, gauge_pressure_kpa: float, temperature_k: float, gas: str) -> float:
    """All gas in a cylinder, in litres as a flowmeter counts them (21 °C, 101.325 kPa). [L metered]

    Parameters
    ----------
    water_capacity_l : float
        Inner volume of the cylinder. [L]
    gauge_pressure_kpa : float
        Reading of its gauge, -101.325 to 40000. [kPa]
    temperature_k : float
        Temperature of the gas in it, 263 to 323. [K]
    gas : str
        "oxygen", "air" or "nitrogen".

    Returns
    -------
    float
        What is in it, the filling that stays at gauge 0 included; what can flow out is the
        difference between two pressures.

    Raises
    ------
    ValueError
        For a gas that is not in the table.

    Notes
    -----
    The gauge is taken to read from 101.325 kPa.

    Examples
    --------
    >>> round(gas_held_l(1.0, 13_700.0, 293.15, "oxygen"))
    146
    """
    pressure_kpa = gauge_pressure_kpa + ATMOSPHERE_KPA
    z = _compressibility_and_slope(pressure_kpa, temperature_k, gas)[0]
    return water_capacity_l * (pressure_kpa / (z * temperature_k)) * _metered_k_per_kpa(gas)


def gauge_pressure_kpa(water_capacity_l: float, held_l: float, temperature_k: float, gas: str) -> float:
    """What the gauge reads when a cylinder holds an amount of gas: `gas_held_l` turned round. [kPa]

    Parameters
    ----------
    water_capacity_l : float
        Inner volume of the cylinder, above 0. [L]
    held_l : float
        All gas in it, as `gas_held_l` counts. [L metered]
    temperature_k : float
        Temperature of the gas in it, 263 to 323. [K]
    gas : str
        "oxygen", "air" or "nitrogen".

    Returns
    -------
    float
        Negative for less gas than fills it at room pressure; never above 40000.

    Raises
    ------
    ValueError
        For a gas that is not in the table.

    Notes
    -----
    Newton's method on a curve that only rises; met within 1e-9 of the pressure.

    Examples
    --------
    >>> round(gauge_pressure_kpa(1.0, gas_held_l(1.0, 13_700.0, 293.15, "oxygen"), 293.15, "oxygen"), 6)
    13700.0
    """
    ideal_kpa = max(held_l, 0.0) / water_capacity_l * temperature_k / _metered_k_per_kpa(gas)
    highest_kpa = HIGHEST_CYLINDER_KPA + ATMOSPHERE_KPA
    pressure_kpa = min(ideal_kpa, highest_kpa)
    for _ in range(12):
        z, z_per_kpa = _compressibility_and_slope(pressure_kpa, temperature_k, gas)
        step_kpa = (pressure_kpa / z - ideal_kpa) * z * z / (z - pressure_kpa * z_per_kpa)
        pressure_kpa = min(max(pressure_kpa - step_kpa, 0.0), highest_kpa)
        if abs(step_kpa) <= 1e-12 * pressure_kpa:
            break
    return pressure_kpa - ATMOSPHERE_KPA


def _metered_k_per_kpa(gas: str) -> float:
    """Metered litres that one litre at 1 kPa and 1 K would make, were its Z 1. [K/kPa]"""
    return METERED_K * _compressibility_and_slope(ATMOSPHERE_KPA, METERED_K, gas)[0] / ATMOSPHERE_KPA


def _compressibility_and_slope(pressure_kpa: float, temperature_k: float, gas: str) -> tuple[float, float]:
    """Z and its slope by pressure. [1, 1/kPa]"""
    if gas not in _COMPRESSIBILITY:
        known = ", ".join(sorted(_COMPRESSIBILITY))
        raise ValueError(f"no compressed gas is called {gas!r}; write one of: {known}")
    p = pressure_kpa / 30_000.0
    t = 300.0 / temperature_k - 1.0
    value = 0.0
    slope = 0.0
    for low, middle, high in reversed(_COMPRESSIBILITY[gas]):
        value = value * p + (low + t * (middle + t * high))
        slope = slope * p + value  # of value * p, by Horner's rule run twice
    return 1.0 + value * p, slope / 30_000.0
