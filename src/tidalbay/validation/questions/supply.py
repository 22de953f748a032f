"""Questions on supply and surroundings: cylinders, real gas, flowmeters, height, vapour."""

from tidalbay import ask
from tidalbay.catalogue.cylinders import cylinder_size
from tidalbay.equipment import equipment_from_setup
from tidalbay.science.gas import (
    gas_held_l,
    mountain_pressure_mmhg,
    oxygen_compressibility,
    standard_atmosphere_mmhg,
    water_vapour_mmhg,
)
from tidalbay.units import METERED_K

WATER_MG_K_L_MMHG = 288.8  # mass of a litre of vapour by pressure over temperature, ideal gas
OXYGEN_KG_MOL = 0.0319988
GAS_CONSTANT = 8.314462618


def content(size: str, pressure: float, unit: str) -> float:
    """Gas in a cylinder down to an empty gauge, by the equation of state. [L]"""
    return ask.cylinder(size, pressure, unit, flow_lpm=5.0).content_l


def minutes_by_factor(size: str, pressure_psi: float, flow_lpm: float) -> float:
    """Minutes left by the sum taught at the bedside, 200 psi kept. [min]"""
    minutes = ask.cylinder(size, pressure_psi, "psi", flow_lpm=flow_lpm).minutes_by_factor
    assert minutes is not None, f"size {size} has no factor"
    return minutes


def water_capacity(size: str) -> float:
    """Water capacity that the equation of state gives a size from its printed content. [L]"""
    return cylinder_size(size).water_capacity_l


def compressibility(gauge_bar: float, temperature_degc: float = 20.0) -> float:
    """Compressibility factor of oxygen. [1]"""
    return oxygen_compressibility(100.0 * gauge_bar + 101.325, temperature_degc + 273.15)


def litres_per_litre(gauge_bar: float, temperature_degc: float = 20.0) -> float:
    """Oxygen at 101.325 kPa and that temperature in a litre of cylinder. [L/L]"""
    kelvin = temperature_degc + 273.15
    return gas_held_l(1.0, 100.0 * gauge_bar, kelvin, "oxygen") * kelvin / METERED_K


def density(temperature_degc: float) -> float:
    """Density of oxygen at 101.325 kPa. [kg/m3]"""
    kelvin = temperature_degc + 273.15
    ideal = 101_325.0 * OXYGEN_KG_MOL / (GAS_CONSTANT * kelvin)
    return ideal / oxygen_compressibility(101.325, kelvin)


def flush() -> float:
    """Flow of a wall flowmeter opened past its scale. [L/min]"""
    equipment = equipment_from_setup(
        {"supplies": [{"id": "wall", "kind": "wall_oxygen", "flowmeter": {"id": "meter"}}]}
    )
    return float(equipment.apply("flow_set", "meter", {"flush": True}, 0).readings()["meter.flow_lpm"] or 0.0)


def concentrator_pct(flow_lpm: float, is_worn: bool = False) -> float:
    """Oxygen that a warm concentrator gives. [%]"""
    machine = {"id": "machine", "kind": "concentrator", "running": True, "flowmeter": {"flow_lpm": flow_lpm}}
    equipment = equipment_from_setup({"supplies": [machine]})
    if is_worn:
        equipment = equipment.with_fault("sieve_worn", "machine")
    return float(equipment.readings()["machine.oxygen_pct"] or 0.0)


def atmosphere(altitude_m: float) -> float:
    """Pressure of the standard atmosphere. [mmHg]"""
    return standard_atmosphere_mmhg(altitude_m)


def mountain_air(altitude_m: float) -> float:
    """Pressure over high mountains. [mmHg]"""
    return mountain_pressure_mmhg(altitude_m)


def vapour_pressure(temperature_degc: float) -> float:
    """Pressure of water vapour in saturated gas. [mmHg]"""
    return water_vapour_mmhg(temperature_degc)


def vapour_mg_l(temperature_degc: float) -> float:
    """Water in a litre of saturated gas. [mg/L]"""
    return WATER_MG_K_L_MMHG * water_vapour_mmhg(temperature_degc) / (temperature_degc + 273.15)
