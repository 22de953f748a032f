"""One patient from rest: settling, then advancing, with what was written down on the way."""

import math
from dataclasses import dataclass, field

import numpy as np

import tidalbay.engine.layout as at
from tidalbay.engine import compiling
from tidalbay.engine.breathing import ventilation_asked_for_l_min
from tidalbay.engine.layout import Floats
from tidalbay.engine.lungs import FAST_FLOW_SHARE, FAST_USE_SHARE, spread_over_units
from tidalbay.engine.patient import Patient
from tidalbay.science.blood import blood_contents
from tidalbay.science.controls import Controls
from tidalbay.science.gas import alveolar_oxygen_mmhg
from tidalbay.science.ventilation import chemical_drive_l_min
from tidalbay.units import BODY_WATER_MMHG

SETTLING_ROUNDS = (24, 60)  # at least, at most
CLOSE_MMHG = 0.2  # of the wanted carbon dioxide: settled (assumed)
SEDATED_S = 1200.0  # how long a sedated patient has been so when the clock starts (assumed)
SETTLING_ROUND_S = 25.0


class CannotBreatheEnough(ValueError):
    """The patient asked for cannot reach the wanted carbon dioxide; the sentence says why."""


@dataclass
class Run:
    """A patient under way: the state, and the rows written so far.

    `advance_to` may be called with other controls and another patient each time; rows written
    before never change.
    """

    state: Floats
    patient: Patient
    seed: int
    seconds: list[Floats] = field(default_factory=list)
    breaths: list[Floats] = field(default_factory=list)

    @property
    def time_s(self) -> float:
        """Time reached. [s]"""
        return float(self.state[at.TIME_S])

    def advance_to(self, until_s: float, controls: Controls) -> None:
        """Run on until a time is reached, under these controls. [s]"""
        while self.state[at.TIME_S] < until_s:
            ahead_s = until_s - self.time_s
            seconds = np.empty((int(ahead_s) + 2, at.N_SECOND_COLUMNS))
            breaths = np.empty((int(ahead_s) + 2, at.N_BREATH_COLUMNS))
            n_seconds, n_breaths = compiling.current()(
                self.state,
                Patient(*map(float, self.patient)),
                Controls(*map(float, controls)),
                self.seed,
                float(until_s),
                seconds,
                breaths,
            )
            self.seconds.append(seconds[:n_seconds])
            self.breaths.append(breaths[:n_breaths])

    def last_second(self) -> dict[str, float]:
        """The newest row of seconds by name; empty before the first."""
        for rows in reversed(self.seconds):
            if len(rows):
                newest = dict(zip(at.SECOND_COLUMNS, map(float, rows[-1]), strict=True))
                if newest["spo2_shown_pct"] < 0.0:  # the probe is off: nothing is shown
                    newest["spo2_shown_pct"] = math.nan
                return newest
        return {}

    def copy(self) -> "Run":
        """A branch that shares the past and goes its own way from now."""
        return Run(self.state.copy(), self.patient, self.seed, list(self.seconds), list(self.breaths))


def settled(patient: Patient, controls: Controls, seed: int) -> Run:
    """A patient at rest under a set-up, breathing on their own at their habitual PaCO2.

    The threshold of the CO2 receptors is solved here, not chosen: it is the one at which the
    closed loop rests at the patient's habitual carbon dioxide under this set-up.  So is what being
    awake adds: as much, up to the patient's figure, as lets the central receptors rest at their
    threshold.  Below it carbon dioxide stops driving, as was found just above the resting value in
    healthy people and in lung disease (Respir Physiol 1997;109:29-37, abstract read).

    Parameters
    ----------
    patient : Patient
    controls : Controls, the set-up at the start
    seed : int, 0 to 2**32 - 1

    Errors
    ------
    CannotBreatheEnough : no ventilation within reach holds that carbon dioxide.
    """
    # A sedative is no habit: the threshold is that of the patient awake.
    still = patient._replace(breath_variability_frac=0.0, sedation_frac=0.0)
    run = Run(first_state(patient, controls), still, seed)
    if patient.held_rate_per_min <= 0.0 and patient.apnoea < 0.5:
        needed_l_min = _find_ventilation(run, still, controls)
        wakeful = _wakeful_within(run.state, still, needed_l_min)
        still = still._replace(wakeful_drive_l_min=wakeful)
        threshold = _threshold_for(run.state, still, needed_l_min)
        still = still._replace(co2_threshold_mmhg=threshold)
        patient = patient._replace(wakeful_drive_l_min=wakeful, co2_threshold_mmhg=threshold)
    else:
        for _ in range(SETTLING_ROUNDS[0]):
            run.advance_to(run.time_s + SETTLING_ROUND_S, controls)
            run.state[at.COHB_FRAC] = patient.carboxyhaemoglobin_frac
    run.patient = still._replace(sedation_frac=patient.sedation_frac)
    if patient.sedation_frac > 0.0:
        run.advance_to(run.time_s + SEDATED_S, controls)
    return _from_time_zero(run, patient, controls, seed)


