"""How long a cylinder lasts."""

from collections.abc import Mapping

from tidalbay.ask.said import one_of
from tidalbay.catalogue.breath_ranges import (
    asked_number,
)
from tidalbay.equipment import (
    CylinderAnswer,
    cylinder_duration,
    usual_reserve_kpa,
)
from tidalbay.units import KPA_PER_BAR, KPA_PER_PSI

KPA_PER_UNIT: Mapping[str, float] = {"psi": KPA_PER_PSI, "bar": KPA_PER_BAR, "kPa": 1.0}


def cylinder(
    size: str, pressure: float, unit: str, *, flow_lpm: float, reserve: float | None = None
) -> CylinderAnswer:
    """What a cylinder holds and how many minutes are left.

    Parameters
    ----------
    size : str
        As the catalogue names it: E, D, UK-D and so on.
    pressure, reserve : float
        Gauge pressure now, and the pressure to keep in hand; 200 psi if not said.
    unit : str
        psi, bar or kPa, of both.
    flow_lpm : float
        [L/min]
    """
    kpa = KPA_PER_UNIT[one_of("unit", unit, KPA_PER_UNIT)]
    reserve_kpa = usual_reserve_kpa() if reserve is None else kpa * asked_number("reserve", reserve)
    flow_lpm = asked_number("flow_lpm", flow_lpm)
    return cylinder_duration(str(size), kpa * asked_number("pressure", pressure), flow_lpm, reserve_kpa)
