"""Readings that are taken once and then grow old: temperature and blood pressure."""

from dataclasses import dataclass
from typing import Final

from tidalbay.bedside.luck import CUFF_DIASTOLIC, CUFF_SYSTOLIC, THERMOMETER, spread
from tidalbay.bedside.moment import NOBODY, Numbers, number_or, second_at
from tidalbay.trace import Trace

# Standards allow a cuff a mean error of 5 mmHg with a standard deviation of 8 (ISO 81060-2, from memory)
# and a thermometer 0.2 °C (ISO 80601-2-56, from memory); a good instrument in a calm hand does better
# (assumed).
CUFF_SPREAD_MMHG: Final = 2.5
THERMOMETER_SPREAD_DEGC: Final = 0.08
LEAST_PULSE_PRESSURE_MMHG: Final = 5.0


@dataclass(frozen=True, slots=True)
class TemperatureReading:
    """A temperature as the thermometer shows it, to a tenth. [°C]"""

    temperature_degc: float
    at_s: float

    def as_plain(self, now_s: float) -> dict[str, object]:
        """Names and plain values, with how old it is."""
        return {
            "measured_temperature_degc": self.temperature_degc,
            "measured_temperature_age_s": now_s - self.at_s,
        }


@dataclass(frozen=True, slots=True)
class BloodPressure:
    """Upper and lower pressure as a cuff finds them, whole. [mmHg]"""

    systolic_mmhg: float
    diastolic_mmhg: float
    at_s: float

    def as_plain(self, now_s: float) -> dict[str, object]:
        """Names and plain values, with how old it is."""
        return {
            "measured_systolic_mmhg": self.systolic_mmhg,
            "measured_diastolic_mmhg": self.diastolic_mmhg,
            "blood_pressure_age_s": now_s - self.at_s,
        }


def temperature(trace: Trace, at_s: float, seed: int, patient: Numbers = NOBODY) -> TemperatureReading:
    """Temperature taken at a moment.

    Parameters
    ----------
    trace : Trace
        `temperature_degc` where it has it; the patient's number otherwise.
    at_s : float
        [s]
    seed : int
        Key of the attempt's chance.
    patient : mapping
        Numbers of the patient by field name.

    Raises
    ------
    NothingToReadError
        Where neither knows it.
    """
    at_s = second_at(trace, at_s)
    true_degc = number_or(trace, "temperature_degc", at_s, patient, "temperature")
    shown = true_degc + THERMOMETER_SPREAD_DEGC * spread(seed, at_s, THERMOMETER)
    return TemperatureReading(round(shown, 1), at_s)


def blood_pressure(trace: Trace, at_s: float, seed: int, patient: Numbers = NOBODY) -> BloodPressure:
    """Blood pressure taken with a cuff at a moment.

    Parameters and errors as for `temperature`, with `systolic_mmhg` and `diastolic_mmhg`.
    """
    at_s = second_at(trace, at_s)
    upper = number_or(trace, "systolic_mmhg", at_s, patient, "blood pressure")
    lower = number_or(trace, "diastolic_mmhg", at_s, patient, "blood pressure")
    upper += CUFF_SPREAD_MMHG * spread(seed, at_s, CUFF_SYSTOLIC)
    lower += CUFF_SPREAD_MMHG * spread(seed, at_s, CUFF_DIASTOLIC)
    systolic = float(round(upper))
    return BloodPressure(systolic, min(float(round(lower)), systolic - LEAST_PULSE_PRESSURE_MMHG), at_s)