def _find_ventilation(run: Run, patient: Patient, controls: Controls) -> float:
    """Ventilation at which arterial PCO2 rests at the patient's habit. [L/min]"""
    wanted = patient.paco2_habitual_mmhg
    asked = run.state[at.DEMAND_L_MIN]
    least, most = SETTLING_ROUNDS
    for done in range(most):
        # Drives off, all ventilation asked for from outside: the loop is open while we look.
        run.patient = patient._replace(
            co2_sensitivity_l_min_mmhg=0.0,
            hypoxic_sensitivity_l_min_mmhg=0.0,
            wakeful_drive_l_min=0.0,
            other_drive_l_min=float(asked),
        )
        run.state[at.DEMAND_L_MIN] = asked
        run.advance_to(run.time_s + SETTLING_ROUND_S, controls)
        run.state[at.COHB_FRAC] = patient.carboxyhaemoglobin_frac  # nobody washes out while settling
        off = run.state[at.PACO2] - wanted
        if done >= least and abs(off) < CLOSE_MMHG:
            break
        asked *= max(0.6, min(1.6, run.state[at.PACO2] / wanted))
    if not math.isclose(run.state[at.PACO2], wanted, abs_tol=2.0):
        raise CannotBreatheEnough(
            f"This patient cannot hold a PaCO2 of {wanted:.0f} mmHg: at {asked:.0f} L/min it rests at "
            f"{run.state[at.PACO2]:.0f}. "
            "Raise paco2_habitual_mmhg, or give less dead space, stiffness or shunt."
        )
    return float(asked)


def _wakeful_within(state: Floats, patient: Patient, needed_l_min: float) -> float:
    """What being awake adds at rest, the central receptors then being at their threshold. [L/min]"""
    scale = 40.0 / patient.paco2_habitual_mmhg
    at_threshold = ventilation_asked_for_l_min(
        state,
        patient._replace(
            wakeful_drive_l_min=0.0, co2_threshold_mmhg=scale * float(state[at.BRAIN_PCO2]), sedation_frac=0.0
        ),
    )
    missing_l_min = (needed_l_min - at_threshold) / max(0.05, float(state[at.ALERTNESS_FRAC]))
    return max(0.0, min(patient.wakeful_drive_l_min, missing_l_min))


def _threshold_for(state: Floats, patient: Patient, needed_l_min: float) -> float:
    """Receptor threshold at which the drives add up to the ventilation needed. [mmHg, scaled]"""
    scale = 40.0 / patient.paco2_habitual_mmhg
    awake = float(state[at.ALERTNESS_FRAC])
    from_outside = awake * (patient.wakeful_drive_l_min + patient.other_drive_l_min)
    chemical = (needed_l_min - from_outside) / max(0.05, (1.0 - patient.sedation_frac) * (0.5 + 0.5 * awake))
    brain, carotid = scale * float(state[at.BRAIN_PCO2]), scale * float(state[at.CAROTID_PCO2])

    def asked(threshold: float) -> float:
        return chemical_drive_l_min(
            brain,
            carotid,
            float(state[at.CAROTID_PO2]),
            threshold,
            patient.co2_sensitivity_l_min_mmhg,
            patient.hypoxic_sensitivity_l_min_mmhg,
            float(state[at.HYPOXIC_DECLINE]),
        )

    low, high = -20.0, 60.0
    if chemical <= 0.0 or chemical >= asked(low):
        raise CannotBreatheEnough(
            f"This patient needs {needed_l_min:.1f} L/min at rest, and the drives given "
            f"(wakeful {patient.wakeful_drive_l_min:g}, other {patient.other_drive_l_min:g} L/min) leave "
            f"{chemical:.1f} L/min to the receptors. Lower other_drive_l_min, or change the lungs."
        )
    for _ in range(60):
        middle = 0.5 * (low + high)
        if asked(middle) > chemical:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _from_time_zero(run: Run, patient: Patient, controls: Controls, seed: int) -> Run:
    """Let the breath under way end, then start the clock: the first breath of the attempt is next."""
    # One sub-interval at a time: longer stretches might step over the end of a still interval for ever.
    seconds, breaths = np.empty((4, at.N_SECOND_COLUMNS)), np.empty((1, at.N_BREATH_COLUMNS))
    person = Patient(*map(float, run.patient))
    while run.state[at.SUBINTERVAL] < run.state[at.SUBINTERVALS]:
        soon_s = run.time_s + 1e-6
        compiling.current()(
            run.state, person, Controls(*map(float, controls)), seed, soon_s, seconds, breaths
        )
    state = run.state
    for counter in (at.TIME_S, at.BREATH_NUMBER, at.BREATH_START_S, at.NEXT_SECOND):
        state[counter] = 0.0
    state[at.FATIGUE_FRAC] = 0.0  # settling took minutes that nobody lived through
    for amount in (at.GAIN_O2_ML, at.GAIN_CO2_ML, at.GAIN_N2_ML, at.USED_O2_ML, at.MADE_CO2_ML):
        state[amount] = 0.0
    state[at.HISTORY : at.HISTORY + at.N_HISTORY] = state[at.SAO2]
    return Run(state, patient, seed)


