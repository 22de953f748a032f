"""What may be asked of one breath or a stretch of time: the range of every number, for each door alike.

The ranges are what people breathe and what equipment does, with room to spare, rather than what the
model can compute; what belongs to one device (its scale, its settings) is checked where the device is.
"""

from collections.abc import Mapping
from typing import Any, Final

from tidalbay.catalogue.body_norms import usual_at
from tidalbay.catalogue.fault import Fault, number_fault

# name: least, most, unit
BREATH_RANGES: Final[Mapping[str, tuple[float, float, str]]] = {
    "rate_per_min": (3.0, 120.0, "breaths a minute"),
    "tidal_ml": (2.0, 3000.0, "mL"),
    "inspiratory_share": (0.1, 0.8, "of the breath"),
    "pause_s": (0.0, 10.0, "s"),
    "mouth_share": (0.0, 1.0, ""),
    "altitude_m": (-500.0, 6000.0, "m"),
    "flow_lpm": (0.0, 100.0, "L/min"),
    "set_flow_lpm": (0.0, 100.0, "L/min"),
    "fit": (0.0, 1.0, "(0 loose, 0.5 snug, 1 tight)"),
    "valves": (0.0, 2.0, ""),
    "setting_pct": (21.0, 100.0, "%"),
    "fio2_set": (0.21, 1.0, ""),
    "room_oxygen_frac": (0.0, 1.0, ""),
    "minutes": (0.01, 1440.0, "minutes"),
    "seed": (0.0, 2.0**32 - 1.0, ""),
    "until_s": (0.0, 86400.0 * 7.0, "s"),
    "pressure": (0.0, 40000.0, ""),
    "reserve": (0.0, 40000.0, ""),
}
WHOLE: Final = ("valves", "setting_pct", "seed")
SET_FLOW_LPM: Final = 40.0  # of the high-flow set that an in-line nebuliser is in, where nobody says
GASES: Final = ("oxygen", "air")
LONGEST_PAUSE_SHARE: Final = 0.6  # of the whole breath; what is left must hold a breath in and out
DEEPEST_ML_KG: Final = (
    45.0  # no chest takes more from rest; inspiratory capacity 28 to 40 (textbooks, from memory)
)
GROWN_UP_YEARS: Final = 18.0
GROWN_UP: Final = (15.0, 500.0)  # a minute and mL: a quiet adult, as textbooks draw one
QUIET_ML_KG: Final = 7.0  # a quiet breath: 6 to 8, textbooks (from memory)


def asked_number(name: str, value: object) -> float:
    """Read a number of `BREATH_RANGES`, given by that name.

    Raises
    ------
    ValueError
        With a sentence: what it is, and what is allowed.
    """
    low, high, unit = BREATH_RANGES[name]
    is_of_library = hasattr(value, "item") and getattr(value, "ndim", None) == 0
    plain: Any = value.item() if is_of_library else value  # type: ignore[attr-defined]
    fault = number_fault(name, plain, low, high, unit)
    if fault is None and name in WHOLE and plain != int(plain):
        fault = Fault(name, f"{name} is {value!r}, not a whole number", f"{low:.0f} to {high:.0f}")
    if fault is not None:
        raise ValueError(fault.sentence)
    return float(plain)


def check_pattern(rate_per_min: float, pause_s: float, tidal_ml: float, weight_kg: float) -> None:
    """Refuse a pause that leaves no time to breathe, and a breath that no such chest can hold.

    Raises
    ------
    ValueError
        With a sentence that says what is allowed.
    """
    whole_s = 60.0 / rate_per_min
    most_s = LONGEST_PAUSE_SHARE * whole_s
    if pause_s > most_s:
        raise ValueError(
            f"pause_s is {pause_s:g} s of a breath that takes {whole_s:.3g} s and leaves no time to breathe. "
            f"Allowed at this rate: 0 to {most_s:.2g} s."
        )
    most_ml = DEEPEST_ML_KG * weight_kg
    if tidal_ml > most_ml:
        raise ValueError(
            f"tidal_ml is {tidal_ml:g}, more than the chest of somebody of {weight_kg:.3g} kg can take in. "
            f"Allowed: 2 to {most_ml:.0f} mL."
        )


def usual_pattern(numbers: Mapping[str, Any]) -> tuple[float, float]:
    """Rate [1/min] and depth [mL] of a quiet breath of this patient, where nobody says them.

    Adults 15 of 500 mL; children the median rate of their age and 7 mL/kg.
    """
    age_years = float(numbers["age_years"])
    if age_years >= GROWN_UP_YEARS:
        return GROWN_UP
    rate = usual_at("rate_per_min", age_years, str(numbers["sex"]))
    return rate, QUIET_ML_KG * float(numbers["weight_kg"])
