"""What happens once a breath: its plan before, and what blood, brain and heart make of it after."""

import tidalbay.engine.layout as at
from tidalbay.engine.layout import Floats
from tidalbay.engine.patient import Patient
from tidalbay.science.acid_base import standard_base_excess_mmol_l
from tidalbay.science.arithmetic import exp
from tidalbay.science.blood import pressures_from_contents
from tidalbay.science.chance import BREATH_DEPTH_STREAM, BREATH_RATE_STREAM, normal
from tidalbay.science.circulation import (
    carboxyhaemoglobin_after,
    heart_rate_per_min,
    vasoconstriction_weight,
)
from tidalbay.science.effort import fatigue_after, pressure_time_index, trapped_ml
from tidalbay.science.jit import in_kernel
from tidalbay.science.mind import (
    alertness_target_frac,
    brain_saturation_frac,
    confusion_target_frac,
)
from tidalbay.science.ventilation import (
    brain_pco2_mmhg,
    chemical_drive_l_min,
    fastest_rate_per_min,
    largest_breath_ml,
    least_work_rate_per_min,
    strongest_breath_ml,
)

RISING_STEPS = 20  # sub-intervals of breathing in; its end lies on the grid
FALLING_STEPS = 28
STILL_STEPS = 4  # of an interval without breath, at most 1 s long
LONGEST_BREATH_S = 20.0  # assumed

BRAIN_LAG_S = 140.0  # central, 100 to 200 s (Bellville 1979, Clement & Robbins; from memory)
CAROTID_LAG_S = 14.0  # 10 to 20 s with 6 to 10 s of delay (same; from memory)
DECLINE_LAG_S = 420.0  # fall of the answer in lasting hypoxia (assumed)
DECLINE_FRAC = 0.30  # how far it falls (assumed)
HEART_LAG_S = 40.0  # assumed
VASOCONSTRICTION_LAG_S = 220.0  # assumed
ALERTNESS_LAG_S = 90.0  # assumed
CONFUSION_LAG_S = 240.0  # assumed
BASE_EXCESS_LAG_S = 600.0  # body buffers hold the patient's standard base excess (assumed)
REST_VOLUME_LAG_S = 20.0  # assumed
CO2_DEAD_SPACE_FRAC = 0.3  # of a breath, for the choice of rate (textbooks, from memory)
# Opioids move the answer to carbon dioxide to the right and make it flatter: Weil 1975, N Engl J
# Med 292:1103 (from memory); the size is assumed.
SEDATION_SHIFT_MMHG = 32.0
SLOWEST_HEART_PER_MIN = 20.0  # an escape rhythm (textbooks, from memory)


@in_kernel
def lagged(value: float, target: float, dt_s: float, lag_s: float) -> float:
    """First-order approach, exact over any step."""
    return target + (value - target) * exp(-dt_s / lag_s)


