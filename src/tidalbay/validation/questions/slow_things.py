"""Questions on what takes hours: skin under a strap, a dry nose, too much oxygen."""

from tidalbay.science.mucosa import (
    bubbled_mg_l,
    complains_frac,
    dryness_after,
    dryness_target,
    water_asked_mg_min,
)
from tidalbay.science.oxygen_dose import toxic_units_after
from tidalbay.science.skin import RED_LOAD, hours_until

ROOM_DEGC = 21.0


def hours_to_redness(pressure_mmhg: float, tolerance_frac: float = 1.0) -> float:
    """Hours of constant pressure until redness stays. [h]"""
    return hours_until(0.0, RED_LOAD, pressure_mmhg, tolerance_frac)


def bubbled(flow_lpm: float, water_degc: float) -> float:
    """Water in gas from an unheated bubble humidifier. [mg/L]"""
    return bubbled_mg_l(flow_lpm, water_degc)


def complain_of_dryness_pct(flow_lpm: float, hours: float, bubbled_through: bool = False) -> float:
    """Share of patients who call their nose dry after hours of cannula oxygen. [%]"""
    return 100.0 * complains_frac(_dryness(flow_lpm, hours, bubbled_through))


def dryness_score(flows_lpm: list[float], hours: float, bubbled_through: bool = False) -> float:
    """Mean discomfort over patients on these flows, on a scale of 150. [of 150]"""
    return 15.0 * sum(_dryness(flow, hours, bubbled_through) for flow in flows_lpm) / len(flows_lpm)


def toxic_units(inspired_atm: float, hours: float) -> float:
    """The lung's oxygen dose. [min of pure oxygen]"""
    return toxic_units_after(0.0, inspired_atm, 3600.0 * hours)


def _dryness(flow_lpm: float, hours: float, bubbled_through: bool) -> float:
    carried_mg_l = bubbled_mg_l(flow_lpm, ROOM_DEGC) if bubbled_through else 0.0
    target = dryness_target(water_asked_mg_min(flow_lpm, carried_mg_l), 1.0, 0.0)
    return dryness_after(dryness_target(0.0, 1.0, 0.0), target, 3600.0 * hours)
