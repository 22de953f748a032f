"""A patient through stages of gas, device and breathing: the question that a study asks."""

from collections.abc import Sequence
from dataclasses import dataclass

from tidalbay.attempt.breath import Pattern
from tidalbay.attempt.showing import trace_of
from tidalbay.engine import Patient, settled
from tidalbay.equipment import Controls, Equipment
from tidalbay.trace import Trace

BREATHING = ("free", "held", "apnoea")


@dataclass(frozen=True, slots=True)
class Stage:
    """A stretch of time in which nothing is changed.

    Parameters
    ----------
    seconds : float
        How long. [s]
    equipment : Equipment
    barometric_mmhg, room_oxygen_frac : float
        The room: altitude, or a mixture that is breathed like room air. [mmHg], [1]
    breathing : str
        free (the patient's own), held (a pattern) or apnoea.
    pattern : Pattern or None
        For held breathing.
    airway_open : bool
        Whether gas can pass the throat.
    """

    seconds: float
    equipment: Equipment
    barometric_mmhg: float = 760.0
    room_oxygen_frac: float = 0.2095
    breathing: str = "free"
    pattern: Pattern | None = None
    airway_open: bool = True


def course(patient: Patient, stages: Sequence[Stage], seed: int = 0) -> Trace:
    """The trace of a patient who settles under the first stage and then lives through all of them.

    Parameters
    ----------
    patient : Patient
    stages : sequence of Stage, at least one
    seed : int
        0 to 2**32 - 1.

    Raises
    ------
    CannotBreatheEnough
        With a sentence, where the patient cannot hold their habitual carbon dioxide at rest.
    """
    first = stages[0]
    run = settled(_breathing(patient, first), _controls(first), seed)
    own = patient._replace(
        wakeful_drive_l_min=run.patient.wakeful_drive_l_min,
        co2_threshold_mmhg=run.patient.co2_threshold_mmhg,
    )
    stretches, until_s = [], 0.0
    for stage in stages:
        stretches.append((until_s, stage.equipment))
        until_s += stage.seconds
        run.patient = _breathing(own, stage)
        run.advance_to(until_s, _controls(stage))
    return trace_of(run, stretches)


def _breathing(patient: Patient, stage: Stage) -> Patient:
    if stage.breathing == "apnoea":
        return patient._replace(apnoea=1.0)
    if stage.breathing == "held":
        return (stage.pattern or Pattern()).on(patient)
    return patient


def _controls(stage: Stage) -> Controls:
    controls = stage.equipment.controls(stage.barometric_mmhg, stage.room_oxygen_frac)
    return controls._replace(airway_open=1.0 if stage.airway_open else 0.0)