@in_kernel
def plan_breath(state: Floats, patient: Patient, seed: int) -> None:
    """Set rate, depth and shape of the next breath from the ventilation asked for."""
    number = state[at.BREATH_NUMBER] + 1.0
    state[at.BREATH_NUMBER] = number
    state[at.BREATH_START_S] = state[at.TIME_S]
    state[at.SUBINTERVAL] = 0.0
    state[at.INSPIRED_ML] = 0.0
    state[at.INSPIRED_O2_ML] = 0.0
    state[at.INSPIRED_CO2_ML] = 0.0
    state[at.THROAT_O2_S] = 0.0
    state[at.THROAT_PEAK_O2] = 0.0
    state[at.PEAK_FLOW_ML_S] = 0.0
    state[at.MASK_SUCTION_CMH2O_S] = 0.0
    state[at.BAG_MIN_ML] = state[at.BAG_ML]
    state[at.LEDGER_SUPPLIED_ML] = 0.0
    state[at.LEDGER_THROAT_ML] = 0.0
    state[at.LEDGER_MASK_ML] = 0.0
    state[at.LEDGER_BAG_ML] = 0.0
    state[at.LEDGER_ROOM_ML] = 0.0

    rate, tidal_ml, pause_s = _rate_and_depth(state, patient, seed, int(number))
    if rate <= 0.0 or tidal_ml <= 0.0:
        state[at.INSPIRATORY_SUBINTERVALS] = 0.0
        state[at.SUBINTERVALS] = STILL_STEPS
        state[at.INSPIRATORY_S] = 0.0
        state[at.EXPIRATORY_S] = 1.0
        state[at.EMPTYING_S] = 1.0
        state[at.EMPTYING_CONSTANT_S] = 1.0
        state[at.TIDAL_ML] = 0.0
        state[at.RATE_PER_MIN] = 0.0
        return
    length_s = 60.0 / rate
    inspiratory_s = patient.inspiratory_share * (length_s - pause_s)
    expiratory_s = length_s - inspiratory_s
    state[at.INSPIRATORY_SUBINTERVALS] = RISING_STEPS
    state[at.SUBINTERVALS] = RISING_STEPS + FALLING_STEPS
    state[at.INSPIRATORY_S] = inspiratory_s
    state[at.EXPIRATORY_S] = expiratory_s
    state[at.EMPTYING_S] = expiratory_s - pause_s
    state[at.EMPTYING_CONSTANT_S] = min(patient.expiratory_time_constant_s, (expiratory_s - pause_s) / 5.0)
    state[at.TIDAL_ML] = tidal_ml
    state[at.RATE_PER_MIN] = rate


@in_kernel
def _rate_and_depth(state: Floats, patient: Patient, seed: int, number: int) -> tuple[float, float, float]:
    """Breaths a minute and their depth, held from outside or chosen; 0 means no breath."""
    if patient.apnoea > 0.5:
        return 0.0, 0.0, 0.0
    if patient.held_rate_per_min > 0.0:
        return _held_breath(state, patient)
    state[at.STILL_S] = 0.0
    # A tired muscle gives less of what is asked, in depth and in rate (assumed shares).
    fatigue = state[at.FATIGUE_FRAC]
    demand = state[at.DEMAND_L_MIN] * (1.0 - 0.6 * fatigue)
    if demand < 0.4:
        return 0.0, 0.0, 0.0
    dead_ml = patient.anatomical_dead_space_ml
    alveolar = max(0.2, demand * (1.0 - CO2_DEAD_SPACE_FRAC))
    rate = patient.rate_bias * least_work_rate_per_min(
        alveolar, dead_ml, patient.elastance_cmh2o_l, patient.resistance_cmh2o_s_l
    )
    spread = patient.breath_variability_frac
    # Low oxygen is answered faster rather than deeper: up to a third (assumed size).
    rate *= 1.0 + 0.33 * min(1.0, max(0.0, (0.94 - state[at.SAO2]) / 0.10))
    rate *= 1.0 - 0.35 * fatigue
    rate *= 1.0 + spread * max(-2.5, min(2.5, normal(seed, BREATH_RATE_STREAM, number, 0)))
    rate = max(60.0 / LONGEST_BREATH_S, min(fastest_rate_per_min(patient.age_years), rate))
    tidal_ml = 1000.0 * demand / rate
    tidal_ml *= 1.0 + spread * max(-2.5, min(2.5, normal(seed, BREATH_DEPTH_STREAM, number, 0)))
    expiratory_s = (1.0 - patient.inspiratory_share) * 60.0 / rate
    ceiling = largest_breath_ml(
        patient.inspiratory_capacity_ml, expiratory_s, max(0.05, patient.expiratory_time_constant_s)
    )
    drawn = strongest_breath_ml(
        patient.muscle_strength_cmh2o,
        patient.elastance_cmh2o_l,
        patient.resistance_cmh2o_s_l + state[at.MASK_RESISTANCE_CMH2O_S_L],
        patient.inspiratory_share * 60.0 / rate,
    )
    return rate, min(tidal_ml, ceiling, drawn), 0.0


