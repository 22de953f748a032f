"""Nose, mouth and windpipe under dry gas: the water it asks for, and how dry they feel.

The nose gives water to ordinary air all day; what supplied gas asks beyond its spare capacity dries
it, with hours' delay.  Studies show how small the part of a bubble humidifier is at usual flows, and
the form is held to that: up to about 5 L/min dry gas asks nothing that a nose cannot give.
"""

from typing import Final

from tidalbay.science.arithmetic import exp
from tidalbay.science.gas import water_vapour_mmhg
from tidalbay.science.jit import in_kernel

WET_AT_BODY_MG_L: Final = 44.0  # saturated at 37 °C: review of high-flow oxygen, Crit Care 2017
ROOM_AIR_MG_L: Final = 9.0  # 21 °C, half saturated

COMFORTABLE: Final = 0  # numbers of the stages, by definition
DRY: Final = 1  # by definition
SORE: Final = 2  # dry and sore, crusts
BLEEDING: Final = 3  # by definition

_USUAL: Final = 1.5  # dryness of anybody ill in bed, of 10; tuned, see complains_frac
_SPARE_MG_MIN: Final = 220.0  # what a nose gives beyond room air without drying; tuned, see dryness_target
_HALF_MG_MIN: Final = 900.0  # tuned, see dryness_target
_LAG_H: Final = 3.0  # see dryness_after
_DRY_AT: Final = 2.5
_SORE_AT: Final = 4.0
_BLEEDING_AT: Final = 6.0
_WATER_MG_K_L_MMHG: Final = 288.8  # mass of a litre of vapour by pressure over temperature, ideal gas


@in_kernel
def bubbled_mg_l(flow_lpm: float, water_degc: float) -> float:
    """Water in gas that has bubbled through an unheated humidifier. [mg/L]

    Parameters
    ----------
    flow_lpm : float. [L/min]
    water_degc : float, of the water, near that of the room. [°C]

    Notes
    -----
    Saturated at the water's temperature at a trickle, less as flow leaves less time.  17 to 20 mg/L
    at 2 L/min in a warm room, falling to 8 L/min and never half of what the body asks: "An
    evaluation of water vapor output from four brands of unheated, prefilled bubble humidifiers",
    Respir Care 1982 (abstract read, year from memory).  The slope is assumed.
    """
    full_mg_l = _WATER_MG_K_L_MMHG * water_vapour_mmhg(water_degc) / (water_degc + 273.15)
    return full_mg_l / (1.0 + 0.05 * max(0.0, flow_lpm))


@in_kernel
def water_asked_mg_min(gas_l_min: float, gas_mg_l: float) -> float:
    """Water that gas takes from the lining it passes. [mg/min]

    Parameters
    ----------
    gas_l_min : float
        Supplied gas over the lining: all the flow of prongs, of a mask's flow what is breathed in.
        Behind a tracheostomy all that is breathed, supplied or not. [L/min]
    gas_mg_l : float, water already in it: 0 dry, 9 room air, 44 warmed and wet. [mg/L]

    Returns
    -------
    float, 0 or more. [mg/min]

    Notes
    -----
    It is warmed to 37 °C and saturated on its way.  Conservation of water.
    """
    return max(0.0, gas_l_min) * max(0.0, WET_AT_BODY_MG_L - gas_mg_l)


@in_kernel
def dryness_target(asked_mg_min: float, spare_frac: float, wetted_frac: float) -> float:
    """How dry it will feel, from 0 to 10, when this gas goes on. [1]

    Parameters
    ----------
    asked_mg_min : float, from `water_asked_mg_min`. [mg/min]
    spare_frac : float, 1 through nose or mouth, 0 where a tracheostomy leaves them out. [1]
    wetted_frac : float, share of the breath that comes warmed and wet. [1]

    Returns
    -------
    float, 0 to 10. [1]

    Notes
    -----
    The mean of such answers as "how dry is your nose, 0 to 10".  Usual dryness, plus x / (x + 900) of
    the rest for x mg/min beyond what the lining can spare.  Tuned by us to no more complaints dry
    than bubbled at 5 L/min (Chest 1988;93:289), and to the small difference, 3.2 of 150 (90 % CI 0 to
    6.5), between dry and bubbled oxygen at 0 to 15 L/min (Poiroux 2018, Ann Intensive Care 8:126).
    """
    beyond = max(0.0, asked_mg_min - _SPARE_MG_MIN * spare_frac)
    usual = _USUAL * (1.0 - wetted_frac)
    return usual + (10.0 - _USUAL) * beyond / (beyond + _HALF_MG_MIN)


@in_kernel
def dryness_after(dryness: float, target: float, dt_s: float) -> float:
    """Dryness after a time under the same gas. [1]

    Parameters
    ----------
    dryness, target : float, 0 to 10. [1]
    dt_s : float, any length. [s]

    Notes
    -----
    First-order with 3 h both ways, exact over any step: mucus in dogs' windpipes all but stopped
    within 3 h of dry air and recovered in 3 h of warm wet air (Hirsch 1975, J Appl Physiol 39:242).
    """
    return target + (dryness - target) * exp(-dt_s / (_LAG_H * 3600.0))


@in_kernel
def dryness_stage(dryness: float) -> int:
    """What the patient says or a look shows. [1]

    Parameters
    ----------
    dryness : float, 0 to 10. [1]

    Returns
    -------
    int
        `COMFORTABLE`, `DRY`, `SORE` or `BLEEDING`.

    Notes
    -----
    Thresholds assumed.
    """
    if dryness >= _BLEEDING_AT:
        return BLEEDING
    if dryness >= _SORE_AT:
        return SORE
    return DRY if dryness >= _DRY_AT else COMFORTABLE


@in_kernel
def complains_frac(dryness: float) -> float:
    """Share of many patients of that mean dryness who would call their nose dry when asked. [1]

    Parameters
    ----------
    dryness : float, 0 to 10. [1]

    References
    ----------
    Tuned to 43 % of interviews at 5 L/min, dry or bubbled: Chest 1988;93:289.  Slope assumed.
    """
    return 1.0 / (1.0 + exp((1.9 - dryness) / 1.4))
