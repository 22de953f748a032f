"""How long a cylinder lasts: by the equation of state, by the factor taught, by water capacity."""

import re
from dataclasses import dataclass
from math import isfinite

from tidalbay.catalogue.cylinders import cylinder_size
from tidalbay.catalogue.supplies import regulator_kind
from tidalbay.equipment.parts import EquipmentError
from tidalbay.equipment.sources.bottle import litres_per_litre
from tidalbay.units import KPA_PER_BAR, KPA_PER_PSI, METERED_K, kpa_from_psi, psi_from_kpa

_KPA_PER_UNIT = {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR, "kpa": 1.0}
_PRESSURE = re.compile(r"\s*([-+]?[0-9]*\.?[0-9]+)\s*([A-Za-z]+)\s*")

HIGHEST_KPA = 35000.0  # above the highest filling in use, 300 bar
HIGHEST_LPM = 100.0  # above an open flush, 90 L/min


@dataclass(frozen=True, slots=True)
class CylinderAnswer:
    """What a cylinder holds and how long it lasts; litres at 21 °C and 101.325 kPa.

    Attributes
    ----------
    size : str
        The size as the catalogue names it.
    pressure_kpa, reserve_kpa, flow_lpm : float
        What was asked.
    content_l : float
        Gas that comes out down to an empty gauge, by the equation of state. [L]
    usable_l : float
        Gas above the reserve, by the equation of state. [L]
    minutes : float
        `usable_l` at that flow. [min]
    ideal_content_l : float
        What an ideal gas would give. [L]
    minutes_by_factor : float or None
        (psi - reserve) x factor / flow, the sum taught at the bedside; None where the size has no factor.
    minutes_by_water_capacity : float
        Water capacity x (bar - reserve) / flow, the sum taught with bar. [min]
    warnings : tuple of str
    """

    size: str
    pressure_kpa: float
    reserve_kpa: float
    flow_lpm: float
    content_l: float
    usable_l: float
    minutes: float
    ideal_content_l: float
    factor_l_per_psi: float | None
    minutes_by_factor: float | None
    water_capacity_l: float
    minutes_by_water_capacity: float
    warnings: tuple[str, ...]


def usual_reserve_kpa() -> float:
    """The reserve that is left in a cylinder where none is named: 200 psi. [kPa]"""
    return kpa_from_psi(regulator_kind().value("reserve_psi"))


def pressure_kpa_from_text(text: str) -> float:
    """A pressure as people write it, `2000 psi`, `137bar` or `13700 kPa`. [kPa]

    Raises
    ------
    EquipmentError
        With a sentence, if it is no number with one of the three units.
    """
    match = _PRESSURE.fullmatch(str(text))
    factor = _KPA_PER_UNIT.get(match.group(2).lower()) if match else None
    if match is None or factor is None:
        raise EquipmentError(
            f"{text!r} is no pressure; write a number with psi, bar or kPa, for instance 2000psi."
        )
    return float(match.group(1)) * factor


def minutes_by_factor(
    gauge_psi: float, factor_l_per_psi: float, flow_lpm: float, reserve_psi: float = 0.0
) -> float:
    """The bedside sum in psi: (gauge - reserve) x factor / flow, never below 0. [min]

    References
    ----------
    State emergency-services guidance sheet on oxygen cylinders, 2010.
    """
    return max(0.0, gauge_psi - reserve_psi) * factor_l_per_psi / flow_lpm


def minutes_by_water_capacity(
    water_capacity_l: float, gauge_bar: float, flow_lpm: float, reserve_bar: float = 0.0
) -> float:
    """The bedside sum in bar: water capacity x (gauge - reserve) / flow, never below 0. [min]

    References
    ----------
    Boyle's law; common practice, no source.
    """
    return max(0.0, gauge_bar - reserve_bar) * water_capacity_l / flow_lpm


def cylinder_duration(
    size: str,
    pressure_kpa: float,
    flow_lpm: float,
    reserve_kpa: float | None = None,
    room_k: float = METERED_K,
) -> CylinderAnswer:
    """What a cylinder holds, and for how many minutes it gives a flow.

    Parameters
    ----------
    size : str
        A size of the catalogue, `E` or `UK-E` for instance.
    pressure_kpa : float
        What its gauge shows. [kPa]
    flow_lpm : float
        Flow that leaves it. [L/min]
    reserve_kpa : float, optional
        Gauge pressure at which it is to be changed; 200 psi if left out. [kPa]
    room_k : float
        Temperature of the cylinder. [K]

    Raises
    ------
    EquipmentError
        With a sentence, if the size is unknown or a number absurd.
    """
    reserve = usual_reserve_kpa() if reserve_kpa is None else reserve_kpa
    _check(pressure_kpa, flow_lpm, reserve)
    try:
        row = cylinder_size(size)
    except ValueError as error:
        raise EquipmentError(str(error)) from None
    content_l = row.water_capacity_l * litres_per_litre(pressure_kpa, room_k)
    kept_l = row.water_capacity_l * litres_per_litre(min(reserve, pressure_kpa), room_k)
    factor = row.factor_l_per_psi
    return CylinderAnswer(
        size=row.id,
        pressure_kpa=pressure_kpa,
        reserve_kpa=reserve,
        flow_lpm=flow_lpm,
        content_l=content_l,
        usable_l=content_l - kept_l,
        minutes=(content_l - kept_l) / flow_lpm,
        ideal_content_l=row.water_capacity_l * pressure_kpa / 101.325 * METERED_K / room_k,
        factor_l_per_psi=factor,
        minutes_by_factor=None
        if factor is None
        else minutes_by_factor(psi_from_kpa(pressure_kpa), factor, flow_lpm, psi_from_kpa(reserve)),
        water_capacity_l=row.water_capacity_l,
        minutes_by_water_capacity=minutes_by_water_capacity(
            row.water_capacity_l, pressure_kpa / KPA_PER_BAR, flow_lpm, reserve / KPA_PER_BAR
        ),
        warnings=_warnings(row.id, row.nominal_pressure_kpa, pressure_kpa, reserve),
    )


def _check(pressure_kpa: float, flow_lpm: float, reserve_kpa: float) -> None:
    for name, value in (("pressure", pressure_kpa), ("reserve", reserve_kpa)):
        if not isfinite(value) or not 0.0 <= value <= HIGHEST_KPA:
            raise EquipmentError(
                f"A {name} of {value:g} kPa cannot be; a cylinder's gauge shows 0 to {HIGHEST_KPA:g} kPa "
                f"({HIGHEST_KPA / KPA_PER_BAR:g} bar, {psi_from_kpa(HIGHEST_KPA):.0f} psi)."
            )
    if not isfinite(flow_lpm) or not 0.0 < flow_lpm <= HIGHEST_LPM:
        raise EquipmentError(
            f"A flow of {flow_lpm:g} L/min does not empty a cylinder; "
            f"write more than 0 and at most {HIGHEST_LPM:g} L/min."
        )


def _warnings(size: str, nominal_kpa: float, pressure_kpa: float, reserve_kpa: float) -> tuple[str, ...]:
    found = []
    if pressure_kpa <= reserve_kpa:
        found.append("The gauge is at or below the reserve: change the cylinder.")
    if pressure_kpa > 1.15 * nominal_kpa:
        found.append(
            f"A size {size} cylinder is filled to about {psi_from_kpa(nominal_kpa):.0f} psi "
            f"({nominal_kpa / KPA_PER_BAR:.0f} bar); check size and gauge."
        )
    return tuple(found)