@in_kernel
def _held_breath(state: Floats, patient: Patient) -> tuple[float, float, float]:
    """A breath imposed from outside; after a very slow one the rest of its time passes in stillness."""
    owed_s = max(0.0, 60.0 / patient.held_rate_per_min - LONGEST_BREATH_S)
    state[at.STILL_S] = min(state[at.STILL_S], owed_s)
    if state[at.STILL_S] > 0.0:
        state[at.STILL_S] -= 1.0
        return 0.0, 0.0, 0.0
    rate, pause_s = patient.held_rate_per_min, patient.held_pause_s
    if rate < 60.0 / LONGEST_BREATH_S:
        state[at.STILL_S] = owed_s
        rate, pause_s = 60.0 / LONGEST_BREATH_S, min(pause_s, 0.5 * LONGEST_BREATH_S)
    tidal_ml = patient.held_tidal_ml
    if tidal_ml <= 0.0:  # rate held, depth follows the demand, as far as the chest goes
        tidal_ml = min(1000.0 * state[at.DEMAND_L_MIN] / rate, patient.inspiratory_capacity_ml)
    return rate, tidal_ml, pause_s


@in_kernel
def finish_breath(state: Floats, patient: Patient, dry_mmhg: float) -> None:
    """Blood gases of the breath just over, then everything that follows them slowly."""
    dt_s = max(1e-6, state[at.TIME_S] - state[at.BREATH_START_S])
    po2, pco2, saturation, ph = pressures_from_contents(
        100.0 * state[at.ARTERIAL_O2],
        100.0 * state[at.ARTERIAL_CO2],
        patient.haemoglobin_g_dl,
        state[at.BLOOD_BASE_EXCESS],
        patient.temperature_degc,
        state[at.COHB_FRAC],
        patient.methaemoglobin_frac,
        state[at.PAO2],
        state[at.PACO2],
    )
    state[at.PAO2], state[at.PACO2] = po2, pco2
    state[at.SAO2], state[at.PH] = saturation, ph
    _remember_breath(state)
    _answer(state, patient, dt_s, dry_mmhg)
    _tone(state, patient, dry_mmhg, dt_s)


@in_kernel
def _remember_breath(state: Floats) -> None:
    if state[at.INSPIRED_ML] > 0.0:
        state[at.LAST_FIO2] = state[at.INSPIRED_O2_ML] / state[at.INSPIRED_ML]
    state[at.LAST_TIDAL_ML] = state[at.TIDAL_ML]
    state[at.LAST_RATE_PER_MIN] = state[at.RATE_PER_MIN]
    state[at.LAST_END_TIDAL_O2] = state[at.END_TIDAL_O2]
    state[at.LAST_END_TIDAL_CO2] = state[at.END_TIDAL_CO2]


@in_kernel
def ventilation_asked_for_l_min(state: Floats, patient: Patient) -> float:
    """Total ventilation that brain and carotid bodies ask for now. [L/min BTPS]"""
    scale = 40.0 / patient.paco2_habitual_mmhg
    chemical = chemical_drive_l_min(
        scale * state[at.BRAIN_PCO2],
        scale * state[at.CAROTID_PCO2],
        state[at.CAROTID_PO2],
        patient.co2_threshold_mmhg + SEDATION_SHIFT_MMHG * patient.sedation_frac,
        patient.co2_sensitivity_l_min_mmhg,
        patient.hypoxic_sensitivity_l_min_mmhg,
        state[at.HYPOXIC_DECLINE],
    )
    awake = state[at.ALERTNESS_FRAC]
    asked = awake * (patient.wakeful_drive_l_min + patient.other_drive_l_min)
    return float(asked + (1.0 - patient.sedation_frac) * (0.5 + 0.5 * awake) * chemical)


