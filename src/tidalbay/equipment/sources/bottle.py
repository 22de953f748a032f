"""Gas in a bottle and in the regulator on it: pressure, what can still come out, and how flow fades.

A regulator holds its flow while the gauge is above its outlet pressure.  Below that the flow
fades with the pressure; here it fades in eight steps of constant flow, so that every change has
a moment, and cutting time in pieces changes nothing.
"""

from dataclasses import replace
from functools import lru_cache
from math import inf

from tidalbay.catalogue.supplies import built_in_regulator
from tidalbay.equipment.parts import Cylinder, Regulator
from tidalbay.science.gas import gas_held_l, gauge_pressure_kpa

FADE_STEPS = 8
_NOTHING_L = 1e-9  # less gas than this is none: rounding, not gas


@lru_cache(maxsize=512)
def litres_per_litre(gauge_kpa: float, room_k: float) -> float:
    """Oxygen that can come out of one litre of bottle at a gauge pressure. [L/L]"""
    return gas_held_l(1.0, gauge_kpa, room_k, "oxygen") - gas_held_l(1.0, 0.0, room_k, "oxygen")


def gauge_kpa(gas_l: float, volume_l: float, room_k: float) -> float:
    """Gauge pressure of an amount of gas in a volume. [kPa]"""
    if gas_l <= 0.0:
        return 0.0
    held_l = gas_l + gas_held_l(volume_l, 0.0, room_k, "oxygen")
    return max(0.0, gauge_pressure_kpa(volume_l, held_l, room_k, "oxygen"))


def filled(cylinder_id: str, size: str, pressure_kpa: float, room_k: float) -> Cylinder:
    """A closed cylinder at a gauge pressure, as it comes from the rack: with a regulator if built in."""
    built_in = built_in_regulator(size)
    regulator = Regulator(built_in.id) if built_in else None
    empty = Cylinder(id=cylinder_id, size=size, gas_l=0.0, regulator=regulator)
    return replace(empty, gas_l=empty.row.water_capacity_l * litres_per_litre(pressure_kpa, room_k))


def held_l(cylinder: Cylinder) -> float:
    """Gas in bottle and regulator together. [L]"""
    return cylinder.gas_l + (cylinder.regulator.gas_l if cylinder.regulator else 0.0)


def vessel_l(cylinder: Cylinder) -> float:
    """Volume whose gas can reach the flowmeter: with the valve shut, the regulator's chamber alone. [L]"""
    chamber_l = cylinder.regulator.row.value("chamber_l") if cylinder.regulator else 0.0
    return chamber_l + (cylinder.row.water_capacity_l if cylinder.valve_open else 0.0)


def vessel_gas_l(cylinder: Cylinder) -> float:
    """Gas that can reach the flowmeter, or blow off where there is no regulator. [L]"""
    trapped_l = cylinder.regulator.gas_l if cylinder.regulator else 0.0
    return trapped_l + (cylinder.gas_l if cylinder.valve_open else 0.0)


def with_vessel_gas(cylinder: Cylinder, gas_l: float) -> Cylinder:
    """The cylinder with that much gas in the vessel; an open valve keeps both parts at one pressure."""
    if cylinder.regulator is None:
        return replace(cylinder, gas_l=gas_l) if cylinder.valve_open else cylinder
    if not cylinder.valve_open:
        return replace(cylinder, regulator=replace(cylinder.regulator, gas_l=gas_l))
    chamber_l = cylinder.regulator.row.value("chamber_l")
    trapped_l = gas_l * (chamber_l / vessel_l(cylinder))
    regulator = replace(cylinder.regulator, gas_l=trapped_l)
    return replace(cylinder, gas_l=gas_l - trapped_l, regulator=regulator)


def shown_kpa(cylinder: Cylinder, room_k: float) -> float | None:
    """What the gauge shows, nothing without a regulator. [kPa]

    The pressure in the regulator's chamber, or in the cylinder where the gauge sits before the valve, or
    where its needle hangs.
    """
    if cylinder.regulator is None:
        return None
    if cylinder.regulator.needle_stuck_kpa is not None:
        return cylinder.regulator.needle_stuck_kpa
    if cylinder.regulator.is_built_in and not cylinder.valve_open:
        return gauge_kpa(cylinder.gas_l, cylinder.row.water_capacity_l, room_k)
    return gauge_kpa(cylinder.regulator.gas_l, cylinder.regulator.row.value("chamber_l"), room_k)


# --- fading -------------------------------------------------------------------------------------


@lru_cache(maxsize=64)
def _edges(outlet_kpa: float, room_k: float) -> tuple[float, ...]:
    """Gas per litre at the lower end of every step, from empty to the regulator's outlet pressure."""
    return tuple(litres_per_litre(outlet_kpa * k / FADE_STEPS, room_k) for k in range(FADE_STEPS + 1))


def step_of(cylinder: Cylinder, gas_l: float, room_k: float) -> int:
    """On which step of fading the gas stands: 0 empty, 1 to 8 fading, 9 above the regulator's pressure."""
    if gas_l <= _NOTHING_L:
        return 0
    if cylinder.regulator is None:
        return FADE_STEPS + 1
    density = gas_l / vessel_l(cylinder)
    edges = _edges(cylinder.regulator.row.value("outlet_kpa"), room_k)
    return sum(density > edge * (1.0 + 1e-9) for edge in edges)


def flow_share(step: int) -> float:
    """Share of the flow set that passes on a step of fading, from 0 to 1."""
    if step > FADE_STEPS:
        return 1.0
    return max(0.0, (step - 0.5) / FADE_STEPS)


def floor_l(cylinder: Cylinder, step: int, room_k: float) -> float:
    """Gas in the vessel at which a step ends and the next lower one begins. [L]"""
    if step <= 1 or cylinder.regulator is None:
        return 0.0
    edges = _edges(cylinder.regulator.row.value("outlet_kpa"), room_k)
    return vessel_l(cylinder) * edges[step - 1]


def drawn(cylinder: Cylinder, full_lps: float, dt_s: float, room_k: float) -> tuple[Cylinder, float]:
    """The cylinder after a stretch of time, and the litres that left it.

    Parameters
    ----------
    full_lps : float
        What would leave with enough pressure. [L/s]
    dt_s : float
        However long; every step of fading on the way is taken at its own moment. [s]
    """
    gas_l = before_l = vessel_gas_l(cylinder)
    while dt_s > 0.0 and full_lps > 0.0:
        step = step_of(cylinder, gas_l, room_k)
        rate_lps = full_lps * flow_share(step)
        if rate_lps <= 0.0:
            break
        floor = floor_l(cylinder, step, room_k)
        step_s = (gas_l - floor) / rate_lps
        if step_s > dt_s + 1e-9:
            gas_l -= rate_lps * dt_s
            break
        gas_l, dt_s = floor, dt_s - step_s
    if gas_l <= _NOTHING_L:
        gas_l = 0.0
    if gas_l == before_l:
        return cylinder, 0.0
    return with_vessel_gas(cylinder, gas_l), before_l - gas_l


def step_ends_s(cylinder: Cylinder, full_lps: float, room_k: float) -> float:
    """Seconds until the flow from this cylinder next changes by itself; inf if it does not. [s]"""
    gas_l = vessel_gas_l(cylinder)
    step = step_of(cylinder, gas_l, room_k)
    rate_lps = full_lps * flow_share(step)
    if rate_lps <= 0.0:
        return inf
    return (gas_l - floor_l(cylinder, step, room_k)) / rate_lps
