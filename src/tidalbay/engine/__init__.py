"""The patient in numbers: one state, one kernel that advances it, and runs made of it.

In go a patient, what the equipment does to the face (`science.controls.Controls`), a seed and a
time.  Out come rows: one a second and one a breath, and a state from which the run goes on.

Public names: `Patient`, `patient_from`, `Run`, `settled`, `first_state`, `CannotBreatheEnough`,
`SECOND_COLUMNS`, `BREATH_COLUMNS`, `Treatment`, `treatment_from`, `breathing_of`,
`Wear`, `skin_tolerance`; and of the
compiled copy `compile_now`, `compile_in_background`, `is_compiled`, `is_kept`, `cache_folder`,
`source_digest`.
"""

from tidalbay.engine.compiling import (
    cache_folder,
    compile_in_background,
    compile_now,
    is_compiled,
    is_kept,
    source_digest,
)
from tidalbay.engine.layout import BREATH_COLUMNS, SECOND_COLUMNS
from tidalbay.engine.patient import Patient, patient_from
from tidalbay.engine.run import CannotBreatheEnough, Run, first_state, settled
from tidalbay.engine.treatment import Treatment, breathing_of, treatment_from
from tidalbay.engine.wear import Wear, skin_tolerance

__all__ = [
    "BREATH_COLUMNS",
    "SECOND_COLUMNS",
    "CannotBreatheEnough",
    "Patient",
    "Run",
    "Treatment",
    "Wear",
    "breathing_of",
    "cache_folder",
    "compile_in_background",
    "compile_now",
    "first_state",
    "is_compiled",
    "is_kept",
    "patient_from",
    "settled",
    "skin_tolerance",
    "source_digest",
    "treatment_from",
]