@in_kernel
def _answer(state: Floats, patient: Patient, dt_s: float, dry_mmhg: float) -> None:
    """Receptors, drive, heart and buffers after a breath of length dt_s."""
    brain = brain_pco2_mmhg(state[at.PACO2], state[at.PAO2])
    state[at.BRAIN_PCO2] = lagged(state[at.BRAIN_PCO2], brain, dt_s, BRAIN_LAG_S)
    state[at.CAROTID_PO2] = lagged(state[at.CAROTID_PO2], state[at.PAO2], dt_s, CAROTID_LAG_S)
    state[at.CAROTID_PCO2] = lagged(state[at.CAROTID_PCO2], state[at.PACO2], dt_s, CAROTID_LAG_S)
    hypoxia = max(0.0, min(1.0, (70.0 - state[at.CAROTID_PO2]) / 30.0))
    state[at.HYPOXIC_DECLINE] = lagged(state[at.HYPOXIC_DECLINE], DECLINE_FRAC * hypoxia, dt_s, DECLINE_LAG_S)
    state[at.DEMAND_L_MIN] = ventilation_asked_for_l_min(state, patient)
    wanted = heart_rate_per_min(
        patient.resting_heart_rate_per_min,
        state[at.SAO2],
        state[at.PACO2] - patient.paco2_habitual_mmhg,
        patient.temperature_degc,
        patient.pain,
    )
    wanted = max(SLOWEST_HEART_PER_MIN, wanted + patient.heart_drive_per_min)
    state[at.HEART_RATE_PER_MIN] = lagged(state[at.HEART_RATE_PER_MIN], wanted, dt_s, HEART_LAG_S)
    quicker = state[at.HEART_RATE_PER_MIN] / patient.resting_heart_rate_per_min - 1.0
    state[at.CARDIAC_OUTPUT_ML_S] = (
        patient.cardiac_output_l_min * (1000.0 / 60.0) * max(0.5, 1.0 + 0.3 * quicker)
    )
    _tire_and_cloud(state, patient, dt_s)
    _wash_out_carbon_monoxide(state, patient, dt_s, dry_mmhg)
    drift = patient.base_excess_mmol_l - standard_base_excess_mmol_l(state[at.PACO2], state[at.PH])
    state[at.BLOOD_BASE_EXCESS] += drift * (1.0 - exp(-dt_s / BASE_EXCESS_LAG_S))
    state[at.SHUNT_FRAC] = patient.shunt_frac
    state[at.FRC_ML] = lagged(state[at.FRC_ML], patient.frc_ml, dt_s, REST_VOLUME_LAG_S)


@in_kernel
def _tire_and_cloud(state: Floats, patient: Patient, dt_s: float) -> None:
    """What a breath cost the muscles, and where the mind drifts."""
    index = 0.0
    state[at.MASK_RESISTANCE_CMH2O_S_L] = 0.0
    if state[at.TIDAL_ML] > 0.0:
        suction_cmh2o = state[at.MASK_SUCTION_CMH2O_S] / state[at.INSPIRATORY_S]
        flow_l_s = 0.001 * state[at.TIDAL_ML] / state[at.INSPIRATORY_S]
        state[at.MASK_RESISTANCE_CMH2O_S_L] = suction_cmh2o / flow_l_s
        trapped = trapped_ml(
            state[at.TIDAL_ML], state[at.EMPTYING_S], max(0.05, patient.expiratory_time_constant_s)
        )
        index = pressure_time_index(
            state[at.TIDAL_ML],
            state[at.INSPIRATORY_S],
            state[at.INSPIRATORY_S] + state[at.EXPIRATORY_S],
            patient.elastance_cmh2o_l,
            patient.resistance_cmh2o_s_l,
            0.001 * trapped * patient.elastance_cmh2o_l + suction_cmh2o,
            patient.muscle_strength_cmh2o,
        )
    state[at.EFFORT_INDEX] = index
    state[at.FATIGUE_FRAC] = fatigue_after(state[at.FATIGUE_FRAC], index, dt_s)
    excess = state[at.PACO2] - patient.paco2_habitual_mmhg
    brain = brain_saturation_frac(state[at.SAO2], state[at.COHB_FRAC])
    alert = alertness_target_frac(excess, brain, patient.sedation_frac, state[at.FATIGUE_FRAC])
    confused = confusion_target_frac(excess, brain, state[at.FATIGUE_FRAC], patient.age_years)
    state[at.ALERTNESS_FRAC] = lagged(state[at.ALERTNESS_FRAC], alert, dt_s, ALERTNESS_LAG_S)
    state[at.CONFUSION_FRAC] = lagged(state[at.CONFUSION_FRAC], confused, dt_s, CONFUSION_LAG_S)


