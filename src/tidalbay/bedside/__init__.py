"""What can be seen, heard, felt and measured at the bedside: readings of the truth, never the truth itself.

A recording comes in, with a moment, the key of the attempt's chance and the patient's numbers; no engine
runs and nothing later than the moment is looked at.  What goes out is counts, displays, results and findings
in words, each with its age, and of those for any role and mode only what the one allow-list lets pass.
"""

from tidalbay.bedside.allowed import (
    JUDGES,
    ROLES,
    allowed,
    entry_passes,
    mark_shown,
    may_see_verdicts,
    order_shown,
    part_shown,
    parts_shown,
    shown_to,
    truth_passes,
)
from tidalbay.bedside.blood_gas import BloodGas, blood_gas
from tidalbay.bedside.capnogram import Capnogram, capnogram
from tidalbay.bedside.counting import CountedRate, FeltPulse, counted_rate, felt_pulse
from tidalbay.bedside.drawn import drawn_look
from tidalbay.bedside.early_warning import consciousness_of, score_standing
from tidalbay.bedside.findings import Finding, findings, findings_as_plain, findings_at
from tidalbay.bedside.looks import looks_at, voice_of
from tidalbay.bedside.measured import BloodPressure, TemperatureReading, blood_pressure, temperature
from tidalbay.bedside.moment import NothingToReadError
from tidalbay.bedside.oximeter import OximeterReading, oximeter
from tidalbay.bedside.oxygen_excess import OxygenExcess, oxygen_excess
from tidalbay.bedside.sampling import SamplingLine

__all__ = [
    "JUDGES",
    "ROLES",
    "BloodGas",
    "BloodPressure",
    "Capnogram",
    "CountedRate",
    "FeltPulse",
    "Finding",
    "NothingToReadError",
    "OximeterReading",
    "OxygenExcess",
    "SamplingLine",
    "TemperatureReading",
    "allowed",
    "blood_gas",
    "blood_pressure",
    "capnogram",
    "consciousness_of",
    "counted_rate",
    "drawn_look",
    "entry_passes",
    "felt_pulse",
    "findings",
    "findings_as_plain",
    "findings_at",
    "looks_at",
    "mark_shown",
    "may_see_verdicts",
    "order_shown",
    "oximeter",
    "oxygen_excess",
    "part_shown",
    "parts_shown",
    "score_standing",
    "shown_to",
    "temperature",
    "truth_passes",
    "voice_of",
]