def first_state(patient: Patient, controls: Controls) -> Floats:
    """A first guess at a resting patient, to be settled: never shown to anybody."""
    state = np.zeros(at.STATE_SIZE)
    pco2 = patient.paco2_habitual_mmhg
    alveolar = max(1.0, alveolar_oxygen_mmhg(controls.room_oxygen_frac, controls.barometric_mmhg, pco2, 0.8))
    dry_mmhg = controls.barometric_mmhg - BODY_WATER_MMHG
    _fill_units(state, patient, alveolar, pco2, dry_mmhg)
    _fill_airway(state, patient, controls, alveolar / dry_mmhg, pco2 / dry_mmhg)
    _fill_blood(state, patient, alveolar, pco2, dry_mmhg)
    state[at.FRC_ML] = patient.frc_ml
    state[at.SHUNT_FRAC] = patient.shunt_frac
    state[at.HEART_RATE_PER_MIN] = patient.resting_heart_rate_per_min
    state[at.ALERTNESS_FRAC] = 1.0
    dead_l = 0.001 * patient.anatomical_dead_space_ml
    state[at.DEMAND_L_MIN] = 0.863 * patient.co2_output_ml_min / pco2 + 15.0 * dead_l
    return state


def _fill_units(state: Floats, patient: Patient, alveolar: float, pco2: float, dry_mmhg: float) -> None:
    units = state[at.UNITS : at.HISTORY].reshape(at.N_UNITS, at.N_UNIT_FIELDS)
    spread_over_units(state, patient)
    for k in range(at.N_UNITS):
        units[k, at.UNIT_AIR_NOW] = units[k, at.UNIT_AIR_SHARE]
        units[k, at.UNIT_TONE] = 1.0
        units[k, at.UNIT_PERFUSION_SHARE] = units[k, at.UNIT_FLOW_SHARE]
        volume = units[k, at.UNIT_REST_SHARE] * patient.frc_ml
        units[k, at.UNIT_O2_ML] = volume * alveolar / dry_mmhg
        units[k, at.UNIT_CO2_ML] = volume * pco2 / dry_mmhg
        units[k, at.UNIT_N2_ML] = volume * (1.0 - (alveolar + pco2) / dry_mmhg)


def _fill_airway(
    state: Floats, patient: Patient, controls: Controls, oxygen_frac: float, co2_frac: float
) -> None:
    for space in (at.NOSE, at.UVULA, at.PHARYNX, at.MOUTH, at.FACE, at.RESERVOIR):
        state[space + at.O2] = controls.room_oxygen_frac
        state[space + at.ROOM] = 1.0
    state[at.LINE_COUNT] = 1
    state[at.PARCELS] = max(5.0, patient.anatomical_dead_space_ml - patient.upper_airway_ml)
    state[at.PARCELS + 1 + at.O2], state[at.PARCELS + 1 + at.CO2] = oxygen_frac, co2_frac


def _fill_blood(state: Floats, patient: Patient, alveolar: float, pco2: float, dry_mmhg: float) -> None:
    state[at.COHB_FRAC] = patient.carboxyhaemoglobin_frac
    state[at.BLOOD_BASE_EXCESS] = patient.base_excess_mmol_l
    state[at.CARDIAC_OUTPUT_ML_S] = patient.cardiac_output_l_min * 1000.0 / 60.0
    guess = max(45.0, alveolar - 300.0 * patient.shunt_frac)
    o2, co2, saturation, ph = blood_contents(
        guess,
        pco2,
        patient.haemoglobin_g_dl,
        patient.base_excess_mmol_l,
        patient.temperature_degc,
        patient.carboxyhaemoglobin_frac,
        patient.methaemoglobin_frac,
    )
    flow = patient.cardiac_output_l_min * 1000.0
    used, made = patient.oxygen_use_ml_min / flow, patient.co2_output_ml_min / flow
    fast, slow = FAST_USE_SHARE / FAST_FLOW_SHARE, (1.0 - FAST_USE_SHARE) / (1.0 - FAST_FLOW_SHARE)
    state[at.ARTERIAL_O2], state[at.ARTERIAL_CO2] = 0.01 * o2, 0.01 * co2
    state[at.TISSUE_FAST_O2] = max(0.0, 0.01 * o2 - fast * used)
    state[at.TISSUE_SLOW_O2] = max(0.0, 0.01 * o2 - slow * used)
    state[at.TISSUE_FAST_CO2] = 0.01 * co2 + fast * made
    state[at.TISSUE_SLOW_CO2] = 0.01 * co2 + slow * made
    state[at.VENOUS_O2] = max(0.0, 0.01 * o2 - used)
    state[at.VENOUS_CO2] = 0.01 * co2 + made
    state[at.BODY_PN2] = dry_mmhg - alveolar - pco2
    state[at.PAO2], state[at.PACO2] = guess, pco2
    state[at.SAO2], state[at.PH] = saturation, ph
    state[at.PROBE_AVERAGE] = saturation
    state[at.BRAIN_PCO2], state[at.CAROTID_PCO2], state[at.CAROTID_PO2] = pco2, pco2, guess
    state[at.HISTORY : at.HISTORY + at.N_HISTORY] = saturation