@in_kernel
def _wash_out_carbon_monoxide(state: Floats, patient: Patient, dt_s: float, dry_mmhg: float) -> None:
    alveolar_l_min = 0.7 * state[at.RATE_PER_MIN] * 0.001 * state[at.TIDAL_ML]
    capillary_po2 = max(20.0, 0.9 * state[at.END_TIDAL_O2] * dry_mmhg)
    carriers = 1.0 - state[at.COHB_FRAC] - patient.methaemoglobin_frac
    state[at.COHB_FRAC] = carboxyhaemoglobin_after(
        state[at.COHB_FRAC],
        max(0.05, state[at.SAO2] * carriers),
        capillary_po2,
        alveolar_l_min,
        0.0,
        patient.haemoglobin_g_dl,
        patient.blood_ml,
        dry_mmhg,
        dt_s,
    )


@in_kernel
def blood_pressure_mmhg(state: Floats, patient: Patient) -> tuple[float, float]:
    """Systolic and diastolic pressure: up with distress and carbon dioxide, down when oxygen fails."""
    excess = max(-10.0, min(40.0, state[at.PACO2] - patient.paco2_habitual_mmhg))
    lack = 100.0 * max(0.0, 0.90 - state[at.SAO2])
    failing = 100.0 * max(0.0, 0.65 - state[at.SAO2])
    change = 0.4 * excess + 0.8 * min(25.0, lack) - 2.5 * failing
    return (
        max(40.0, patient.systolic_mmhg + change),
        max(20.0, patient.diastolic_mmhg + 0.5 * change),
    )


@in_kernel
def _tone(state: Floats, patient: Patient, dry_mmhg: float, dt_s: float) -> None:
    """Vessels of badly aired units tighten; the flow goes to the others."""
    total = 0.0
    for k in range(at.N_PERFUSED):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        volume = (
            state[unit + at.UNIT_O2_ML] + state[unit + at.UNIT_CO2_ML] + state[unit + at.UNIT_N2_ML] + 1e-9
        )
        seen = 0.85 * dry_mmhg * state[unit + at.UNIT_O2_ML] / volume + 0.15 * 45.0
        state[unit + at.UNIT_TONE] = lagged(
            state[unit + at.UNIT_TONE],
            vasoconstriction_weight(seen, patient.vasoconstriction),
            dt_s,
            VASOCONSTRICTION_LAG_S,
        )
        total += state[unit + at.UNIT_FLOW_SHARE] * state[unit + at.UNIT_TONE]
    for k in range(at.N_PERFUSED):
        unit = at.UNITS + k * at.N_UNIT_FIELDS
        state[unit + at.UNIT_PERFUSION_SHARE] = (
            state[unit + at.UNIT_FLOW_SHARE] * state[unit + at.UNIT_TONE] / total
        )


@in_kernel
def remember_second(state: Floats) -> None:
    """Keep this second's arterial saturation for the probe to see later."""
    state[at.HISTORY + int(state[at.NEXT_SECOND]) % at.N_HISTORY] = state[at.SAO2]
