"""What a cylinder holds and how long it lasts, with the sum taught at the bedside beside it."""

from typing import TYPE_CHECKING, Final

from tidalbay.catalogue.cylinders import cylinder_sizes
from tidalbay.catalogue.fault import Fault, did_you_mean
from tidalbay.cli import asked
from tidalbay.cli.paper import labelled
from tidalbay.cli.refusals import CalledWrongly
from tidalbay.units import KPA_PER_BAR, psi_from_kpa

if TYPE_CHECKING:
    from tidalbay.equipment import CylinderAnswer

LABEL: Final = 14
MOST_LPM: Final = 100.0
MOST_KPA: Final = 35000.0  # above the fullest cylinder in use, 300 bar


def ask(size: str | None, pressure: str | None, flow: str | None, reserve: str | None) -> "CylinderAnswer":
    """Read the options of `cylinder` and answer, or refuse the first that cannot be."""
    from tidalbay.equipment import EquipmentError, cylinder_duration

    known = [size.id for size in cylinder_sizes()]
    if size is None:
        raise CalledWrongly(f"cylinder needs --size. Allowed: {', '.join(known)}.")
    if pressure is None:
        raise CalledWrongly("cylinder needs --pressure, what the gauge shows with its unit: 2000psi, 137bar.")
    if flow is None:
        raise CalledWrongly("cylinder needs --flow, in L/min.")
    flow_lpm = asked.number("flow", flow, 0.1, MOST_LPM, "L/min")
    names = [name for row in cylinder_sizes() for name in (row.id, *row.also)]
    if size.strip().upper() not in [name.upper() for name in names]:
        hint = did_you_mean(size.upper().replace(" ", "-"), known)
        raise CalledWrongly(Fault("size", f"--size is {size}", ", ".join(known), hint).sentence)
    try:
        return cylinder_duration(
            size, _kpa("pressure", pressure), flow_lpm, None if reserve is None else _kpa("reserve", reserve)
        )
    except EquipmentError as error:
        raise CalledWrongly(str(error)) from None


def _kpa(option: str, text: str) -> float:
    from tidalbay.equipment import EquipmentError, pressure_kpa_from_text

    try:
        kpa = pressure_kpa_from_text(text)
    except EquipmentError:
        raise CalledWrongly(
            f"--{option} is {text}. It is a number and its unit, psi, bar or kPa: 2000psi, for one."
        ) from None
    if not 0.0 <= kpa <= MOST_KPA:
        most = f"{MOST_KPA / KPA_PER_BAR:.0f} bar, {psi_from_kpa(MOST_KPA):.0f} psi or {MOST_KPA:.0f} kPa"
        raise CalledWrongly(f"--{option} is {text}. Allowed: 0 to {most}.")
    return kpa


def cylinder_page(answer: "CylinderAnswer", caution: str, wide: int) -> str:
    """Return the page of one cylinder."""
    at, flow = _pressure(answer.pressure_kpa), answer.flow_lpm
    lines = [f"A cylinder of size {answer.size} at {at}, giving {flow:g} L/min", ""]
    lines += labelled("Minutes left", _minutes_left(answer), wide, LABEL)
    lines += labelled("Content", _content(answer), wide, LABEL)
    lines += labelled("By the sum", _sum(answer), wide, LABEL)
    lines += labelled("They differ", _why(answer), wide, LABEL)
    return "\n".join([*lines, "", *labelled("Caution", caution, wide, LABEL)])


def full_minutes(minutes: float) -> int:
    """Return the minutes that are full: never rounded up, but not one short for a rounded last digit."""
    return int(minutes + 1e-6)


def _pressure(kpa: float) -> str:
    return f"{psi_from_kpa(kpa):.0f} psi ({kpa / KPA_PER_BAR:.0f} bar)"


def _minutes_left(answer: "CylinderAnswer") -> str:
    minutes = full_minutes(answer.minutes)
    hours = f" ({minutes // 60} h {minutes % 60:02d} min)" if minutes >= 60 else ""
    return (
        f"{minutes}{hours}, until the gauge shows {_pressure(answer.reserve_kpa)}, which is kept in reserve"
    )


def _content(answer: "CylinderAnswer") -> str:
    return (
        f"{answer.content_l:.0f} L down to an empty gauge, {answer.usable_l:.0f} L of them above the reserve"
    )


def _sum(answer: "CylinderAnswer") -> str:
    if answer.minutes_by_factor is not None:
        gauge, kept = psi_from_kpa(answer.pressure_kpa), psi_from_kpa(answer.reserve_kpa)
        return (
            f"({gauge:.0f} - {kept:.0f}) psi x {answer.factor_l_per_psi:g} L/psi / {answer.flow_lpm:g} L/min "
            f"= {full_minutes(answer.minutes_by_factor)} minutes, as it is taught at the bedside"
        )
    gauge, kept = answer.pressure_kpa / KPA_PER_BAR, answer.reserve_kpa / KPA_PER_BAR
    return (
        f"({gauge:.0f} - {kept:.0f}) bar x {answer.water_capacity_l:.3g} L / {answer.flow_lpm:g} L/min = "
        f"{full_minutes(answer.minutes_by_water_capacity)} minutes, as it is taught at the bedside"
    )


def _why(answer: "CylinderAnswer") -> str:
    if answer.minutes <= 0:
        return "not now: nothing is left above the reserve"
    denser = 100.0 * (answer.content_l / answer.ideal_content_l - 1.0)
    by_sum = answer.minutes_by_factor
    taught = (
        "one rounded factor for every pressure" if by_sum is not None else "pressure as if it were content"
    )
    gives = answer.minutes_by_water_capacity if by_sum is None else by_sum
    which = "fewer" if gives < answer.minutes else "more"
    return (
        f"the minutes left follow the real gas, at this pressure {abs(denser):.0f} % "
        f"{'denser' if denser >= 0 else 'thinner'} than a perfect one; the sum takes {taught} and here gives "
        f"{which}. Plan with the fewer."
    )
