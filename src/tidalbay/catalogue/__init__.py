"""What the trade knows, as rows of data with their sources, and a typed reader for each file.

Nothing comes in: each file is read once, when somebody first asks for it.  What goes out is acts, causes,
patients, devices, supplies and cylinders as frozen rows, and a fault in words for whatever does not fit them.
"""

from tidalbay.catalogue.acts import (
    ActKind,
    Argument,
    act_fault,
    act_versions,
    acts,
    check_values,
    plausible_when,
    value_faults,
)
from tidalbay.catalogue.causes import (
    Cause,
    ConditionReading,
    cause_fault,
    cause_value_fault,
    causes,
    condition_readings,
    reading_fault,
)
from tidalbay.catalogue.cylinders import CylinderSize, cylinder_size, cylinder_sizes
from tidalbay.catalogue.devices import (
    DeviceKind,
    ProngPlacement,
    device_kind,
    device_kinds,
    probe_delays_s,
    prong_placements,
)
from tidalbay.catalogue.fault import Fault, did_you_mean
from tidalbay.catalogue.figure import Figure
from tidalbay.catalogue.patients import (
    PatientError,
    PatientField,
    PatientNumbers,
    Preset,
    field_fault,
    patient_faults,
    patient_fields,
    patient_numbers,
    preset_fault,
    presets,
)
from tidalbay.catalogue.supplies import (
    SupplyPart,
    concentrator_kinds,
    flowmeter_kinds,
    outlet_kinds,
    regulator_kind,
)

__all__ = [
    "ActKind",
    "Argument",
    "Cause",
    "ConditionReading",
    "CylinderSize",
    "DeviceKind",
    "Fault",
    "Figure",
    "PatientError",
    "PatientField",
    "PatientNumbers",
    "Preset",
    "ProngPlacement",
    "SupplyPart",
    "act_fault",
    "act_versions",
    "acts",
    "cause_fault",
    "cause_value_fault",
    "causes",
    "check_values",
    "concentrator_kinds",
    "condition_readings",
    "cylinder_size",
    "cylinder_sizes",
    "device_kind",
    "device_kinds",
    "did_you_mean",
    "field_fault",
    "flowmeter_kinds",
    "outlet_kinds",
    "patient_faults",
    "patient_fields",
    "patient_numbers",
    "plausible_when",
    "preset_fault",
    "presets",
    "probe_delays_s",
    "prong_placements",
    "reading_fault",
    "regulator_kind",
    "value_faults",
]
