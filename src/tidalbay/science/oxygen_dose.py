"""Too much oxygen: how far above what was needed, for how long, and what that does to the lung.

Two doses are kept apart.  One is saturation above the ordered range while oxygen runs, which a
bedside can see and mend; the other is the lung's exposure to oxygen, which takes half a day or more
to be felt.  Both are exact over any step in which the oxygen stays the same.
"""

from typing import Final

from tidalbay.science.arithmetic import exp, power
from tidalbay.science.jit import in_kernel

HARMLESS_ATM: Final = 0.5  # inspired oxygen pressure that lungs bear for ever: Clark & Lambertsen 1971
FELT_UNITS: Final = 420.0  # 7 h of pure oxygen: Behnke, as cited by Comroe 1945, JAMA 128:710
SORE_UNITS: Final = 840.0  # 14 h: mean onset in Comroe 1945 (from memory)
STIFF_UNITS: Final = 1425.0  # vital capacity a tenth less: Clark & Lambertsen 1971 (from memory)
FADES_H: Final = 24.0  # assumed; no half-time was found

UNFELT: Final = 0
TICKLE: Final = 1  # behind the breastbone on a deep breath, a dry cough
SORE_CHEST: Final = 2
STIFF_LUNG: Final = 3


@in_kernel
def above_range_pct_h_after(
    dose_pct_h: float, saturation_pct: float, highest_pct: float, on_oxygen: float, dt_s: float
) -> float:
    """Saturation above the ordered range times hours, after a time on this oxygen. [% h]

    Parameters
    ----------
    dose_pct_h : float, so far. [% h]
    saturation_pct : float. [%]
    highest_pct : float, upper end of the ordered range; 100 where none was ordered. [%]
    on_oxygen : float, 0 where only air is given: high saturation on air is no fault. [1]
    dt_s : float. [s]

    Notes
    -----
    By definition.  That above 92 % in chronic lung disease outcomes are worse, the more the higher:
    Echevarria 2021, Emerg Med J 38:170.
    """
    if on_oxygen <= 0.0:
        return dose_pct_h
    return dose_pct_h + max(0.0, saturation_pct - highest_pct) * dt_s / 3600.0


@in_kernel
def needless_oxygen_h_after(dose_h: float, fio2_frac: float, needed_frac: float, dt_s: float) -> float:
    """Inspired oxygen above what the range would have needed, times hours. [h]

    Parameters
    ----------
    dose_h : float, so far; 1 h is an hour of pure oxygen that nobody needed beyond none. [h]
    fio2_frac, needed_frac : float, breathed and enough for the upper end of the range. [1]
    dt_s : float. [s]

    Notes
    -----
    By definition.
    """
    return dose_h + max(0.0, fio2_frac - needed_frac) * dt_s / 3600.0


@in_kernel
def toxic_units_per_min(inspired_atm: float) -> float:
    """Speed at which inspired oxygen harms the lung; 1 for pure oxygen at sea level. [1/min]

    Parameters
    ----------
    inspired_atm : float, share of oxygen times barometric pressure over 760 mmHg. [atm]

    Returns
    -------
    float, 0 up to half an atmosphere. [1/min]

    Notes
    -----
    ((P - 0.5) / 0.5)^(1/1.2), the unit pulmonary toxic dose.  Made for divers from falls of vital
    capacity; a median, with wide spread between people, and known to fit poorly at higher pressures.

    References
    ----------
    Clark & Lambertsen 1971, Pharmacol Rev 23:37 (form read in a textbook's table).
    """
    if inspired_atm <= HARMLESS_ATM:
        return 0.0
    return power((inspired_atm - HARMLESS_ATM) / 0.5, 1.0 / 1.2)


@in_kernel
def toxic_units_after(units: float, inspired_atm: float, dt_s: float) -> float:
    """The lung's oxygen dose after a time. [min of pure oxygen]

    Parameters
    ----------
    units : float, so far. [min of pure oxygen]
    inspired_atm : float. [atm]
    dt_s : float, any length. [s]

    Notes
    -----
    Adds up above half an atmosphere; below it fades with a day (assumed, the published dose has no
    recovery).
    """
    rate = toxic_units_per_min(inspired_atm)
    if rate > 0.0:
        return units + rate * dt_s / 60.0
    return units * exp(-dt_s / (FADES_H * 3600.0))


@in_kernel
def toxic_stage(units: float) -> int:
    """What the patient feels of it. [1]

    Parameters
    ----------
    units : float, from `toxic_units_after`. [min of pure oxygen]

    Returns
    -------
    int
        `UNFELT`, `TICKLE`, `SORE_CHEST` or `STIFF_LUNG`.

    References
    ----------
    Pure oxygen: borne up to 7 h by healthy men, then soreness behind the breastbone (Behnke, cited in
    Comroe 1945, JAMA 128:710); felt by most at 14 h, by half as many at 75 % and by none at 50 % in
    24 h (Comroe 1945, from memory).
    """
    if units >= STIFF_UNITS:
        return STIFF_LUNG
    if units >= SORE_UNITS:
        return SORE_CHEST
    return TICKLE if units >= FELT_UNITS else UNFELT
